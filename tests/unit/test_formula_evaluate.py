"""A tree as a number, as a quantity with its dimension, and as MathML."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import dataclass

import pytest

from fillmark import units
from fillmark.formula import curves, evaluate, ieee, mathml
from fillmark.formula.javascript import bare, expression
from fillmark.formula.javascript import curve as declaration
from fillmark.formula.language import parse
from fillmark.formula.program import compiled
from fillmark.formula.tree import FormulaError
from fillmark.units import Units
from harness import ROOT

V = {"a": 3.0, "b": 4.0, "z": 0.0, "n": -8.0}


@pytest.fixture(scope="module")
def table() -> Units:
    found, wrong = units.read((ROOT / "content" / "units.txt").read_text("utf-8"))
    assert found, wrong
    return found


@pytest.mark.parametrize(("text", "value"), [
    ("a + b * 2", 11.0), ("(a + b) * 2", 14.0), ("a - b - 1", -2.0), ("a / b / 2", 0.375), ("2 ** 3 ** 2", 512.0),
    ("-a ** 2", -9.0), ("(-a) ** 2", 9.0), ("sqrt(a ** 2 + b ** 2)", 5.0), ("log10(1000)", 3.0), ("exp(0)", 1.0),
    ("min(a, b) + max(a, b)", 7.0), ("abs(n)", 8.0), ("choose(a < b, 1, 2)", 1.0), ("choose(a >= b, 1, 2)", 2.0),
    ("asin(a / 6)", math.pi / 6), ("acos(a / 6)", math.pi / 3), ("atan(a / a)", math.pi / 4),
    ("ceil(a)", 3.0), ("ceil(a + 0.1)", 4.0), ("ceil(-a - 0.1)", -3.0),
    ("choose(z > 0, 1 / z, 5)", 5.0), ("cos(pi)", -1.0), ("2 * 10 ** -3", 0.002),
])
def test_number(text: str, value: float) -> None:
    assert evaluate.number(parse(text), V) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize("text", ["1 / z", "z / z", "log10(z)", "log(n)", "sqrt(n)", "n ** 0.5", "exp(1000)", "z ** -1",
                                  "10 ** 400", "1e308 * 10", "asin(b)", "acos(n)",
                                  "ceil(1 / z)", "ceil(z / z)",
                                  "min(z / z, 1)", "max(1, z / z)", "tan(1 / z)"])
def test_no_answer_is_not_finite(text: str) -> None:
    assert not math.isfinite(evaluate.number(parse(text), V))


def test_no_answer_takes_no_branch_by_chance() -> None:
    assert evaluate.number(parse("choose(z / z < 1, 1, 2)"), V) == 2.0


@pytest.mark.parametrize(("base", "exponent", "value"), [
    # ECMAScript, Number::exponentiate: NaN for (±1) ** ±Infinity and 1 ** NaN, where C gives 1
    (1.0, math.inf, math.nan), (-1.0, -math.inf, math.nan), (1.0, math.nan, math.nan), (math.nan, 0.0, 1.0),
    (0.0, -1.0, math.inf), (-0.0, -1.0, -math.inf), (-0.0, -2.0, math.inf), (-2.0, 1025.0, -math.inf),
    (-8.0, 1 / 3, math.nan), (2.0, 0.5, math.sqrt(2)),
])
def test_powers_are_the_browser_s(base: float, exponent: float, value: float) -> None:
    got = ieee.power(base, exponent)
    assert math.isnan(got) if math.isnan(value) else got == value


def test_dimensions_follow(table: Units) -> None:
    values = {"d": table.quantity(0.008, "mm"), "f": table.quantity(1000.0, "N"), "t": table.quantity(300.0, "°C")}
    assert evaluate.quantity(parse("0.2 * d * f"), values).to("N*m").magnitude == pytest.approx(1.6)
    assert evaluate.quantity(parse("sqrt(d * d)"), values).to("mm").magnitude == pytest.approx(8)
    assert evaluate.quantity(parse("pi / 4 * d ** 2"), values).to("mm**2").magnitude == pytest.approx(50.26548)
    assert evaluate.quantity(parse("choose(d > d, 2 * d, d)"), values).to("mm").magnitude == pytest.approx(8)
    assert evaluate.quantity(parse("max(d, 2 * d)"), values).to("mm").magnitude == pytest.approx(16)
    assert evaluate.quantity(parse("t - 2 * t"), values).to("kelvin").magnitude == pytest.approx(-300)


@pytest.mark.parametrize(("text", "column", "said"), [
    ("1 + d + f", 1, "cannot add: a plain number and length"),
    ("f - d", 1, "cannot subtract: length·mass·time^-2 and length"),
    ("2 * log10(d)", 11, "'log10' takes a plain number, not length"),
    ("min(d, f)", 1, "'min' of different kinds"),
    ("choose(d < f, 1, 2)", 8, "cannot compare"),
    ("choose(d < d, d, 1)", 1, "the two branches of choose differ"),
    ("2 ** d", 6, "an exponent must be a plain number, not length"),
    ("d ** (1 + 1)", 7, "length can only be raised to a number that is written out"),
    ("cos(d)", 5, "'cos' takes a plain number"),
])
def test_dimensions_that_do_not_fit(table: Units, text: str, column: int, said: str) -> None:
    values = {"d": table.quantity(0.008, "mm"), "f": table.quantity(1000.0, "N")}
    with pytest.raises(FormulaError) as caught:
        evaluate.quantity(parse(text), values)
    assert caught.value.column == column
    assert caught.value.message.startswith(said)


@dataclass(frozen=True)
class Declared:
    x: str
    y: str
    points: tuple[tuple[float, float], ...]


# ASHRAE Fundamentals, ethylene glycol by volume: four of its points.
FREEZE = Declared("%", "°C", ((8.9, -3.2), (18.1, -7.8), (22.9, -10.7), (50.6, -37.9)))
# The same the other way round, in other units: rising in °F.
SHARE = Declared("°F", "1", ((-36.22, 0.506), (12.74, 0.229), (17.96, 0.181), (26.24, 0.089)))


def test_a_curve_between_its_points_and_at_its_ends(table: Units) -> None:
    drawn = curves.read(table, {"freeze": FREEZE})

    def celsius(percent: float) -> float:
        return evaluate.number(parse("along(freeze, a)", drawn), {"a": percent / 100}) - 273.15
    assert celsius(8.9) == pytest.approx(-3.2, abs=1e-9)
    assert celsius(18.1) == pytest.approx(-7.8, abs=1e-9)
    assert celsius(50.6) == pytest.approx(-37.9, abs=1e-9)
    assert celsius(20.5) == pytest.approx((-7.8 - 10.7) / 2, abs=1e-9)
    assert celsius(8.9 + 9.2 / 4) == pytest.approx(-3.2 - 4.6 / 4, abs=1e-9)
    for outside in (8.89, 50.61, 0.0, -5.0, 100.0, math.nan, math.inf, -math.inf):
        assert math.isnan(celsius(outside)), outside


def test_an_end_typed_in_another_unit_is_still_on_the_curve(table: Units) -> None:
    boil = curves.read(table, {"boil": Declared("°C", "kPa", ((20.0, 2.34), (100.0, 101.325)))})
    tree = parse("along(boil, t)", boil)
    unit = table.known("°F")
    assert unit
    for typed, pressure in ((68.0, 2340.0), (212.0, 101325.0)):
        assert evaluate.number(tree, {"t": typed * unit.factor + unit.offset}) == pytest.approx(pressure, rel=1e-9)
    assert math.isnan(evaluate.number(tree, {"t": 212.001 * unit.factor + unit.offset}))


def test_a_curve_of_temperatures_and_back(table: Units) -> None:
    drawn = curves.read(table, {"freeze": FREEZE, "share": SHARE})
    there = parse("along(freeze, along(share, t))", drawn)
    for celsius in (-37.9, -30.0, -10.7, -9.0, -3.2):
        assert evaluate.number(there, {"t": celsius + 273.15}) == pytest.approx(celsius + 273.15, abs=1e-9)
    got = evaluate.quantity(there, {"t": table.quantity(263.15, "°C")})
    assert got.to("kelvin").magnitude == pytest.approx(263.15)
    assert evaluate.quantity(parse("along(share, t)", drawn), {"t": table.quantity(263.15, "°C")}).dimensionless


@pytest.mark.parametrize(("text", "column", "said"), [
    ("2 * along(freeze, d)", 19, "the curve 'freeze' is read at a plain number, not length"),
    ("along(share, s)", 14, "the curve 'share' is read at temperature, not a plain number"),
    ("d + along(freeze, s)", 1, "cannot add: length and temperature"),
    ("choose(along(freeze, s) < s, d, d)", 8, "cannot compare: temperature and a plain number"),
])
def test_the_dimensions_of_a_curve(table: Units, text: str, column: int, said: str) -> None:
    values = {"d": table.quantity(0.008, "mm"), "s": table.quantity(0.2, "%")}
    with pytest.raises(FormulaError) as caught:
        evaluate.quantity(parse(text, curves.read(table, {"freeze": FREEZE, "share": SHARE})), values)
    assert (caught.value.column, caught.value.message) == (column, said)


def test_a_curve_of_an_unknown_unit_is_not_read(table: Units) -> None:
    with pytest.raises(KeyError):
        curves.read(table, {"odd": Declared("furlong", "°C", FREEZE.points)})


def test_a_curve_in_scripts_and_on_the_page(table: Units) -> None:
    drawn = curves.read(table, {"boil": Declared("bar", "mm", ((1.0, 2.0), (2.0, 4.0)))})
    assert expression(parse("2 * along(boil, p + q)", drawn)) == "(2*along($p+$q,$boil))"
    assert declaration(drawn["boil"]) == "const $boil={x:[100000,200000],y:[0.002,0.004]};"
    markup = mathml.block("y", parse("2 * along(boil, p + q)", drawn), {"boil": "f_b"})
    assert "".join(ET.fromstring(markup).itertext()) == "y=2×fb(p+q)"
    assert compiled([("y", "along(boil, p)")], drawn).needs("y") == {"p"}


def test_a_program_knows_what_it_needs() -> None:
    program = compiled([("x", "a + 1"), ("y", "x * b"), ("w", "c")])
    assert program.needs("y") == {"a", "b"}
    assert program.numbers({"a": 1.0, "b": 3.0, "c": math.nan})["y"] == 6.0


def test_javascript_has_brackets_around_what_stands_in_another() -> None:
    assert expression(parse("-a ** 2 + b")) == "((-($a**2))+$b)"
    assert expression(parse("choose(a < b, min(a, 1), log10(b))")) == "($a<$b?Math.min($a,1):Math.log10($b))"
    assert bare(parse("a + b * choose(a < b, a - 1, b)")) == "$a+($b*($a<$b?($a-1):$b))"
    assert bare(parse("abs(-a)")) == "Math.abs(-$a)"
    # A name may be a word of JavaScript: it gets a mark.
    assert expression(parse("new + var")) == "($new+$var)"


def flat(text: str, symbols: dict[str, str] | None = None) -> str:
    markup = mathml.block("y", parse(text), symbols or {})
    return "".join(ET.fromstring(markup).itertext())


@pytest.mark.parametrize(("text", "shown"), [
    ("a * (b + c)", "y=a·(b+c)"), ("a * b + c", "y=a·b+c"), ("a - (b - c)", "y=a−(b−c)"), ("a - b - c", "y=a−b−c"),
    ("a + (b + c)", "y=a+b+c"), ("-(a + b)", "y=−(a+b)"), ("2 * a", "y=2×a"), ("(a * b) ** 2", "y=(a·b)2"),
    ("log10(a)", "y=log₁₀(a)"), ("log(a)", "y=ln(a)"), ("ceil(a / b)", "y=⌈ab⌉"), ("pi * a", "y=π×a"),
    ("a * -b", "y=a·(−b)"), ("asin(a)", "y=arcsin(a)"),
    ("choose(a <= b, 1, choose(a > c, 2, 3))", "y={1if\u00a0a≤b2if\u00a0a>c3otherwise"),
])
def test_mathml_has_brackets_where_a_reader_needs_them(text: str, shown: str) -> None:
    assert flat(text) == shown


def test_mathml_is_well_formed_and_draws_fractions_powers_and_roots() -> None:
    markup = mathml.block("T_2", parse("sqrt(a / b) ** 2"), {"a": "K_1", "b": "<b"})
    root = ET.fromstring(markup)
    assert root.attrib == {"display": "block"}
    assert {element.tag for element in root.iter()} >= {"msqrt", "mfrac", "msup", "msub"}
    assert "<b" in "".join(root.itertext())


@pytest.mark.parametrize(("text", "markup"), [
    ("a + b * c", "<mi>a</mi><mo>+</mo><mi>b</mi><mo>·</mo><mi>c</mi>"),
    ("a / b", "<mfrac><mi>a</mi><mi>b</mi></mfrac>"),
    ("(a + 1) / b", "<mfrac><mrow><mi>a</mi><mo>+</mo><mn>1</mn></mrow><mi>b</mi></mfrac>"),
    ("2 ** (a - b)", "<msup><mn>2</mn><mrow><mi>a</mi><mo>−</mo><mi>b</mi></mrow></msup>"),
    # A sign before a name is no operation, so it is the first of a row of its own; so is a bar.
    ("a + -b", "<mi>a</mi><mo>+</mo><mrow><mo>−</mo><mi>b</mi></mrow>"),
    ("a * abs(b)", "<mi>a</mi><mo>·</mo><mrow><mo>|</mo><mi>b</mi><mo>|</mo></mrow>"),
    # Brackets grow with what stands beside them in their row: theirs only where that changes nothing.
    ("a * (b + c)", "<mi>a</mi><mo>·</mo><mo>(</mo><mi>b</mi><mo>+</mo><mi>c</mi><mo>)</mo>"),
    ("a / b * (b - c)",
     "<mfrac><mi>a</mi><mi>b</mi></mfrac><mo>·</mo><mrow><mo>(</mo><mi>b</mi><mo>−</mo><mi>c</mi><mo>)</mo></mrow>"),
    ("c * log(a / b)", "<mi>c</mi><mo>·</mo><mi>ln</mi><mo>(</mo><mfrac><mi>a</mi><mi>b</mi></mfrac><mo>)</mo>"),
])
def test_mathml_has_a_row_only_where_it_changes_something(text: str, markup: str) -> None:
    assert mathml.block("y", parse(text), {}) == f'<math display="block"><mi>y</mi><mo>=</mo>{markup}</math>'


@pytest.mark.parametrize(("symbol", "markup"), [
    ("d", "<mi>d</mi>"), ("W_40", "<msub><mi>W</mi><mn>40</mn></msub>"),
    ("T_hot", "<msub><mi>T</mi><mi>hot</mi></msub>"),
    ("u_T", "<msub><mi>u</mi><mtext>T</mtext></msub>"), ("a_<", "<msub><mi>a</mi><mtext>&lt;</mtext></msub>"),
])
def test_a_low_symbol_stands_upright(symbol: str, markup: str) -> None:
    assert mathml.written(symbol) == markup
