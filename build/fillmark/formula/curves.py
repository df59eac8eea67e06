"""Curves: published points as a calculator declares them, in coherent SI, and what lies between two of them."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from typing import Protocol

from fillmark.formula import ieee
from fillmark.formula.tree import Curve
from fillmark.units import Units

# Of the curve's length. An end typed in another unit may miss it by a rounding of the conversion: 212 °F is 100 °C.
SLACK = 1e-9


class Declared(Protocol):
    """A curve as content declares it: points of two numbers, in the units `x` and `y`."""

    @property
    def x(self) -> str: ...
    @property
    def y(self) -> str: ...
    @property
    def points(self) -> Sequence[Sequence[float]]: ...


def read(units: Units, declared: Mapping[str, Declared]) -> dict[str, Curve]:
    """Return curves by name, in SI. Raises KeyError for an unknown unit."""
    def axis(symbol: str, numbers: list[float]) -> tuple[tuple[float, ...], str]:
        unit = units.known(symbol)
        if unit is None:
            raise KeyError(symbol)
        return tuple(number * unit.factor + unit.offset for number in numbers), units.coherent[unit.dimension]

    out = {}
    for name, one in declared.items():
        x, x_unit = axis(one.x, [point[0] for point in one.points])
        y, y_unit = axis(one.y, [point[1] for point in one.points])
        out[name] = Curve(name, x, y, x_unit, y_unit)
    return out


def value(curve: Curve, at: float) -> float:
    """Return y at x, both in SI, on the straight line between two points; NaN outside them.

    The same steps in the same order as JAVASCRIPT, so that both give the same bits.
    """
    x, y = curve.x, curve.y
    off = SLACK * (x[-1] - x[0])
    if not x[0] - off <= at <= x[-1] + off:
        return math.nan
    at = min(max(at, x[0]), x[-1])
    i = max(bisect_left(x, at), 1)
    return y[i - 1] + (y[i] - y[i - 1]) * ieee.divide(at - x[i - 1], x[i] - x[i - 1])


JAVASCRIPT = f"""const along = (at, {{x, y}}) => {{
  const last = x.length - 1, off = {SLACK!r} * (x[last] - x[0])
  if (!(x[0] - off <= at && at <= x[last] + off)) return NaN
  at = Math.min(Math.max(at, x[0]), x[last])
  let i = 1
  while (x[i] < at) i++
  return y[i - 1] + (y[i] - y[i - 1]) * ((at - x[i - 1]) / (x[i] - x[i - 1]))
}};"""
