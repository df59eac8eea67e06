"""The page "How we know": every published figure that the calculators are held to, beside what we work out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator, Example
from fillmark.model.site import Site
from fillmark.render.calculator_page import text
from fillmark.worked import allowance, bind, program, said

RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
ADDRESS = "how-we-know/"
NAME = ADDRESS.rstrip("/")  # of the prose that stands below the figures: content/pages/how-we-know.md


@dataclass(frozen=True)
class Checked:
    """One published figure: what it is, who prints it where, what we get, how far off that is and may be."""

    what: str
    source: str
    published: str
    ours: str
    off: str = "the same"


def context(site: Site) -> dict[str, Any]:
    """Return what the template how-we-know.html shows. Sources are numbered in the order they first stand here."""
    numbers: dict[str, int] = {}
    groups = []
    for name, one in sorted(site.calculators.items(), key=lambda item: item[1].no):
        rows = [row for example in published(site, one) for row in checked(site, one, example, numbers)]
        if rows:
            groups.append((name, one, rows))
    own = sum(len(example.outputs) for one in site.calculators.values()
              for example in (*one.examples, *one.also_checked) if site.sources[example.source].kind != "published")
    return {
        "groups": groups, "count": sum(len(rows) for _, _, rows in groups), "own": own,
        "used": [site.sources[source] for source in numbers], "prose_below": site.pages.get(NAME),
    }


def published(site: Site, one: Calculator) -> Iterator[Example]:
    """Yield the worked examples and further figures of a calculator that somebody else has published."""
    for example in (*one.examples, *one.also_checked):
        if site.sources[example.source].kind == "published":
            yield example


def checked(site: Site, one: Calculator, example: Example, numbers: dict[str, int]) -> Iterator[Checked]:
    """Yield a row for each number of an example, or for each word of one that has none: where there is a number, the
    word beside it is ours. A source that is new gets the next of `numbers`.
    """
    source = str(numbers.setdefault(example.source, len(numbers) + 1))
    if example.page and example.page != site.sources[example.source].where:
        source += f", {example.page}"
    results = program(site.units, one).numbers(bind(site.units, one, example.inputs))
    several = len(example.outputs or example.words) > 1
    what = example.name

    def about(output: str) -> str:
        return f"{what}: {one.outputs[output].label}" if several and what else what or one.outputs[output].label

    for output, printed in example.outputs.items():
        ours, off = figures(site, results[output], printed, allowance(example, output))
        yield Checked(about(output), source, text(printed), ours, off)
        what = ""  # the next answers of one example are named by their output alone
    for output, word in example.words.items() if not example.outputs else ():
        yield Checked(about(output), source, word, said(site.units, one.outputs[output], results[output]))
        what = ""


def figures(site: Site, si: float, printed: Amount, allowed: Amount) -> tuple[str, str]:
    """Return our value with one digit more than is printed, and in the same unit how far it is off and may be.

    What may be off by less than a thousandth is told in a power of ten: `−1 of 5 × 10⁻⁷`.
    """
    units = site.units
    unit, other = units.known(printed.unit), units.known(allowed.unit)
    assert unit and other
    digits = len(printed.text.split()[0].partition(".")[2]) + 1
    ours = units.from_si(si, printed.unit)
    may = allowed.value * other.factor / unit.factor
    power = math.floor(math.log10(may) + 1e-9) if may else 0
    power = power if power < -3 else 0
    off = f"{(ours - printed.value) / 10.0 ** power:+.{max(0, digits + power)}f}"
    return signed(f"{ours:.{digits}f}"), signed(
        (off if off.strip("+-0.") else "0") + f" of {float(f'{may / 10.0 ** power:.3g}'):g}"
        + (f" × 10{str(power).translate(RAISED)}" if power else ""))


def signed(number: str) -> str:
    """Return a number with a real minus."""
    return number.replace("-", "−")
