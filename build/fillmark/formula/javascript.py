"""A tree as a JavaScript expression. Brackets around whatever stands within another: no reader has to know two tables
of precedence. No blanks: a phone keeps every calculator.
"""

from __future__ import annotations

from fillmark.formula.language import FUNCTIONS
from fillmark.formula.tree import Along, Binary, Call, Choose, Condition, Curve, Minus, Name, Number, Tree


def expression(tree: Tree) -> str:
    """Return the expression; the name `d` becomes `$d`, so that no name can be a word of the language."""
    match tree:
        case Number(value=value):
            return number(value)
        case Name(id=name):
            return f"${name}"
        case Minus(of=inner):
            return f"(-{expression(inner)})"
        case Binary(op=op, left=left, right=right):
            return f"({expression(left)}{op}{expression(right)})"
        case Call(function=name, args=args):
            emitted = [bare(arg) for arg in args]
            return FUNCTIONS[name].js.format(*emitted, all=",".join(emitted))
        case Along(curve=curve, at=at):
            return f"along({bare(at)},${curve.id})"
        case Choose(condition=met, yes=yes, no=no):
            return f"({condition(met)}?{expression(yes)}:{expression(no)})"


def bare(tree: Tree) -> str:
    """Return the expression as it may stand alone: what begins with a bracket is in brackets as a whole."""
    text = expression(tree)
    return text[1:-1] if text.startswith("(") else text


def number(value: float) -> str:
    """Return a number by its shortest digits that give the same bits; a negative one in brackets."""
    text = repr(value).removesuffix(".0")
    return f"({text})" if text.startswith("-") else text


def curve(one: Curve) -> str:
    """Return the declaration of a curve for curves.JAVASCRIPT, in SI."""
    x, y = (",".join(map(number, axis)) for axis in (one.x, one.y))
    return f"const ${one.id}={{x:[{x}],y:[{y}]}};"


def condition(tree: Condition) -> str:
    """Return a comparison, without brackets."""
    return f"{expression(tree.left)}{tree.op}{expression(tree.right)}"
