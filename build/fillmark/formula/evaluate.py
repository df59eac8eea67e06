"""A tree as a number (floats in coherent SI) and as a quantity with its dimension (pint)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from fillmark.formula import curves, ieee
from fillmark.formula.language import FUNCTIONS
from fillmark.formula.tree import (
    Along,
    Binary,
    Call,
    Choose,
    Condition,
    FormulaError,
    Minus,
    Name,
    Number,
    Tree,
)
from fillmark.units import registry


def number(tree: Tree, values: Mapping[str, float]) -> float:
    """Return the value of a tree; infinity or NaN means there is no answer. Raises KeyError for an unknown name."""
    match tree:
        case Number(value=value):
            return value
        case Name(id=name):
            return values[name]
        case Minus(of=inner):
            return -number(inner, values)
        case Binary(op=op, left=left, right=right):
            return _binary(op, number(left, values), number(right, values))
        case Call(function=name, args=args):
            return FUNCTIONS[name].number(*(number(arg, values) for arg in args))
        case Along(curve=curve, at=at):
            return curves.value(curve, number(at, values))
        case Choose(condition=condition, yes=yes, no=no):
            return number(yes if holds(condition, values) else no, values)


def holds(condition: Condition, values: Mapping[str, float]) -> bool:
    """Return whether a condition holds; with NaN on either side it does not."""
    return _compare(condition.op, number(condition.left, values), number(condition.right, values))


def _binary(op: str, left: float, right: float) -> float:
    match op:
        case "+":
            return left + right
        case "-":
            return left - right
        case "*":
            return left * right
        case "/":
            return ieee.divide(left, right)
    return ieee.power(left, right)


def _compare(op: str, left: float, right: float) -> bool:
    return {"<": left < right, "<=": left <= right, ">": left > right, ">=": left >= right}[op]


def quantity(tree: Tree, values: Mapping[str, Any]) -> Any:
    """Return the pint quantity of a tree whose names are quantities in SI.

    Both branches of `choose` are followed, so that a wrong dimension is found whichever branch the values take.
    Raises FormulaError, with the column, where dimensions do not fit.
    """
    match tree:
        case Number(value=value):
            return registry().Quantity(value)
        case Name(id=name):
            return values[name]
        case Minus(of=inner):
            return -quantity(inner, values)
        case Binary():
            return _binary_quantity(tree, quantity(tree.left, values), quantity(tree.right, values))
        case Call():
            return _call(tree, [quantity(arg, values) for arg in tree.args])
        case Along():
            return _along(tree, quantity(tree.at, values))
        case Choose():
            met = condition_quantity(tree.condition, values)
            yes, no = quantity(tree.yes, values), quantity(tree.no, values)
            _alike(yes, no, tree.column, "the two branches of choose differ")
            return yes if met else no


def condition_quantity(condition: Condition, values: Mapping[str, Any]) -> bool:
    """Return whether a condition holds for quantities. Raises FormulaError where its sides cannot be compared."""
    left, right = quantity(condition.left, values), quantity(condition.right, values)
    _alike(left, right, condition.column, "cannot compare")
    return _compare(condition.op, _si(left), _si(right))


def _si(value: Any) -> float:
    return float(value.to_base_units().magnitude)


def dimension(value: Any) -> str:
    """Return a quantity's dimension in words, such as `length·mass·time^-2`."""
    powers = {name.strip("[]"): float(power) for name, power in sorted(value.dimensionality.items())}
    return "·".join(name if power == 1 else f"{name}^{power:g}" for name, power in powers.items()) or "a plain number"


def _alike(left: Any, right: Any, column: int, said: str) -> None:
    if left.dimensionality != right.dimensionality:
        raise FormulaError(f"{said}: {dimension(left)} and {dimension(right)}", column)


def _binary_quantity(tree: Binary, left: Any, right: Any) -> Any:
    match tree.op:
        case "+" | "-":
            _alike(left, right, tree.column, "cannot add" if tree.op == "+" else "cannot subtract")
            return left + right if tree.op == "+" else left - right
        case "*":
            return left * right
        case "/":
            unit = (left / registry().Quantity(1, right.units)).units
            return registry().Quantity(ieee.divide(float(left.magnitude), float(right.magnitude)), unit)
    if not right.dimensionless:
        raise FormulaError(f"an exponent must be a plain number, not {dimension(right)}", tree.right.column)
    exponent = _si(right)
    if left.dimensionless:
        return registry().Quantity(ieee.power(_si(left), exponent))
    if not isinstance(tree.right, (Number, Minus)) or not math.isfinite(exponent):
        raise FormulaError(f"{dimension(left)} can only be raised to a number that is written out", tree.right.column)
    unit = registry().Quantity(1, left.units) ** exponent
    return registry().Quantity(ieee.power(float(left.magnitude), exponent), unit.units)


def _along(tree: Along, at: Any) -> Any:
    curve = tree.curve
    wanted = registry().Quantity(1, curve.x_unit)
    if at.dimensionality != wanted.dimensionality:
        raise FormulaError(f"the curve '{curve.id}' is read at {dimension(wanted)}, not {dimension(at)}",
                           tree.at.column)
    return registry().Quantity(curves.value(curve, _si(at)), curve.y_unit)


def _call(tree: Call, args: list[Any]) -> Any:
    row = FUNCTIONS[tree.function]
    if row.rule == "pure":
        for arg, value in zip(tree.args, args, strict=True):
            if not value.dimensionless:
                raise FormulaError(f"'{tree.function}' takes a plain number, not {dimension(value)}", arg.column,
                                   "divide by a constant of the same kind, such as 1 mm²/s")
        return registry().Quantity(row.number(*(_si(value) for value in args)))
    for value in args[1:]:
        _alike(args[0], value, tree.column, f"'{tree.function}' of different kinds")
    base = [value.to_base_units() for value in args]
    unit = base[0].units if row.rule == "same" else (registry().Quantity(1, base[0].units) ** 0.5).units
    return registry().Quantity(row.number(*(float(value.magnitude) for value in base)), unit)
