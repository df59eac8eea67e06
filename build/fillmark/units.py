"""Every unit the site offers, with its exact factor and offset, from the one pint registry.

    SI value = value * factor + offset

Factors are computed with fractions, so that 1 US qt is 0.000946352946 m³ to the last digit (NIST SP 811).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Any

import pint

from fillmark.problem import nearest

HEADER = re.compile(r"^\[(?P<name>[a-z]+(?:-[a-z]+)*)\s*:\s*(?P<expr>[^\]]+)\]$")
ENTRY = re.compile(r"^(?P<symbol>[^=|]+?)\s*=\s*(?P<expr>[^=|]+?)\s*(?:\|\s*(?P<aliases>.+))?$")
# Names, their powers of one digit, * and /: a larger language could keep the machine busy for years.
EXPRESSION = re.compile(r"({0})(\s*[*/]\s*({0}))*".format(r"1|[^\W\d]\w*(\s*\*\*\s*-?\d)?"))
LONGEST = 200  # characters of a line


@cache
def registry() -> Any:
    """Return the registry: fractions inside, offset units converted to kelvin when they meet others."""
    return pint.UnitRegistry(non_int_type=Fraction, autoconvert_offset_to_baseunit=True)


@dataclass(frozen=True)
class Unit:
    """One unit as the trade writes it. `expr` is its pint expression."""

    symbol: str
    dimension: str
    factor: float
    offset: float
    aliases: tuple[str, ...]
    expr: str


@dataclass(frozen=True)
class Units:
    """The units by symbol, in file order; `coherent` gives each dimension's SI unit as a pint expression."""

    by_symbol: dict[str, Unit]
    coherent: dict[str, str]
    _spellings: dict[str, Unit] = field(repr=False)

    @property
    def dimensions(self) -> set[str]:
        return set(self.coherent)

    def known(self, symbol: str) -> Unit | None:
        """Return the unit written as `symbol` or as one of its aliases."""
        return self._spellings.get(symbol)

    def symbols(self, dimension: str) -> list[str]:
        """Return the symbols of a dimension in file order."""
        return [unit.symbol for unit in self.by_symbol.values() if unit.dimension == dimension]

    def near(self, symbol: str) -> str:
        """Return a hint for a symbol that is not known."""
        if symbol in {"pt", "qt", "gal", "fl oz", "pint", "pints", "quart", "quarts"}:
            return "say whose: US or imp (a US pint is 17 % smaller)"
        return nearest(symbol, list(self._spellings))

    def si(self, amount: Any) -> float:
        """Return the SI value of an Amount (anything with value and unit). Raises KeyError for an unknown unit."""
        unit = self._spellings[amount.unit]
        return float(amount.value) * unit.factor + unit.offset

    def from_si(self, value: float, symbol: str) -> float:
        """Return an SI value in the unit `symbol`."""
        unit = self._spellings[symbol]
        return (value - unit.offset) / unit.factor

    def convert(self, value: float, from_symbol: str, to_symbol: str) -> float:
        """Return `value` in another unit. Raises ValueError when the two measure different things."""
        start, end = self._spellings[from_symbol], self._spellings[to_symbol]
        if start.dimension != end.dimension:
            raise ValueError(f"{from_symbol} is a {start.dimension}, {to_symbol} is a {end.dimension}")
        return (value * start.factor + start.offset - end.offset) / end.factor

    def quantity(self, value: float, symbol: str) -> Any:
        """Return the pint quantity of an SI value, in the coherent unit of the dimension that `symbol` has."""
        return registry().Quantity(value, _unit(self.coherent[self._spellings[symbol].dimension]))


def read(text: str) -> tuple[Units | None, list[tuple[int, str]]]:
    """Return the units of content/units.txt, or None with (line, what is wrong) for every bad line."""
    found: dict[str, Unit] = {}
    spellings: dict[str, Unit] = {}
    coherent: dict[str, str] = {}
    wrong: list[tuple[int, str]] = []
    dimension: str | None = None
    broken = False  # after a bad header its units cannot be judged: one problem, not many
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        try:
            if len(line) > LONGEST:
                raise ValueError(f"line is longer than {LONGEST} characters")
            if line.startswith("["):
                broken = True
                dimension, expr = _header(line, coherent)
                coherent[dimension] = expr
                broken = False
                continue
            if broken:
                continue
            if dimension is None:
                raise ValueError("a unit stands before the first [dimension: expression]")
            unit = _entry(line, dimension, coherent[dimension])
            for spelling in (unit.symbol, *unit.aliases):
                if spelling in spellings:
                    raise ValueError(f"'{spelling}' stands twice, first for {spellings[spelling].symbol}")
                spellings[spelling] = unit
            found[unit.symbol] = unit
        except ValueError as error:
            wrong.append((number, str(error)))
    if not found and not wrong:
        wrong.append((0, "no unit in the file"))
    return (None, wrong) if wrong else (Units(found, coherent, spellings), [])


def _header(line: str, seen: dict[str, str]) -> tuple[str, str]:
    match = HEADER.match(line)
    if not match:
        raise ValueError(f"expected [dimension: pint expression], such as [torque: N*m], got {line}")
    if match["name"] in seen:
        raise ValueError(f"dimension '{match['name']}' stands twice")
    unit = _unit(match["expr"])
    if registry().Quantity(Fraction(1), unit).to_base_units().m != 1:
        raise ValueError(f"'{match['expr']}' is not a coherent SI unit: its factor is not 1")
    return match["name"], match["expr"].strip()


def _entry(line: str, dimension: str, coherent: str) -> Unit:
    match = ENTRY.match(line)
    if not match:
        raise ValueError(f"expected symbol = pint expression | alias, alias, got {line}")
    if match["symbol"].startswith("__"):
        raise ValueError("a symbol cannot begin with two underscores")
    unit = _unit(match["expr"])
    zero, one = (registry().Quantity(Fraction(number), unit).to_base_units() for number in (0, 1))
    if zero.dimensionality != registry().Quantity(1, _unit(coherent)).dimensionality:
        raise ValueError(f"'{match['expr']}' is not a {dimension}: it cannot become {coherent}")
    aliases = tuple(alias.strip() for alias in (match["aliases"] or "").split(",") if alias.strip())
    return Unit(match["symbol"].strip(), dimension, float(one.m - zero.m), float(zero.m), aliases, match["expr"])


@cache
def _unit(expr: str) -> Any:
    if not EXPRESSION.fullmatch(expr.strip()):
        raise ValueError(f"'{expr}' is not a unit that pint knows: write names, *, / and powers such as ** 2")
    try:
        parsed = registry().parse_expression(expr)
    except Exception as error:  # pint raises its own, tokenize's, attribute and arithmetic errors
        raise ValueError(f"'{expr}' is not a unit that pint knows: {error}") from None
    if isinstance(parsed, (int, float, Fraction)):
        parsed = registry().Quantity(parsed)
    if not hasattr(parsed, "units") or parsed.m != 1:
        raise ValueError(f"'{expr}' is not a unit that pint knows")
    return parsed.units
