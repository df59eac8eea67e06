"""Python and the browser give the same numbers: random formulas, and every calculator over its whole range."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy
import pytest
from playwright.sync_api import Browser, Page

from answers import SITE
from fillmark.checks import examples
from fillmark.formula import curves, evaluate
from fillmark.formula.javascript import curve as declaration
from fillmark.formula.javascript import expression
from fillmark.formula.language import FUNCTIONS, parse, parse_condition
from fillmark.formula.program import Program
from fillmark.formula.tree import Condition, names
from fillmark.formula.tree import curves as curves_of
from fillmark.model.calculator import Calculator, Quantity

NAMES = ("a", "b", "c", "d")
CLOSE = 1e-12


def same(here: float, there: float | str) -> bool:
    """Return whether both have no answer, or answers within 1e-12 of each other, relative."""
    other = float(there)  # the browser sends Infinity and NaN as text
    if not math.isfinite(here) or not math.isfinite(other):
        return not math.isfinite(here) and not math.isfinite(other)
    return abs(here - other) <= CLOSE * max(abs(here), abs(other))


SEND = "x => Number.isFinite(x) ? x : String(Number(x))"  # what is left empty is undefined, no answer


def written(chance: random.Random, depth: int, exact: bool = False) -> str:
    """Return a random formula. `exact` leaves out what a processor rounds its own way.

    Only + - * / are the same to the last bit everywhere. A difference of two rounded logarithms can lose any number of
    digits on either side, so subtraction, sines and conditions get exact arguments; everything else takes anything.
    """
    if depth == 0 or chance.random() < 0.1:
        return chance.choice((*NAMES, *NAMES, "2", "0.7", "1e-3", "pi"))

    def deeper(only_exact: bool = exact) -> str:
        return written(chance, depth - 1, only_exact)
    kind = chance.choice(("+", "-", "*", "/", "call", "choose", "minus") if exact else
                         ("+", "-", "*", "/", "**", "call", "call", "choose", "minus"))
    if kind == "minus":
        return f"(-{deeper()})"
    if kind == "choose":
        sign = chance.choice(("<", "<=", ">", ">="))
        return f"choose({deeper(True)} {sign} {deeper(True)}, {deeper()}, {deeper()})"
    if kind == "call":
        name = chance.choice(("abs", "min", "max") if exact else tuple(FUNCTIONS))
        plain = exact or name not in {"abs", "sqrt", "min", "max"}
        return f"{name}({', '.join(deeper(plain) for _ in range(FUNCTIONS[name].arguments))})"
    if kind == "**":
        return f"(abs({deeper(True)}) ** {chance.choice(('2', '3', '-1', '0.5', '-1.7', deeper(True)))})"
    plain = exact or kind in "+-"  # a sum of unlike signs is a difference
    return f"({deeper(plain)} {kind} {deeper(plain)})"


def drawn(chance: random.Random) -> float:
    """Return a value of any size a workshop meets, and now and then one that makes trouble."""
    if chance.random() < 0.06:
        return chance.choice((0.0, -0.0, 1.0, -1.0, 1e-300, 1e300, 0.5, -8.0))
    return chance.choice((1, 1, 1, -1)) * 10 ** chance.uniform(-6, 6)


@pytest.fixture(scope="module")
def blank(chromium: Browser) -> Any:
    page = chromium.new_page()
    yield page
    page.close()


def test_ten_thousand_random_evaluations(blank: Page) -> None:
    chance = random.Random(20260418)
    formulas = [written(chance, 4) for _ in range(1000)]
    points = [[{name: drawn(chance) for name in NAMES} for _ in range(10)] for _ in formulas]
    trees = [parse(text) for text in formulas]
    functions = ",\n".join(f"({', '.join('$' + name for name in NAMES)}) => {expression(tree)}" for tree in trees)
    got = blank.evaluate(
        f"points => {{ const send = {SEND}; return [{functions}].map((f, i) => points[i].map(p => "
        f"send(f({', '.join('p.' + name for name in NAMES)})))) }}", points,
    )
    apart = [
        (text, point, here, there)
        for text, tree, row, answers in zip(formulas, trees, points, got, strict=True)
        for point, there in zip(row, answers, strict=True)
        if not same(here := evaluate.number(tree, point), there)
    ]
    assert not apart, f"{len(apart)} of 10000 apart, such as {apart[:3]}"
    finite = sum(isinstance(there, (int, float)) for row in got for there in row)
    assert 6000 < finite < 9990, f"{finite} answers of 10000: the sample must hold both answers and none"
    assert {name for name in FUNCTIONS if any(name + "(" in text for text in formulas)} == set(FUNCTIONS)


def test_every_operation_on_the_values_that_make_trouble(blank: Page) -> None:
    """Infinity, NaN, both zeros: not only "no answer" but the same one, since a later step may turn it finite."""
    values = [0.0, -0.0, 0.5, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0, 1e-300, 1e308, -1e308, math.inf, -math.inf, math.nan]
    texts = [f"a {op} b" for op in ("+", "-", "*", "/", "**")]
    texts += [f"{name}({', '.join('ab'[:row.arguments])})" for name, row in FUNCTIONS.items()]
    texts += [f"choose(a {sign} b, 1, 2)" for sign in ("<", "<=", ">", ">=")]
    functions = ", ".join(f"($a, $b) => {expression(parse(text))}" for text in texts)
    got = blank.evaluate(
        f"values => [{functions}].map(f => values.map(a => values.map(b => f(a, b))))", values,
    )
    for text, table in zip(texts, got, strict=True):
        for a, row in zip(values, table, strict=True):
            for b, there in zip(values, row, strict=True):
                here = evaluate.number(parse(text), {"a": a, "b": b})
                assert here == pytest.approx(there, rel=CLOSE, nan_ok=True), (text, a, b)


@dataclass(frozen=True)
class Declared:
    x: str
    y: str
    points: tuple[tuple[float, float], ...]


def curve_at_random(chance: random.Random) -> Declared:
    """Return 2 to 60 points of any spread, x rising, in units with and without an offset."""
    size = 10 ** chance.uniform(-2, 3)
    at = sorted({round(chance.uniform(-size, size), 4) for _ in range(chance.randint(2, 60))})
    at = at if len(at) > 1 else [at[0], at[0] + 1]
    return Declared(chance.choice(("1", "%", "°C", "°F", "mm²/s")), chance.choice(("1", "°C", "kPa", "L")),
                    tuple((x, chance.uniform(-100, 100)) for x in at))


def test_random_curves_against_the_browser_and_numpy(blank: Page) -> None:
    chance = random.Random(20260502)
    declared = {f"c{number}": curve_at_random(chance) for number in range(200)}
    drawn = curves.read(SITE.units, declared)
    rows = {}
    for name, one in drawn.items():
        length = one.x[-1] - one.x[0]
        rows[name] = [*one.x, *(chance.uniform(one.x[0] - length / 5, one.x[-1] + length / 5) for _ in range(50)),
                      one.x[0] - length * 1e-3, one.x[-1] + length * 1e-3, one.x[0] - length * 1e-10]
    trees = {name: parse(f"along({name}, a)", drawn) for name in drawn}
    functions = ", ".join(f"{name}: $a => {expression(tree)}" for name, tree in trees.items())
    got = blank.evaluate(
        f"rows => {{ {curves.JAVASCRIPT} {' '.join(declaration(one) for one in drawn.values())} "
        f"const built = {{{functions}}}; return Object.fromEntries(Object.entries(rows).map(([name, row]) => "
        f"[name, [...row, NaN, Infinity, -Infinity].map(a => String(built[name](a)))])) }}", rows,
    )
    inside = 0
    for name, one in drawn.items():
        row = [*rows[name], math.nan, math.inf, -math.inf]
        library = numpy.interp(row, one.x, one.y, left=math.nan, right=math.nan)
        # A hair outside counts as the end: an end typed in another unit may miss it by a rounding.
        library[len(rows[name]) - 1] = one.y[0]
        steepest = max(abs(float(step)) for step in numpy.diff(one.y))
        for at, there, theirs in zip(row, map(float, got[name]), map(float, library), strict=True):
            here = evaluate.number(trees[name], {"a": at})
            assert here == there or (math.isnan(here) and math.isnan(there)), (name, at, here, there)
            assert here == pytest.approx(theirs, rel=1e-12, abs=1e-9 * steepest, nan_ok=True), (name, at, here, theirs)
            inside += math.isfinite(here)
    assert inside > 10000


def near_a_tie(program: Program, condition: Condition, values: dict[str, float]) -> bool:
    """Return whether the sides of a comparison differ by no more than two ways of rounding could."""
    known = values | program.numbers(values)
    left, right = (evaluate.number(side, known) for side in (condition.left, condition.right))
    return abs(left - right) <= 1e-9 * max(abs(left), abs(right))


def rests_on_a_curve(program: Program, name: str) -> bool:
    """Return whether a result reads a curve, itself or through the steps before it: it may have no answer."""
    tree = program.trees[name]
    return any(curves_of(tree)) or any(rests_on_a_curve(program, one.id) for one in names(tree)
                                       if one.id in program.trees)


def dimension(shape: Quantity) -> str:
    unit = SITE.units.known(shape.unit)
    assert unit, shape
    return unit.dimension


# What classic slips are about: the same twice, one for two, US for imperial and back.
RATIOS = (1.0, 2.0, 0.5, 0.8326742, 1.2009499)


def values_at_random(chance: random.Random, one: Calculator) -> dict[str, float]:
    """Return inputs in SI within their ranges, the ends often among them; an optional one may be left out."""
    values = dict[str, float]()
    for key, shape in one.typed().items():
        low, high = SITE.units.si(shape.min), SITE.units.si(shape.max)
        even = chance.uniform(low, high)
        small = low + (high - low) * 10 ** chance.uniform(-6, 0)
        if not (shape.optional and chance.random() < 0.3):
            alike = [values[other] for other, about in one.typed().items()
                     if other in values and dimension(about) == dimension(shape)]
            if alike and chance.random() < 0.2:
                even = min(max(chance.choice(alike) * chance.choice(RATIOS), low), high)
            values[key] = chance.choice((low, high, even, even, small))
    for choice in one.picked().values():
        option = chance.choice(list(choice.choices.values()))
        values |= {key: SITE.units.si(given.value) for key, given in option.gives.items()}
    return values


@pytest.fixture(scope="module")
def built(blank: Page, dist: Path) -> Page:
    """A page that has every calculator as the site serves it."""
    def modules(folder: str, names: Iterable[str]) -> dict[str, str]:
        return {name: (dist / "js" / folder / f"{name}.js").read_text("utf-8") for name in names}

    blank.evaluate("""async ([parts, modules]) => {
      const address = (text) => URL.createObjectURL(new Blob([text], { type: 'text/javascript' }))
      const at = Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, address(text)]))
      globalThis.built = {}
      for (const [name, text] of Object.entries(modules)) {
        const placed = text.replace(/from '[^']*\\/(\\w+)\\.js'/g, (whole, part) => `from '${at[part]}'`)
        built[name] = (await import(address(placed))).calculator
      }
    }""", [modules("lib", ["calculator"]) | modules("data", ["along"]), modules("data/calc", SITE.calculators)])
    return blank


# Twenty thousand in all, the same number for each.
EACH = 20_000 // len(SITE.calculators) + 1


@pytest.mark.parametrize("name", sorted(SITE.calculators))
def test_a_calculator_over_its_whole_range(built: Page, name: str) -> None:
    one, chance = SITE.calculators[name], random.Random(name)
    drawn, program = curves.read(SITE.units, one.curves), examples.program(SITE.units, one)
    refuse = [parse_condition(rule.when, drawn) for rule in one.refuse]
    slips = [parse_condition(slip.when, drawn) for slip in one.slips]
    constants = {key: SITE.units.si(value.value) for key, value in one.constants.items()}
    empty = {key: math.nan for key, shape in one.typed().items() if shape.optional}
    shaky = {key for key in one.outputs if rests_on_a_curve(program, key)}
    rows = [values_at_random(chance, one) for _ in range(EACH)]
    got = built.evaluate(
        f"([name, rows]) => rows.map(v => {{ const all = built[name].work(v); return [Object.fromEntries("
        f"Object.entries(all).map(([k, x]) => [k, ({SEND})(x)])), built[name].refused(v), "
        f"built[name].slipped({{...v, ...all}})] }})", [name, rows],
    )
    seen = set[tuple[int, bool]]()
    for values, (there, refused, slipped) in zip(rows, got, strict=True):
        known = empty | values | constants
        here = program.numbers(known)
        assert set(here) == set(there)
        stops = [evaluate.holds(condition, known) for condition in refuse]
        assert stops == refused, values
        if any(stops):
            continue  # what is refused is not shown; near the edge both sides may lose digits
        for key in one.outputs:
            assert same(here[key], there[key]), (key, values, here[key], there[key])
            if key not in shaky and program.needs(key) <= {*values, *constants}:
                assert math.isfinite(here[key]), f"no answer for {key} within the range, and no reason: {values}"
        for index, (slip, said) in enumerate(zip(slips, slipped, strict=True)):
            assert evaluate.holds(slip, known | here) == said or near_a_tie(program, slip, known), (index, values)
            seen.add((index, said))
    # A slip that never holds, or always, over the whole range of the inputs warns of nothing.
    assert seen == {(index, said) for index in range(len(slips)) for said in (True, False)}, one.slips
