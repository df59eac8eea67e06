"""The real calculators answered in Python by their amounts as typed; what the answers must be is said by the tests."""

from __future__ import annotations

from collections.abc import Mapping

from fillmark import load, validate
from fillmark.checks import examples
from fillmark.formula.program import compiled
from fillmark.model.amount import Amount, parse_amount
from fillmark.model.site import Site
from harness import ROOT


def whole_site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found, problems
    return found


SITE = whole_site()


def chosen(inputs: Mapping[str, str]) -> dict[str, Amount | str]:
    return {name: parse_amount(text) if " " in text else text for name, text in inputs.items()}


def answer(name: str, unit: str, output: str, **inputs: str) -> float:
    """Return an output of a calculator in `unit`, by floats."""
    one = SITE.calculators[name]
    values = examples.bind(SITE.units, one, chosen(inputs))
    found = compiled((key, step.formula) for _, key, step in one.formulas()).numbers(values)[output]
    return SITE.units.from_si(found, unit)


def says(name: str, output: str, **inputs: str) -> str:
    one = SITE.calculators[name]
    values = examples.bind(SITE.units, one, chosen(inputs))
    found = compiled((key, step.formula) for _, key, step in one.formulas()).numbers(values)[output]
    return examples.said(SITE.units, one.outputs[output], found)
