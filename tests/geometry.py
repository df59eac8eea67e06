"""What the tests of geometry and driveline share: seeded cases, all results of a calculator, the slips it speaks of."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from answers import SITE, chosen
from fillmark.checks import examples
from fillmark.formula import evaluate
from fillmark.formula.language import parse_condition

CASES = 320
MILE, INCH = Fraction("1609.344"), Fraction("25.4")  # NIST SP 811: exact by definition


def each(seed: int, cases: int = CASES) -> Iterator[random.Random]:
    chance = random.Random(seed)
    return (chance for _ in range(cases))


def worked(name: str, **inputs: str) -> dict[str, float]:
    """Return all results of a calculator, each in the unit it declares."""
    one = SITE.calculators[name]
    found = examples.program(SITE.units, one).numbers(examples.bind(SITE.units, one, chosen(inputs)))
    return {key: SITE.units.from_si(value, one.units()[key]) for key, value in found.items()}


def slipped(name: str, **inputs: str) -> list[int]:
    """Return which errors of use a calculator speaks of, by their place in the file."""
    one = SITE.calculators[name]
    values = examples.bind(SITE.units, one, chosen(inputs))
    values |= examples.program(SITE.units, one).numbers(values)
    return [at for at, slip in enumerate(one.slips) if evaluate.holds(parse_condition(slip.when), values)]
