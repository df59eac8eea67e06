"""A tree as a JavaScript expression. Brackets always: no reader has to know two tables of precedence."""

from __future__ import annotations

from fillmark.formula.language import FUNCTIONS
from fillmark.formula.tree import Along, Binary, Call, Choose, Condition, Curve, Minus, Name, Number, Tree


def expression(tree: Tree) -> str:
    """Return the expression; the name `d` becomes `$d`, so that no name can be a word of the language."""
    match tree:
        case Number(value=value):
            return repr(value)
        case Name(id=name):
            return f"${name}"
        case Minus(of=inner):
            return f"(-{expression(inner)})"
        case Binary(op=op, left=left, right=right):
            return f"({expression(left)} {op} {expression(right)})"
        case Call(function=name, args=args):
            emitted = [expression(arg) for arg in args]
            return FUNCTIONS[name].js.format(*emitted, all=", ".join(emitted))
        case Along(curve=curve, at=at):
            return f"along({expression(at)}, ${curve.id})"
        case Choose(condition=met, yes=yes, no=no):
            return f"({condition(met)} ? {expression(yes)} : {expression(no)})"


def curve(one: Curve) -> str:
    """Return the declaration of a curve for curves.JAVASCRIPT, in SI."""
    return f"const ${one.id} = {{x: {list(one.x)!r}, y: {list(one.y)!r}}};"


def condition(tree: Condition) -> str:
    """Return a comparison in brackets."""
    return f"({expression(tree.left)} {tree.op} {expression(tree.right)})"
