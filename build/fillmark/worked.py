"""A calculator at work in Python: amounts as typed to values in SI, its formulas, words, how far an answer may be off.

The checks hold every worked example to it, and the page "How we know" shows the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from fillmark.formula import curves
from fillmark.formula.program import Program, compiled
from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator, Example, Output, Quantity
from fillmark.units import Units

SLACK = 1e-9  # relative; a number typed in another unit may miss an edge by a rounding of the conversion


def program(units: Units, one: Calculator) -> Program:
    """Return a calculator's formulas in the order of working. Raises FormulaError, or KeyError for an unknown unit."""
    return compiled(((name, step.formula) for _, name, step in one.formulas()), curves.read(units, one.curves))


def bind(units: Units, one: Calculator, chosen: Mapping[str, Amount | str]) -> dict[str, float]:
    """Return the SI values of all inputs and constants; an input that is not given is NaN, no answer."""
    values = {name: units.si(constant.value) for name, constant in one.constants.items()}
    for name, shape in one.inputs.items():
        got = chosen.get(name)
        if isinstance(shape, Quantity):
            values[name] = units.si(got) if isinstance(got, Amount) else math.nan
        else:
            gives = shape.choices[got].gives if isinstance(got, str) else {}
            values |= {key: units.si(gives[key].value) if gives else math.nan for key in shape.carries}
    return values


def quantities(units: Units, one: Calculator, values: Mapping[str, float]) -> dict[str, Any]:
    """Return SI values as pint quantities."""
    symbols = one.units()
    return {name: units.quantity(value, symbols[name]) for name, value in values.items()}


def said(units: Units, output: Output, value: float) -> str:
    """Return the word for an output's SI value, or an empty string where it has none."""
    shown = units.from_si(value, output.unit)
    for band in output.words:
        edge = band.below or band.upto
        if edge is None:
            return band.say
        at = units.convert(edge.value, edge.unit, output.unit)
        slack = SLACK * max(1.0, abs(at))
        if shown < at - slack if band.below else shown <= at + slack:
            return band.say
    return ""


def allowance(example: Example, name: str) -> Amount:
    """Return how far a result may be off: as declared, or half the last digit of the printed answer."""
    if name in example.tolerance:
        return example.tolerance[name]
    printed = example.outputs[name]
    decimals = len(printed.text.split()[0].partition(".")[2])
    return Amount(printed.text, 0.5 * 10.0 ** -decimals, printed.unit)
