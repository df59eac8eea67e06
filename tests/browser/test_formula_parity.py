"""Python and the browser give the same numbers: random formulas, and every calculator over its whole range."""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from fillmark import load, validate
from fillmark.formula import evaluate
from fillmark.formula.javascript import expression
from fillmark.formula.language import FUNCTIONS, parse, parse_condition
from fillmark.formula.program import compiled
from fillmark.model.site import Site
from harness import ROOT

NAMES = ("a", "b", "c", "d")
CLOSE = 1e-12


def same(here: float, there: float | str) -> bool:
    """Return whether both have no answer, or answers within 1e-12 of each other, relative."""
    other = float(there)  # the browser sends Infinity and NaN as text
    if not math.isfinite(here) or not math.isfinite(other):
        return not math.isfinite(here) and not math.isfinite(other)
    return abs(here - other) <= CLOSE * max(abs(here), abs(other))


SEND = "x => Number.isFinite(x) ? x : String(x)"


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


@pytest.fixture(scope="module")
def site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found, problems
    return found


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


def test_every_calculator_over_its_whole_range(blank: Page, site: Site, dist: Path) -> None:
    chance = random.Random(7)
    modules = {name: (dist / "js" / "data" / "calc" / f"{name}.js").read_text("utf-8") for name in site.calculators}
    blank.evaluate("""async modules => {
      globalThis.built = {}
      for (const [name, text] of Object.entries(modules)) {
        const at = URL.createObjectURL(new Blob([text], { type: 'text/javascript' }))
        built[name] = (await import(at)).calculator
      }
    }""", modules)
    assert len(site.calculators) >= 8
    for name, one in site.calculators.items():
        program = compiled((key, step.formula) for _, key, step in one.formulas())
        constants = {key: site.units.si(value.value) for key, value in one.constants.items()}
        rows = []
        for _ in range(500):
            values = {}
            for key, shape in one.typed().items():
                low, high = site.units.si(shape.min), site.units.si(shape.max)
                even = chance.uniform(low, high)
                small = low + (high - low) * 10 ** chance.uniform(-6, 0)
                values[key] = chance.choice((low, high, even, even, small))
            for choice in one.picked().values():
                option = chance.choice(list(choice.choices.values()))
                values |= {key: site.units.si(given.value) for key, given in option.gives.items()}
            rows.append(values)
        got = blank.evaluate(
            f"([name, rows]) => rows.map(v => [Object.fromEntries(Object.entries(built[name].work(v))"
            f".map(([k, x]) => [k, ({SEND})(x)])), built[name].refused(v)])", [name, rows],
        )
        for values, (there, refused) in zip(rows, got, strict=True):
            here = program.numbers(values | constants)
            assert set(here) == set(there)
            stops = [evaluate.holds(parse_condition(rule.when), values | constants) for rule in one.refuse]
            assert stops == refused, (name, values)
            if any(stops):
                continue  # what is refused is not shown; near the edge both sides may lose digits
            for key in one.outputs:
                assert same(here[key], there[key]), (name, key, values, here[key], there[key])
                assert math.isfinite(here[key]), (name, key, values)
