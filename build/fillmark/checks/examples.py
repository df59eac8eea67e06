"""Worked examples: every calculator gives its published answers, by floats and by quantities with dimensions.

The quantities also prove that every formula's dimension is the one its unit says.
"""

from __future__ import annotations

import math

from fillmark.formula import curves, evaluate
from fillmark.formula.language import parse, parse_condition
from fillmark.formula.tree import FormulaError
from fillmark.load import Document, Path_
from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator, Example, Quantity
from fillmark.model.site import Site
from fillmark.problem import Problem, inside, nearest, one_of
from fillmark.units import Units
from fillmark.worked import SLACK, allowance, bind, program, quantities, said

NAME = "examples"
# What was found for each file, with the text and the units that it rests on: an edit of one file need not wait for
# the figures of all others, which cannot have changed.
_FOUND: dict[str, tuple[str, object, list[Problem]]] = {}


def check(site: Site) -> list[Problem]:
    out = []
    for name, one in site.calculators.items():
        document = site.documents["calculators", name]
        rests = (document.text, site.units.by_symbol)
        if _FOUND.get(document.file, ())[:2] != rests:
            _FOUND[document.file] = (*rests, _of(site, document, one))
        out += _FOUND[document.file][2]
    return out


def _of(site: Site, document: Document, one: Calculator) -> list[Problem]:
    if not readable(site.units, one):
        return []  # the checks of units, names and formulas have said so; nothing can be worked out
    wrong = _dimensions(site.units, document, one)
    return wrong or [
        problem for kind, listed in (("examples", one.examples), ("also_checked", one.also_checked))
        for index, example in enumerate(listed)
        for problem in _example(site.units, document, one, (kind, index), example)
    ]


def readable(units: Units, one: Calculator) -> bool:
    """Return whether every formula can be read, every unit is known and every name stands before its use."""
    given = [value.value.unit for choice in one.picked().values() for option in choice.choices.values()
             for value in option.gives.values()]
    given += [symbol for curve in one.curves.values() for symbol in (curve.x, curve.y)]
    if any(units.known(symbol) is None for symbol in [*one.units().values(), *given]):
        return False
    if not all(curve.readable() for curve in one.curves.values()):
        return False
    values = dict.fromkeys(one.units(), 1.0)
    for name in (done for _, done, _ in one.formulas()):
        del values[name]
    drawn = curves.read(units, one.curves)
    try:
        program(units, one).numbers(values)
        known = dict(values) | dict.fromkeys((name for _, name, _ in one.formulas()), 1.0)
        for slip in one.slips:
            evaluate.holds(parse_condition(slip.when, drawn), known)
        for rule in one.refuse:
            evaluate.holds(parse_condition(rule.when, drawn), values)
    except (FormulaError, KeyError):
        return False
    return True


def _dimensions(units: Units, document: Document, one: Calculator) -> list[Problem]:
    """Run every formula on quantities of one SI unit each; only the dimensions matter here."""
    values = {name: units.quantity(1.0, symbol) for name, symbol in one.units().items()}
    drawn = curves.read(units, one.curves)
    out = []
    for kind, name, step in one.formulas():
        wanted = units.quantity(1.0, step.unit)
        try:
            got = evaluate.quantity(parse(step.formula, drawn), values)
        except FormulaError as error:
            text = step.formula.strip()
            problem = document.problem((kind, name, "formula"), error.message, got=text[error.column - 1:][:24],
                                       hint=error.hint, rule=NAME)
            out.append(inside(problem, text, error.column))
            continue
        if got.dimensionality != wanted.dimensionality:
            out.append(document.problem((kind, name, "formula"), f"the formula does not give {step.unit}", rule=NAME,
                                        expected=evaluate.dimension(wanted), got=evaluate.dimension(got),
                                        hint="check for a factor that is missing or one too many"))
    conditions: list[tuple[Path_, str]] = [(("refuse", at, "when"), rule.when) for at, rule in enumerate(one.refuse)]
    conditions += [(("slips", at, "when"), slip.when) for at, slip in enumerate(one.slips)]
    for path, when in conditions:
        try:
            evaluate.condition_quantity(parse_condition(when, drawn), values)
        except FormulaError as error:
            out.append(document.problem(path, error.message, got=when, rule=NAME))
    return out


def _example(units: Units, document: Document, one: Calculator, here: Path_, example: Example) -> list[Problem]:
    amounts = [*example.inputs.values(), *example.outputs.values(), *example.tolerance.values()]
    if any(isinstance(got, Amount) and units.known(got.unit) is None for got in amounts):
        return []  # the check `amounts` has said so
    if any(option.gives.keys() != shape.carries.keys() for shape in one.picked().values()
           for option in shape.choices.values()):
        return []  # the check `calculators` has said so
    wrong = _shape(units, document, one, here, example)
    if wrong:
        return wrong
    values = bind(units, one, example.inputs)
    trees = program(units, one)
    floats, sized = trees.numbers(values), trees.quantities(quantities(units, one, values))
    out = []
    for refused, rule in enumerate(one.refuse):
        if evaluate.holds(parse_condition(rule.when, curves.read(units, one.curves)), values):
            out.append(document.problem((*here, "in"), "the calculator refuses this example", got=rule.say, rule=NAME,
                                        expected=f"inputs that refuse[{refused}] lets through"))
    for name, printed in example.outputs.items():
        allowed = allowance(example, name)
        margin = allowed.value * units.by_symbol[units.known(allowed.unit).symbol].factor  # type: ignore[union-attr]
        for way, value in (("floats", floats[name]), ("quantities", float(sized[name].to_base_units().magnitude))):
            if not abs(value - units.si(printed)) <= margin * (1 + SLACK):
                shown = units.from_si(value, printed.unit)
                out.append(document.problem((*here, "out", name), f"the calculator gives another answer, by {way}",
                                            expected=f"{printed.text}, give or take {allowed.value:g} {allowed.unit}",
                                            got="no answer" if math.isnan(shown) else f"{shown:.7g} {printed.unit}",
                                            rule=NAME))
                break
    for name, word in example.words.items():
        got = said(units, one.outputs[name], floats[name])
        if got != word:
            out.append(document.problem((*here, "words", name), "the calculator says something else", expected=word,
                                        got=got or "no word", rule=NAME))
    return out


def _shape(units: Units, document: Document, one: Calculator, here: Path_, example: Example) -> list[Problem]:
    out = []
    kinds = one.units()

    def like(path: Path_, amount: Amount, name: str) -> None:
        unit, wanted = units.known(amount.unit), units.known(kinds[name])
        if unit and wanted and unit.dimension.split("-diff")[0] != wanted.dimension.split("-diff")[0]:
            out.append(document.problem(path, f"wrong kind of unit: this is a {wanted.dimension}", rule=NAME,
                                        expected=", ".join(units.symbols(wanted.dimension)), got=amount.text))
    for name, got in example.inputs.items():
        path: Path_ = (*here, "in", name)
        shape = one.inputs.get(name)
        if shape is None:
            out.append(document.problem(path, "no such input", key=True, expected=one_of(list(one.inputs)), got=name,
                                        hint=nearest(name, list(one.inputs)), rule=NAME))
        elif isinstance(shape, Quantity):
            if isinstance(got, Amount):
                like(path, got, name)
            else:
                out.append(document.problem(path, "this input is an amount", got=str(got), rule=NAME,
                                            expected=f"a number and a unit, such as 1 {shape.unit}"))
        elif got not in shape.choices:
            out.append(document.problem(path, "no such option", expected=one_of(list(shape.choices)), got=str(got),
                                        hint=nearest(str(got), list(shape.choices)), rule=NAME))
    for key, mapping in (("out", example.outputs), ("words", example.words), ("tolerance", example.tolerance)):
        for name, value in mapping.items():
            path = (*here, key, name)
            if name not in one.outputs or (key == "tolerance" and name not in example.outputs):
                out.append(document.problem(path, "no such output", key=True, expected=one_of(list(one.outputs)),
                                            got=name, hint=nearest(name, list(one.outputs)), rule=NAME))
            elif isinstance(value, Amount):
                like(path, value, name)
    if not example.outputs and not example.words:
        out.append(document.problem(here, "an example without an answer proves nothing", expected="out: or words:",
                                    got="neither", rule=NAME))
    return out
