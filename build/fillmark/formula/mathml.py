"""A tree as MathML Core, with brackets only where a reader needs them."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from fillmark.formula.language import FUNCTIONS
from fillmark.formula.tree import Along, Binary, Call, Choose, Condition, Minus, Name, Number, Tree

SIGNS = {"<": "&lt;", "<=": "≤", ">": "&gt;", ">=": "≥"}


def block(symbol: str, tree: Tree, symbols: Mapping[str, str]) -> str:
    """Return a display formula `symbol = tree`; `symbols` gives the printed symbol of a name."""
    return (
        f'<math display="block"><mrow>{written(symbol)}<mo>=</mo>{_markup(tree, symbols)}</mrow></math>'
    )


def inline(symbol: str) -> str:
    """Return a symbol by itself, for the list of what the symbols mean."""
    return f"<math>{written(symbol)}</math>"


def written(symbol: str) -> str:
    """Return the markup of a symbol: `K_2` has a subscript."""
    base, _, low = symbol.partition("_")
    letter = f"<mi>{escape(base)}</mi>"
    return f"<msub>{letter}<mtext>{escape(low)}</mtext></msub>" if low else letter


def _markup(tree: Tree, symbols: Mapping[str, str], outer: int = 0) -> str:
    match tree:
        case Number(text=text):
            return "<mi>π</mi>" if text == "pi" else f"<mn>{text}</mn>"
        case Name(id=name):
            return written(symbols.get(name, name))
        case Minus(of=inner):
            return _bracketed(f"<mo>−</mo>{_markup(inner, symbols, 2)}", outer > 1)
        case Binary():
            return _binary(tree, symbols, outer)
        case Call(function=name, args=args):
            parts = [_markup(arg, symbols) for arg in args]
            return f"<mrow>{FUNCTIONS[name].mathml.format(*parts, all='<mo>,</mo>'.join(parts))}</mrow>"
        case Along(curve=curve, at=at):
            name = written(symbols.get(curve.id, curve.id))
            return f"<mrow>{name}<mo>(</mo>{_markup(at, symbols)}<mo>)</mo></mrow>"
        case Choose():
            return _cases(tree, symbols)


def _cases(tree: Choose, symbols: Mapping[str, str]) -> str:
    """Return a brace with one row per case; a choice within the last branch only adds rows."""
    rows: list[str] = []
    last: Tree = tree
    while isinstance(last, Choose):
        met = f"<mtext>if\u00a0</mtext>{_condition(last.condition, symbols)}"
        rows.append(f"<mtr><mtd>{_markup(last.yes, symbols)}</mtd><mtd>{met}</mtd></mtr>")
        last = last.no
    rows.append(f"<mtr><mtd>{_markup(last, symbols)}</mtd><mtd><mtext>otherwise</mtext></mtd></mtr>")
    return f'<mrow><mo stretchy="true">{{</mo><mtable>{"".join(rows)}</mtable></mrow>'

def _binary(tree: Binary, symbols: Mapping[str, str], outer: int) -> str:
    left, right = tree.left, tree.right
    match tree.op:
        case "/":
            return f"<mfrac><mrow>{_markup(left, symbols)}</mrow><mrow>{_markup(right, symbols)}</mrow></mfrac>"
        case "**":
            base = _markup(left, symbols, 3)
            if isinstance(left, Binary) and left.op in {"/", "**"}:
                base = _bracketed(_markup(left, symbols), True)
            return f"<msup><mrow>{base}</mrow><mrow>{_markup(right, symbols)}</mrow></msup>"
        case "*":
            sign = "<mo>×</mo>" if isinstance(right, Number) or isinstance(left, Number) else "<mo>·</mo>"
            return _bracketed(f"{_markup(left, symbols, 2)}{sign}{_markup(right, symbols, 2)}", outer > 2)
    sign = "+" if tree.op == "+" else "−"
    after = 2 if tree.op == "-" else 1
    return _bracketed(f"{_markup(left, symbols, 1)}<mo>{sign}</mo>{_markup(right, symbols, after)}", outer > 1)


def _condition(tree: Condition, symbols: Mapping[str, str]) -> str:
    return f"{_markup(tree.left, symbols)}<mo>{SIGNS[tree.op]}</mo>{_markup(tree.right, symbols)}"


def _bracketed(inner: str, needed: bool) -> str:
    return f"<mrow><mo>(</mo>{inner}<mo>)</mo></mrow>" if needed else f"<mrow>{inner}</mrow>"
