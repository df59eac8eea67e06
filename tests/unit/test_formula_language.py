"""What a formula may be, and what is said about one that is not: message and column."""

from __future__ import annotations

import pytest

from fillmark.formula.language import CHOOSE, FUNCTIONS, FormulaError, parse, parse_condition
from fillmark.formula.tree import Along, Binary, Call, Choose, Curve, Minus, Name, Number, curves, names

GOOD = [
    "1", "0.7", "1e-6", ".5", "d", "K_2", "-d", "--d", "a + b", "a - b * c", "(a + b) / c ** 2", "pi * (d / 2) ** 2",
    "sqrt(a)", "log10(log10(nu + 0.7))", "min(a, b)", "choose(a < b, a, b)", "choose(a <= b, choose(b > c, 1, 2), 3)",
    "  a + b  ", "a**-b",
]
BAD = [
    ("", 1, "formula is empty"),
    ("   ", 1, "formula is empty"),
    ("a b", 3, "formula cannot be read from here on"),
    ("(a + b", 1, "formula cannot be read from here on"),
    ("a +", 3, "formula cannot be read from here on"),
    ("lambda: 1", 1, "a lambda cannot stand in a formula"),
    ("0,7 * a", 1, "a comma cannot stand in a formula"),
    ("x ^ 2", 3, "'^' cannot stand in a formula"),
    ("a × b", 3, "'×' cannot stand in a formula"),
    ("a·b", 2, "'·' cannot stand in a formula"),
    ("a − b", 3, "'−' cannot stand in a formula"),
    ("1 + ν", 5, "'ν' cannot stand in a formula"),
    ("a +\nb", 4, "a formula is one line of text"),
    ("a.b", 1, "a dot after a name cannot stand in a formula"),
    ("a[0]", 1, "an index cannot stand in a formula"),
    ("2 * [a]", 5, "a list cannot stand in a formula"),
    ("a if b else c", 1, "if/else cannot stand in a formula"),
    ("a and b", 1, "and/or cannot stand in a formula"),
    ("1 + (a < b)", 6, "a comparison may only be the condition of choose"),
    ("a == b", 1, "a comparison may only be the condition of choose"),
    ("a % b", 3, "% cannot stand in a formula"),
    ("a // b", 3, "// cannot stand in a formula"),
    ("(a) | b", 5, "| cannot stand in a formula"),
    ("a @ b", 3, "@ cannot stand in a formula"),
    ("a >> b", 3, ">> cannot stand in a formula"),
    ("+a", 1, "this sign cannot stand in a formula"),
    ("not a", 1, "this sign cannot stand in a formula"),
    ("a * sqr(b)", 5, "unknown function 'sqr'"),
    ("__import__('os')", 1, "unknown function '__import__'"),
    ("a.b(c)", 1, "only a function of the list can be called"),
    ("sqrt", 1, "'sqrt' is a function and needs brackets"),
    ("2 * choose", 5, "'choose' is a function and needs brackets"),
    ("sqrt(a, b)", 1, "'sqrt' takes 1 argument, not 2"),
    ("min(a)", 1, "'min' takes 2 arguments, not 1"),
    ("sqrt(*a)", 6, "* cannot stand in a formula"),
    ("sqrt(x=1)", 8, "'sqrt' takes no named arguments"),
    ("choose(a, b, c)", 8, "a comparison is expected here"),
    ("choose(a < b < c, 1, 2)", 8, "a condition is one comparison with <, <=, > or >="),
    ("choose(a == b, 1, 2)", 8, "a condition is one comparison with <, <=, > or >="),
    ("choose(a < b, 1)", 1, "'choose' takes 3 arguments, not 2"),
    ("1_000 * a", 1, "number 1_000 is not written plainly"),
    ("0x10", 1, "number 0x10 is not written plainly"),
    ("2 * 3j", 5, "3j is not a number"),
    ("True", 1, "True is not a number"),
    ("'a'", 1, "'a' is not a number"),
    ("a + ...", 5, "... is not a number"),
    ("f'{a}'", 1, "text cannot stand in a formula"),
    ("1e999", 1, "number 1e999 is too large"),
    ("-" * 50 + "a", 42, "formula is nested too deeply"),
    ("a" * 401, 400, "formula is longer than 400 characters"),
]

CURVE = {"freeze": Curve("freeze", (0.0, 1.0), (2.0, 3.0), "dimensionless", "kelvin")}
BAD_WITH_A_CURVE = [
    ("2 * freeze", 5, "'freeze' is a curve, not a number", "along(freeze, …)"),
    ("along(freeze, freeze)", 15, "'freeze' is a curve, not a number", "along(freeze, …)"),
    ("freeze(a)", 1, "unknown function 'freeze'", ""),
    ("1 + along(2, a)", 11, "the first argument of 'along' is the name of a curve", "freeze"),
    ("along(a + b, a)", 7, "the first argument of 'along' is the name of a curve", "freeze"),
    ("along(freze, a)", 7, "unknown curve 'freze'", "did you mean 'freeze'?"),
    ("along(a, freeze)", 7, "unknown curve 'a'", "freeze"),
    ("along(freeze)", 1, "'along' takes 2 arguments, not 1", ""),
    ("along(freeze, a, b)", 1, "'along' takes 2 arguments, not 3", ""),
    ("along(freeze, a < b)", 15, "a comparison may only be the condition of choose", ""),
]


@pytest.mark.parametrize("text", GOOD)
def test_is_read(text: str) -> None:
    parse(text)


@pytest.mark.parametrize(("text", "column", "message"), BAD)
def test_is_refused(text: str, column: int, message: str) -> None:
    with pytest.raises(FormulaError) as caught:
        parse(text)
    assert (caught.value.column, caught.value.message) == (column, message)


@pytest.mark.parametrize(("text", "column", "message", "hint"), BAD_WITH_A_CURVE)
def test_a_curve_is_read_with_along_only(text: str, column: int, message: str, hint: str) -> None:
    with pytest.raises(FormulaError) as caught:
        parse(text, CURVE)
    assert (caught.value.column, caught.value.message) == (column, message)
    assert hint in caught.value.hint


def test_without_curves_there_is_none_to_read() -> None:
    with pytest.raises(FormulaError, match="unknown curve 'freeze'") as caught:
        parse("along(freeze, a)")
    assert caught.value.hint == "declare one under curves:"


def test_a_curve_in_the_tree() -> None:
    tree = parse("b * along(freeze, a + along(freeze, c))", CURVE)
    inner = Along(CURVE["freeze"], Name("c", 37), 23)
    assert tree == Binary("*", Name("b", 1), Along(CURVE["freeze"], Binary("+", Name("a", 19), inner, 19), 5), 1)
    assert [one.id for one in names(tree)] == ["b", "a", "c"]
    assert [one.id for one in curves(tree)] == ["freeze", "freeze"]
    assert [one.id for one in curves(parse_condition("along(freeze, a) < b", CURVE))] == ["freeze"]


def test_along_is_a_name_like_any_other_without_brackets() -> None:
    assert parse("along * along(freeze, along)", CURVE) == Binary(
        "*", Name("along", 1), Along(CURVE["freeze"], Name("along", 23), 9), 1)


def test_hints_say_what_to_write() -> None:
    for text, hint in (("x ^ 2", "write **"), ("a × b", "write *"), ("sqr(b)", "did you mean 'sqrt'?"),
                       ("π * d", "write pi"), ("1_000", "write digits and a point, such as 0.7")):
        with pytest.raises(FormulaError) as caught:
            parse(text)
        assert caught.value.hint == hint


def test_tree_and_columns() -> None:
    assert parse("-a + min(b, 2)") == Binary(
        "+", Minus(Name("a", 2), 1), Call("min", (Name("b", 10), Number(2.0, "2", 13)), 6), 1,
    )
    tree = parse("choose(a < b, c, d)")
    assert isinstance(tree, Choose)
    assert [one.id for one in names(tree)] == ["a", "b", "c", "d"]


def test_a_condition_stands_alone() -> None:
    assert [one.id for one in names(parse_condition("kv100 >= kv40"))] == ["kv100", "kv40"]
    with pytest.raises(FormulaError, match="a comparison is expected here"):
        parse_condition("kv100")


def test_brackets_cannot_exhaust_the_reader() -> None:
    with pytest.raises(FormulaError):
        parse("(" * 199 + "a" + ")" * 199 + " +")


def test_every_function_is_a_whole_row() -> None:
    for name, row in FUNCTIONS.items():
        assert row.arguments in (1, 2), name
        assert "{all}" in row.js and any(at in row.mathml for at in ("{all}", "{0}", "{one}")), name
        assert name != CHOOSE
