"""Calculators backwards: made-up functions with known roots, and 1 000 seeded cases of every calculator by scipy."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from playwright.sync_api import Page
from scipy.optimize import brentq

from answers import SITE
from fillmark.formula import curves, evaluate, ieee
from fillmark.formula.language import FUNCTIONS, parse_condition
from fillmark.formula.tree import Along, Binary, Call, Choose, Condition, Minus, Name, Number, Tree, names
from fillmark.model.calculator import Calculator
from fillmark.worked import program

CASES = 1000
# Formula in JavaScript, range, wanted, answers, stretches.
MADE: dict[str, tuple[str, float, float, float, list[float], list[list[float]]]] = {
    "none": ("x => x * x", 1, 2, 9, [], []),
    "one": ("x => x * x", 0, 10, 9, [3], []),
    "two": ("x => x * x", -10, 10, 9, [-3, 3], []),
    "two between two places of the scan": ("x => (x - 3.00001) * (x - 3.00002)", 0, 10, 0, [3.00001, 3.00002], []),
    "three": ("x => (x - 1) * (x - 2) * (x - 3.5)", 0, 10, 0, [1, 2, 3.5], []),
    "seven": ("Math.sin", -9.5, 9.5, 0, [n * math.pi for n in range(-3, 4)], []),
    "touches": ("x => (x - 4) ** 2 + 1", 0, 10, 1, [4], []),
    "pole": ("x => 1 / (x - 3)", 0, 10, 0, [], []),
    "pole and answer": ("x => 1 / (x - 3)", 0, 10, 1, [4], []),
    "pole of even order": ("x => 1 / (x - 3.01) ** 2", 0, 10, 4, [2.51, 3.51], []),
    "jump over it": ("x => x < 3.3 ? -1 : 1", 0, 10, 0, [], []),
    "jump onto it": ("x => x < 3.3 ? x : 20", 0, 10, 3.2, [3.2], []),
    "plateau": ("x => x < 3 ? 1 : x", 0, 10, 1, [], [[0, 3]]),
    "plateau inside": ("x => Math.min(Math.max(x, 2), 3) + Math.max(x, 7)", 0, 10, 10, [], [[3, 7]]),
    "flat all along": ("x => 5", 0, 10, 5, [], [[0, 10]]),
    "no value anywhere": ("x => NaN", 0, 10, 5, [], []),
    "begins at a hole": ("x => Math.sqrt(x - 3)", 0, 10, 0, [3], []),
    "beside a hole": ("x => Math.sqrt(x - 3)", 0, 10, 1, [4], []),
    "hole in the middle": ("x => Math.abs(x - 5) < 1 ? NaN : x", 0, 10, 5, [], []),
    "across a hole": ("x => Math.abs(x - 5) < 1 ? NaN : (x - 5) ** 2", 0, 10, 4, [3, 7], []),
    "at the low end": ("x => x * 1.1", 2, 10, 2.2, [2], []),
    "at the high end": ("x => x * 1.1", 0, 10, 11, [10], []),
    "just past the end": ("x => x * 1.1", 0, 10, 11.0001, [], []),
    "near nothing of a wide range": ("x => x / (x + 1e-5)", 0, 1000, 0.5, [1e-5], []),
    "many powers of ten": ("Math.log10", 1e-6, 1e6, -5.5, [10 ** -5.5], []),
    "many powers below nothing": ("x => x ** 3", -1000, 0, -1e-9, [-1e-3], []),
    "infinite on one side": ("x => x < 2 ? Infinity : x", 0, 10, 5, [5], []),
}


@pytest.mark.parametrize("name", MADE)
def test_roots_that_are_known(page: Page, name: str) -> None:
    formula, low, high, want, answers, flats = MADE[name]
    page.goto("about/")
    got = page.evaluate(f"args => import('../js/lib/solve.js').then(({{ solve }}) => solve({formula}, ...args))",
                        [low, high, want])
    assert got["answers"] == pytest.approx(answers, rel=1e-7, abs=1e-12)
    assert len(got["flats"]) == len(flats)
    for one, wanted in zip(got["flats"], flats, strict=True):
        assert one == pytest.approx(wanted, abs=1e-9)
    assert got["worked"] == (name != "no value anywhere")


def test_a_root_is_exact_to_the_last_digits(page: Page) -> None:
    page.goto("about/")
    got = page.evaluate("() => import('../js/lib/solve.js').then(({ solve }) => solve((x) => x * x, 0, 10, 2).answers)")
    assert got == [pytest.approx(math.sqrt(2), rel=3e-16)]


# ---- every calculator

Values = dict[str, float]


def source(tree: Tree, shelf: list[Any]) -> str:
    """Return a tree as Python text over `v`, the values; what it calls is put on the shelf."""
    def put(thing: Any) -> str:
        shelf.append(thing)
        return f"s[{len(shelf) - 1}]"

    match tree:
        case Number(value=value):
            return repr(value)
        case Name(id=name):
            return f"v[{name!r}]"
        case Minus(of=inner):
            return f"(-{source(inner, shelf)})"
        case Binary(op=op, left=left, right=right):
            a, b = source(left, shelf), source(right, shelf)
            if op in "+-*" and op != "**":
                return f"({a} {op} {b})"
            return f"{put(ieee.divide if op == '/' else ieee.power)}({a}, {b})"
        case Call(function=name, args=args):
            return f"{put(FUNCTIONS[name].number)}({', '.join(source(arg, shelf) for arg in args)})"
        case Along(curve=curve, at=at):
            return f"{put(curves.value)}({put(curve)}, {source(at, shelf)})"
        case Choose(condition=condition, yes=yes, no=no):
            truth = f"{source(condition.left, shelf)} {condition.op} {source(condition.right, shelf)}"
            return f"({source(yes, shelf)} if {truth} else {source(no, shelf)})"
    raise AssertionError(tree)


def quick(one: Calculator, output: str) -> Callable[[Values], float]:
    """Return an output as a Python function, compiled: scipy asks for it some ten thousand times."""
    trees = program(SITE.units, one).trees
    wanted, todo = set[str](), [output]
    while todo:
        name = todo.pop()
        wanted.add(name)
        todo += [used.id for used in names(trees[name]) if used.id in trees and used.id not in wanted]
    shelf: list[Any] = []
    lines = [f"  v[{name!r}] = {source(tree, shelf)}" for name, tree in trees.items() if name in wanted]
    body = "\n".join(["def f(v):", *lines, f"  return v[{output!r}]"])
    scope: dict[str, Any] = {"s": shelf}
    exec(compile(body, f"<{one.title}>", "exec"), scope)
    made: Callable[[Values], float] = scope["f"]
    return made


@dataclass(frozen=True)
class Case:
    """Figures in SI with one input to find: `want` is what `output` comes to at `was`, which lies from low to high."""

    values: Values
    output: str
    free: str
    want: float
    was: float
    low: float
    high: float
    work: Callable[[Values], float]

    def off(self, x: float) -> float:
        return self.work({**self.values, self.free: x}) - self.want

    def holds(self, x: float, answers: list[float], flats: list[list[float]]) -> bool:
        """Say if x is among what was found. Where an output hardly rises, or by steps, many places give the same."""
        span = self.high - self.low
        return any(a - 1e-9 * span <= x <= b + 1e-9 * span for a, b in flats) or any(
            abs(a - x) <= 1e-9 * span or (abs(a - x) <= 5e-3 * span and abs(self.off(a)) <= 1e-12 * abs(self.want))
            for a in answers)

    def brackets(self, rules: list[Condition]) -> list[tuple[float, float]]:
        """Return where the sign changes: both ends, and two places close by, since at an end it may be refused."""
        near = 0.01 * (self.high - self.low)
        both = [(self.low, self.high), (max(self.low, self.was - near), min(self.high, self.was + near))]
        return [(a, b) for a, b in both if self.off(a) * self.off(b) < 0 and math.isfinite(self.off(a) * self.off(b))
                and not any(evaluate.holds(rule, {**self.values, self.free: x}) for rule in rules for x in (a, b))]


def refusals(one: Calculator) -> list[Condition]:
    drawn = curves.read(SITE.units, one.curves)
    return [parse_condition(rule.when, drawn) for rule in one.refuse]


def cases(name: str) -> list[Case]:
    """Return random figures, from a seed, that the calculator does not refuse."""
    one = SITE.calculators[name]
    chance, rules = random.Random(f"backwards {name}"), refusals(one)
    asked = [(key, free) for key, shape in one.outputs.items() if not shape.only_words
             for free in sorted(typed_for(name, key))]
    functions = {key: quick(one, key) for key, _ in asked}
    fixed = {key: SITE.units.si(constant.value) for key, constant in one.constants.items()}
    limits = {key: (SITE.units.si(shape.min), SITE.units.si(shape.max)) for key, shape in one.typed().items()}
    found: list[Case] = []
    for _ in range(CASES * 60):
        values = dict(fixed)
        for key, shape in one.typed().items():
            values[key] = math.nan if shape.optional and chance.random() < 0.3 else chance.uniform(*limits[key])
        for choice in one.picked().values():
            option = chance.choice(list(choice.choices.values()))
            values |= {key: SITE.units.si(given.value) for key, given in option.gives.items()}
        output, free = chance.choice(asked)
        if math.isnan(values[free]) or any(evaluate.holds(rule, values) for rule in rules):
            continue
        want = functions[output](dict(values))
        if math.isfinite(want):
            found.append(Case(values, output, free, want, values[free], *limits[free], functions[output]))
        if len(found) == CASES:
            break
    return found


def typed_for(name: str, output: str) -> set[str]:
    """Return the typed inputs that an output rests on."""
    one = SITE.calculators[name]
    return program(SITE.units, one).needs(output) & set(one.typed())


BACK = """async ([name, cases]) => {
  const { solve } = await import('../js/lib/solve.js');
  const { calculator } = await import(`../js/data/calc/${name}.js`);
  const limits = Object.fromEntries(calculator.inputs.map((one) => [one.id, one]));
  return cases.map(([values, output, free, want]) => {
    const { min, max } = limits[free];
    const all = Object.fromEntries(Object.entries(values).map(([key, value]) => [key, value ?? NaN]));
    const f = (x) => {
      all[free] = x;
      return calculator.refused(all).some(Boolean) ? NaN : calculator.work(all)[output];
    };
    const { answers, flats } = solve(f, min[0], max[0], want);
    return [answers, flats];
  });
}"""


WITH_NUMBERS = sorted(name for name, one in SITE.calculators.items() if any(
    not shape.only_words and typed_for(name, key) for key, shape in one.outputs.items()))


@pytest.mark.parametrize("name", WITH_NUMBERS)
def test_a_calculator_backwards(page: Page, name: str) -> None:
    rules, tried = refusals(SITE.calculators[name]), cases(name)
    assert len(tried) == CASES
    page.goto("about/")
    plain = [[{key: None if math.isnan(x) else x for key, x in case.values.items()}, case.output, case.free, case.want]
             for case in tried]
    compared = 0
    for case, (answers, flats) in zip(tried, page.evaluate(BACK, [name, plain]), strict=True):
        for answer in answers:
            assert case.low <= answer <= case.high, (case, answer)
            assert abs(case.off(answer)) <= max(1e-12, 1e-9 * abs(case.want)), (case, answer)
        assert case.holds(case.was, answers, flats), ("what it was is not found", case, answers, flats)
        for bracket in case.brackets(rules)[:1]:
            root = brentq(case.off, *bracket, xtol=1e-15 * max(map(abs, bracket)), rtol=4e-15, maxiter=500)
            if abs(case.off(root)) <= 1e-9 * abs(case.want):  # else scipy was led to a jump or a pole
                compared += 1
                assert case.holds(root, answers, flats), ("scipy finds another", root, case, answers, flats)
    assert compared >= CASES // 4, f"only {compared} of {CASES} have a change of sign"
