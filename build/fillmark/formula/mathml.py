"""A tree as MathML Core, with brackets only where a reader needs them.

A part of a formula is a list of elements, and an <mrow> stands only where it changes something: where one element is
asked for, round a sign, which else is an operation, and round brackets beside something taller, with which they grow.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape

from fillmark.formula.language import FUNCTIONS
from fillmark.formula.tree import Along, Binary, Call, Choose, Condition, Minus, Name, Number, Tree

TALL = re.compile("<(mfrac|msup|msqrt|mtable)")
SIGNS = {"<": "&lt;", "<=": "≤", ">": "&gt;", ">=": "≥"}
Parts = list[str]


def block(symbol: str, tree: Tree, symbols: Mapping[str, str]) -> str:
    """Return a display formula `symbol = tree`; `symbols` gives the printed symbol of a name."""
    return f'<math display="block">{_flat([written(symbol), "<mo>=</mo>", *_parts(tree, symbols)])}</math>'


def inline(symbol: str) -> str:
    """Return a symbol by itself, for the list of what the symbols mean."""
    return f"<math>{written(symbol)}</math>"


def written(symbol: str) -> str:
    """Return the markup of a symbol: `K_2` has a subscript."""
    base, _, low = symbol.partition("_")
    letter = f"<mi>{escape(base)}</mi>"
    tag = "mn" if low.isdecimal() else "mi" if len(low) > 1 else "mtext"  # one letter as <mi> would lean
    return f"<msub>{letter}<{tag}>{escape(low)}</{tag}></msub>" if low else letter


class Bracketed(str):
    """An <mrow> of brackets and what is within."""


def _flat(parts: Parts) -> str:
    """Return the elements of a row; brackets need no row of their own where nothing beside them is taller."""
    tall = [bool(TALL.search(part)) for part in parts]
    return "".join(
        part[len("<mrow>"):-len("</mrow>")] if isinstance(part, Bracketed) and sum(tall) == tall[at] else part
        for at, part in enumerate(parts)
    )


def _one(parts: Parts) -> str:
    return parts[0] if len(parts) == 1 else _row(*parts)


def _row(*parts: str) -> str:
    return f"<mrow>{_flat([*parts])}</mrow>"


def _parts(tree: Tree, symbols: Mapping[str, str], outer: int = 0) -> Parts:
    """Return the elements of a tree; `outer` is what it stands in: 1 a sum, 2 a product, 3 the base of a power."""
    match tree:
        case Number(text=text):
            return ["<mi>π</mi>" if text == "pi" else f"<mn>{text}</mn>"]
        case Name(id=name):
            return [written(symbols.get(name, name))]
        case Minus(of=inner):
            signed = _row("<mo>−</mo>", *_parts(inner, symbols, 2))
            return [_brackets(signed) if outer > 1 else signed]
        case Binary():
            return _binary(tree, symbols, outer)
        case Call(function=name, args=args):
            each = [_parts(arg, symbols) for arg in args]
            flat = [_flat(parts) for parts in each]
            made = FUNCTIONS[name].mathml.format(*flat, one=_one(each[0]), all="<mo>,</mo>".join(flat))
            # A bar that is not the first or last of its row is an operation, with blanks round it.
            return [Bracketed(made) if made.startswith("<mrow><mi>") else made]
        case Along(curve=curve, at=at):
            of = written(symbols.get(curve.id, curve.id))
            return [Bracketed(_row(of, "<mo>(</mo>", *_parts(at, symbols), "<mo>)</mo>"))]
        case Choose():
            return [_cases(tree, symbols)]


def _cases(tree: Choose, symbols: Mapping[str, str]) -> str:
    """Return a brace with one row per case; a choice within the last branch only adds rows."""
    rows: list[str] = []
    last: Tree = tree
    while isinstance(last, Choose):
        met = ["<mtext>if\u00a0</mtext>", *_condition(last.condition, symbols)]
        rows.append(f"<mtr>{_cell(_parts(last.yes, symbols))}{_cell(met)}</mtr>")
        last = last.no
    rows.append(f"<mtr>{_cell(_parts(last, symbols))}{_cell(['<mtext>otherwise</mtext>'])}</mtr>")
    return _row('<mo stretchy="true">{</mo>', f"<mtable>{''.join(rows)}</mtable>")


def _cell(parts: Parts) -> str:
    return f"<mtd>{_flat(parts)}</mtd>"


def _binary(tree: Binary, symbols: Mapping[str, str], outer: int) -> Parts:
    left, right = tree.left, tree.right
    match tree.op:
        case "/":
            return [f"<mfrac>{_one(_parts(left, symbols))}{_one(_parts(right, symbols))}</mfrac>"]
        case "**":
            base = _one(_parts(left, symbols, 3))
            if isinstance(left, Binary) and left.op in {"/", "**"}:
                base = _brackets(*_parts(left, symbols))
            return [f"<msup>{base}{_one(_parts(right, symbols))}</msup>"]
        case "*":
            sign = "<mo>×</mo>" if isinstance(right, Number) or isinstance(left, Number) else "<mo>·</mo>"
            product = [*_parts(left, symbols, 2), sign, *_parts(right, symbols, 2)]
            return [_brackets(*product)] if outer > 2 else product
    sign = "<mo>+</mo>" if tree.op == "+" else "<mo>−</mo>"
    total = [*_parts(left, symbols, 1), sign, *_parts(right, symbols, 2 if tree.op == "-" else 1)]
    return [_brackets(*total)] if outer > 1 else total


def _condition(tree: Condition, symbols: Mapping[str, str]) -> Parts:
    return [*_parts(tree.left, symbols), f"<mo>{SIGNS[tree.op]}</mo>", *_parts(tree.right, symbols)]


def _brackets(*inner: str) -> str:
    return Bracketed(_row("<mo>(</mo>", *inner, "<mo>)</mo>"))
