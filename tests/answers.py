"""The real calculators answered in Python by their amounts as typed; what the answers must be is said by the tests."""

from __future__ import annotations

from collections.abc import Mapping

from fillmark import load, validate
from fillmark.checks import examples
from fillmark.formula import curves, evaluate
from fillmark.formula.language import parse_condition
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


def known(name: str, inputs: Mapping[str, str]) -> dict[str, float]:
    """Return constants, inputs and all that is worked out from them, by floats, in SI."""
    one = SITE.calculators[name]
    values = examples.bind(SITE.units, one, chosen(inputs))
    return values | examples.program(SITE.units, one).numbers(values)


def answer(name: str, unit: str, output: str, **inputs: str) -> float:
    """Return an output of a calculator in `unit`, by floats."""
    return SITE.units.from_si(known(name, inputs)[output], unit)


def says(name: str, output: str, **inputs: str) -> str:
    return examples.said(SITE.units, SITE.calculators[name].outputs[output], known(name, inputs)[output])


def refusals(name: str, **inputs: str) -> str:
    """Return the words of all refusals that hold; one that waits for an input holds nothing."""
    return _held(name, [(rule.when, rule.say) for rule in SITE.calculators[name].refuse], inputs)


def slips(name: str, **inputs: str) -> str:
    """Return the words of all slips that hold, their placeholders as they stand."""
    return _held(name, [(slip.when, slip.say) for slip in SITE.calculators[name].slips], inputs)


def _held(name: str, rules: list[tuple[str, str]], inputs: Mapping[str, str]) -> str:
    drawn, values = curves.read(SITE.units, SITE.calculators[name].curves), known(name, inputs)
    return " ".join(say for when, say in rules if evaluate.holds(parse_condition(when, drawn), values))
