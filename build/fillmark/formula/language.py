"""The language of formulas: numbers, names, + - * / **, calls of FUNCTIONS, points of curves, one comparison as a
condition.

parse() reads a text with Python's own parser and lets through only what is listed here, as a checked tree that
remembers the column of every part. Nothing is ever evaluated by Python itself.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from fillmark.formula import ieee
from fillmark.formula.tree import (
    Along,
    Binary,
    Call,
    Choose,
    Comparison,
    Condition,
    Curve,
    FormulaError,
    Minus,
    Name,
    Number,
    Operator,
    Tree,
)

NUMBER = re.compile(r"(\d+(\.\d+)?|\.\d+)([eE][-+]?\d+)?")
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
LONGEST, DEEPEST = 400, 40
TYPED = {
    "×": "*", "·": "*", "÷": "/", "−": "-", "²": "**2", "³": "**3", "√": "sqrt(…)", "π": "pi", "≤": "<=", "≥": ">=",
    "^": "**",
}
CONSTANTS = {"pi": math.pi}


@dataclass(frozen=True)
class Function:
    """A row of FUNCTIONS: how many arguments, the number in Python, in JavaScript, in MathML, and its dimension rule.

    Rules: `pure` takes and gives plain numbers; `same` wants arguments of one dimension and keeps it; `root` halves
    the dimension. `{0}` in `js` and `mathml` is the first argument, `{all}` every argument with commas between; in
    `mathml`, which is one element, `{one}` is the first argument as one element.
    """

    arguments: int
    number: Callable[..., float]
    js: str
    mathml: str
    rule: Literal["pure", "same", "root"]


def _named(word: str) -> str:
    return f"<mrow><mi>{word}</mi><mo>(</mo>{{all}}<mo>)</mo></mrow>"


FUNCTIONS: dict[str, Function] = {
    "sqrt": Function(1, ieee.sqrt, "Math.sqrt({all})", "<msqrt>{0}</msqrt>", "root"),
    "exp": Function(1, ieee.exp, "Math.exp({all})", "<msup><mi>e</mi>{one}</msup>", "pure"),
    "log": Function(1, ieee.log, "Math.log({all})", _named("ln"), "pure"),
    "log10": Function(1, ieee.log10, "Math.log10({all})", _named("log₁₀"), "pure"),
    "sin": Function(1, ieee.sin, "Math.sin({all})", _named("sin"), "pure"),
    "cos": Function(1, ieee.cos, "Math.cos({all})", _named("cos"), "pure"),
    "tan": Function(1, ieee.tan, "Math.tan({all})", _named("tan"), "pure"),
    "asin": Function(1, ieee.asin, "Math.asin({all})", _named("arcsin"), "pure"),
    "acos": Function(1, ieee.acos, "Math.acos({all})", _named("arccos"), "pure"),
    "atan": Function(1, ieee.atan, "Math.atan({all})", _named("arctan"), "pure"),
    "abs": Function(1, abs, "Math.abs({all})", "<mrow><mo>|</mo>{0}<mo>|</mo></mrow>", "same"),
    "ceil": Function(1, ieee.ceil, "Math.ceil({all})", "<mrow><mo>⌈</mo>{0}<mo>⌉</mo></mrow>", "pure"),
    "min": Function(2, ieee.smaller, "Math.min({all})", _named("min"), "same"),
    "max": Function(2, ieee.larger, "Math.max({all})", _named("max"), "same"),
}
CHOOSE = "choose"  # choose(condition, if it holds, if not): not a row, since only one branch may count
# along(curve, x): its first argument is the name of a curve, not a number. Without brackets it is a name like any.
ALONG = "along"
CALLED = (*FUNCTIONS, ALONG, CHOOSE)
RESERVED = {*FUNCTIONS, *CONSTANTS, CHOOSE}
NO_CURVES: Mapping[str, Curve] = {}

OPERATORS: dict[type[ast.operator], Operator] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**",
}
REFUSED: dict[type[ast.operator], str] = {
    ast.Mod: "%", ast.FloorDiv: "//", ast.BitOr: "|", ast.BitAnd: "&", ast.BitXor: "^", ast.LShift: "<<",
    ast.RShift: ">>", ast.MatMult: "@",
}
COMPARISONS: dict[type[ast.cmpop], Comparison] = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">="}


def parse(text: str, curves: Mapping[str, Curve] = NO_CURVES) -> Tree:
    """Return the checked tree of a formula; `curves` are those it may read, by name. Raises FormulaError."""
    text = text.strip()
    return _Reader(text, curves).tree(_python(text), 0)


def parse_condition(text: str, curves: Mapping[str, Curve] = NO_CURVES) -> Condition:
    """Return the checked tree of one comparison, such as `kv100 >= kv40`. Raises FormulaError."""
    text = text.strip()
    return _Reader(text, curves).condition(_python(text), 0)


def _python(text: str) -> ast.expr:
    if not text:
        raise FormulaError("formula is empty", 1)
    if len(text) > LONGEST:
        raise FormulaError(f"formula is longer than {LONGEST} characters", LONGEST, "split it into steps")
    for place, letter in enumerate(text, 1):
        if not letter.isascii() or letter == "^":
            hint = f"write {TYPED[letter]}" if letter in TYPED else ""
            raise FormulaError(f"'{letter}' cannot stand in a formula", place, hint)
        if letter in "\n\r\t\0":
            raise FormulaError("a formula is one line of text", place)
    try:
        return ast.parse(text, mode="eval").body
    except SyntaxError as error:
        raise FormulaError("formula cannot be read from here on", min(error.offset or len(text), len(text)),
                           "a sign, a bracket or a comma is missing or too many") from None
    except (RecursionError, MemoryError, ValueError):
        raise FormulaError("formula is nested too deeply", 1, "split it into steps") from None


class _Reader:
    """Turns Python's tree into ours, refusing whatever is not in the language."""

    def __init__(self, text: str, curves: Mapping[str, Curve]) -> None:
        self.text, self.curves = text, curves

    def tree(self, node: ast.expr, depth: int) -> Tree:
        column = node.col_offset + 1
        if depth > DEEPEST:
            raise FormulaError("formula is nested too deeply", column, "split it into steps")
        match node:
            case ast.Constant():
                return self.number(node)
            case ast.Name(id=name):
                if name in FUNCTIONS or name == CHOOSE:
                    raise FormulaError(f"'{name}' is a function and needs brackets", column, f"{name}(…)")
                if name in self.curves:
                    raise FormulaError(f"'{name}' is a curve, not a number", column, f"{ALONG}({name}, …)")
                return Number(CONSTANTS[name], name, column) if name in CONSTANTS else Name(name, column)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return Minus(self.tree(operand, depth + 1), column)
            case ast.BinOp(op=op, left=left, right=right) if type(op) in OPERATORS:
                return Binary(OPERATORS[type(op)], self.tree(left, depth + 1), self.tree(right, depth + 1), column)
            case ast.Call():
                return self.call(node, depth)
            case ast.Compare():
                raise FormulaError("a comparison may only be the condition of choose", column,
                                   "choose(a < b, if it holds, if not)")
        if isinstance(node, ast.BinOp):
            column = self.text.find(_said(node), node.left.end_col_offset or 0) + 1
        raise FormulaError(f"{_said(node)} cannot stand in a formula", column,
                           "allowed: numbers, names, + - * / **, brackets and " + ", ".join(CALLED))

    def number(self, node: ast.Constant) -> Number:
        column, raw = node.col_offset + 1, self.text[node.col_offset:node.end_col_offset]
        if type(node.value) not in (int, float):
            raise FormulaError(f"{raw} is not a number", column)
        if not NUMBER.fullmatch(raw):
            raise FormulaError(f"number {raw} is not written plainly", column, "write digits and a point, such as 0.7")
        if not math.isfinite(float(raw)):
            raise FormulaError(f"number {raw} is too large", column)
        return Number(float(raw), raw, column)

    def call(self, node: ast.Call, depth: int) -> Tree:
        column = node.col_offset + 1
        if not isinstance(node.func, ast.Name):
            raise FormulaError("only a function of the list can be called", column, ", ".join(CALLED))
        name = node.func.id
        if name not in CALLED:
            close = get_close_matches(name, CALLED, n=1)
            raise FormulaError(f"unknown function '{name}'", column,
                               f"did you mean '{close[0]}'?" if close else ", ".join(CALLED))
        wanted = {CHOOSE: 3, ALONG: 2}.get(name) or FUNCTIONS[name].arguments
        if node.keywords:
            raise FormulaError(f"'{name}' takes no named arguments", node.keywords[0].value.col_offset + 1)
        if len(node.args) != wanted:
            many = "s" if wanted > 1 else ""
            raise FormulaError(f"'{name}' takes {wanted} argument{many}, not {len(node.args)}", column)
        if name == CHOOSE:
            return Choose(self.condition(node.args[0], depth + 1), self.tree(node.args[1], depth + 1),
                          self.tree(node.args[2], depth + 1), column)
        if name == ALONG:
            return Along(self.curve(node.args[0]), self.tree(node.args[1], depth + 1), column)
        return Call(name, tuple(self.tree(arg, depth + 1) for arg in node.args), column)

    def curve(self, node: ast.expr) -> Curve:
        column, known = node.col_offset + 1, ", ".join(self.curves) or "declare one under curves:"
        if not isinstance(node, ast.Name):
            raise FormulaError(f"the first argument of '{ALONG}' is the name of a curve", column, known)
        if node.id not in self.curves:
            close = get_close_matches(node.id, self.curves, n=1)
            raise FormulaError(f"unknown curve '{node.id}'", column, f"did you mean '{close[0]}'?" if close else known)
        return self.curves[node.id]

    def condition(self, node: ast.expr, depth: int) -> Condition:
        column = node.col_offset + 1
        if not isinstance(node, ast.Compare):
            raise FormulaError("a comparison is expected here", column, "such as a < b")
        if len(node.ops) != 1 or type(node.ops[0]) not in COMPARISONS:
            raise FormulaError("a condition is one comparison with <, <=, > or >=", column)
        return Condition(COMPARISONS[type(node.ops[0])], self.tree(node.left, depth + 1),
                         self.tree(node.comparators[0], depth + 1), column)


def _said(node: ast.expr) -> str:
    if isinstance(node, ast.BinOp):
        return REFUSED[type(node.op)]
    return {
        "Attribute": "a dot after a name", "Subscript": "an index", "Lambda": "a lambda", "BoolOp": "and/or",
        "List": "a list", "Tuple": "a comma", "Dict": "a dictionary", "IfExp": "if/else", "NamedExpr": ":=",
        "JoinedStr": "text", "Starred": "*", "UnaryOp": "this sign", "GeneratorExp": "a loop", "ListComp": "a loop",
    }.get(type(node).__name__, type(node).__name__)
