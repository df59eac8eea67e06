"""Arithmetic as the browser does it: no exceptions, but infinity and not-a-number (IEEE 754).

Python raises where JavaScript gives Infinity or NaN. The two must agree on what is no answer, so these functions
follow the browser. "No answer" is `not isfinite` on both sides.
"""

from __future__ import annotations

import math
from collections.abc import Callable


def _whole(number: Callable[[float], float]) -> Callable[[float], float]:
    def calm(value: float) -> float:
        try:
            return number(value)
        except OverflowError:
            return math.inf
        except ValueError:
            return math.nan
    return calm


exp, sqrt = _whole(math.exp), _whole(math.sqrt)
sin, cos, tan = _whole(math.sin), _whole(math.cos), _whole(math.tan)
asin, acos, atan = _whole(math.asin), _whole(math.acos), _whole(math.atan)


def log(value: float) -> float:
    return -math.inf if value == 0 else _whole(math.log)(value)


def log10(value: float) -> float:
    return -math.inf if value == 0 else _whole(math.log10)(value)


def ceil(value: float) -> float:
    """Return the whole number at or above; what is not finite stays, and above -1 it is the zero of the browser, -0."""
    return math.copysign(float(math.ceil(value)), value) if math.isfinite(value) else value


def smaller(one: float, other: float) -> float:
    return math.nan if math.isnan(one) or math.isnan(other) else min(one, other)


def larger(one: float, other: float) -> float:
    return math.nan if math.isnan(one) or math.isnan(other) else max(one, other)


def divide(over: float, under: float) -> float:
    if under:
        return over / under
    return math.nan if not over or math.isnan(over) else math.copysign(math.inf, over) * math.copysign(1, under)


def power(base: float, exponent: float) -> float:
    """Return base ** exponent. Unlike C, the browser gives NaN for (±1) ** ±Infinity and 1 ** NaN."""
    if math.isnan(exponent) or (abs(base) == 1 and math.isinf(exponent)):
        return math.nan
    odd = exponent % 2 == 1 if math.isfinite(exponent) else False
    if base == 0 and exponent < 0:
        return math.copysign(math.inf, base) if odd else math.inf
    try:
        return math.pow(base, exponent)
    except OverflowError:
        return -math.inf if base < 0 and odd else math.inf
    except ValueError:
        return math.nan
