"""Unit factors against scipy's constants and NIST SP 811, and the errors of content/units.txt."""

from __future__ import annotations

import pytest
import scipy.constants as c

from fillmark import units
from fillmark.model.amount import Amount
from fillmark.units import Units
from harness import ROOT

# scipy.constants holds the definitions as floats of its own, independent of pint.
SCIPY = {
    "L": c.liter, "mL": c.liter / 1000, "US gal": c.gallon, "US fl oz": c.fluid_ounce, "imp gal": c.gallon_imp,
    "imp fl oz": c.fluid_ounce_imp, "US qt": c.gallon / 4, "US pt": c.gallon / 8, "imp qt": c.gallon_imp / 4,
    "imp pt": c.gallon_imp / 8, "lb·ft": c.lbf * c.foot, "lb·in": c.lbf * c.inch, "kgf·m": c.g, "N·m": 1.0,
    "mm": c.milli, "cm": c.centi, "m": 1.0, "in": c.inch, "ft": c.foot, "km": c.kilo, "mi": c.mile,
    "mm²": 1e-6, "cm²": 1e-4, "in²": c.inch**2, "kg": 1.0, "g": c.gram, "lb": c.lb, "t": c.metric_ton,
    "US ton": c.short_ton,
    "N": 1.0, "kN": 1000.0, "lbf": c.lbf, "kgf": c.kgf, "MPa": c.mega, "kPa": c.kilo, "Pa": 1.0, "bar": c.bar,
    "psi": c.psi, "min": c.minute, "s": 1.0, "h": c.hour, "d": c.day, "%": 0.01, "°": c.degree, "turn": 2 * c.pi,
    "km/h": c.kmh, "mph": c.mph, "Δ°C": 1.0, "Δ°F": c.degree_Fahrenheit, "°C": 1.0, "°F": c.degree_Fahrenheit,
    "ppm": 1e-6, "year": c.Julian_year, "month": c.Julian_year / 12, "per 1000 km": 1e-6, "per 1000 mi": 1e-3 / c.mile,
    "mm²/s": 1e-6, "mPa·s": 1e-3, "rpm": 2 * c.pi / 60, "kg/L": 1000.0, "V": 1.0, "1": 1.0,
}

# NIST SP 811, appendix B.8, as printed there to seven digits; the exact ones by definition.
NIST = [
    ("US fl oz", "mL", 29.57353), ("US pt", "mL", 473.1765), ("US qt", "L", 0.9463529), ("US gal", "L", 3.785412),
    ("imp gal", "L", 4.54609), ("imp fl oz", "mL", 28.41306), ("lbf", "N", 4.448222), ("lb·ft", "N·m", 1.355818),
    ("lb·in", "N·m", 0.1129848), ("kgf·m", "N·m", 9.80665), ("psi", "kPa", 6.894757), ("mi", "km", 1.609344),
    ("in", "mm", 25.4), ("ft", "m", 0.3048), ("lb", "kg", 0.4535924), ("kgf", "N", 9.80665), ("mph", "km/h", 1.609344),
    ("mm²/s", "mm²/s", 1.0),
]
# Exact by definition: 1 US gal = 231 in³, 1 imp gal = 4.54609 L, 1 in = 25.4 mm (NIST SP 811, B.8 and footnotes).
EXACT = [
    ("US qt", "mL", 946.352946), ("US pt", "mL", 473.176473), ("US fl oz", "mL", 29.5735295625),
    ("imp pt", "mL", 568.26125), ("imp qt", "mL", 1136.5225), ("imp fl oz", "mL", 28.4130625),
    ("US gal", "mL", 3785.411784), ("imp gal", "mL", 4546.09),
]


@pytest.fixture(scope="module")
def table() -> Units:
    found, wrong = units.read((ROOT / "content" / "units.txt").read_text("utf-8"))
    assert found, wrong
    return found


def test_every_unit_has_a_second_opinion(table: Units) -> None:
    assert set(table.by_symbol) == set(SCIPY)


@pytest.mark.parametrize("symbol", SCIPY)
def test_factor_agrees_with_scipy(table: Units, symbol: str) -> None:
    assert table.by_symbol[symbol].factor == pytest.approx(SCIPY[symbol], rel=1e-14)


@pytest.mark.parametrize(("start", "end", "printed"), NIST)
def test_factor_agrees_with_nist(table: Units, start: str, end: str, printed: float) -> None:
    # Half a unit of the seventh printed digit.
    assert table.convert(1, start, end) == pytest.approx(printed, rel=1e-7 * 5)


@pytest.mark.parametrize(("start", "end", "exact"), EXACT)
def test_factor_is_exact(table: Units, start: str, end: str, exact: float) -> None:
    assert table.convert(1, start, end) == pytest.approx(exact, rel=1e-15)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(212, 100), (32, 0), (-40, -40), (199.4, 93)])
def test_temperatures_have_a_zero_of_their_own(table: Units, fahrenheit: float, celsius: float) -> None:
    # °C = (°F - 32) / 1.8, NIST SP 811, B.8
    assert table.convert(fahrenheit, "°F", "°C") == pytest.approx(celsius, abs=1e-10)
    assert table.convert(celsius, "°C", "°F") == pytest.approx(fahrenheit, abs=1e-10)
    assert scipy_kelvin(fahrenheit) == pytest.approx(table.si(Amount("", fahrenheit, "°F")), abs=1e-10)


def scipy_kelvin(fahrenheit: float) -> float:
    return float(c.convert_temperature(fahrenheit, "Fahrenheit", "Kelvin"))


def test_a_difference_has_no_zero(table: Units) -> None:
    assert table.convert(9, "Δ°F", "Δ°C") == pytest.approx(5, rel=1e-15)
    with pytest.raises(ValueError, match="is a temperature-difference"):
        table.convert(9, "°F", "Δ°C")


@pytest.mark.parametrize(("typed", "symbol"), [("Nm", "N·m"), ("ft-lb", "lb·ft"), ("cSt", "mm²/s"), ("l", "L"),
                                               ("UK pt", "imp pt"), ("degC", "°C")])
def test_other_spellings_are_read(table: Units, typed: str, symbol: str) -> None:
    unit = table.known(typed)
    assert unit and unit.symbol == symbol


def test_a_bare_pint_is_not_a_unit(table: Units) -> None:
    assert table.known("pt") is None
    assert table.near("pt") == "say whose: US or imp (a US pint is 17 % smaller)"
    assert table.near("N·mm") == "did you mean 'N·m'?"


def test_units_are_offered_in_file_order(table: Units) -> None:
    assert table.symbols("torque") == ["N·m", "lb·ft", "lb·in", "kgf·m"]
    assert "torque" in table.dimensions


@pytest.mark.parametrize(("text", "line", "said"), [
    ("", 0, "no unit in the file"),
    ("L = litre", 1, "a unit stands before the first [dimension: expression]"),
    ("[volume m]", 1, "expected [dimension: pint expression]"),
    ("[volume: litre]\nL = litre", 1, "'litre' is not a coherent SI unit: its factor is not 1"),
    ("[volume: m**3]\n[volume: m**3]", 2, "dimension 'volume' stands twice"),
    ("[volume: m**3]\nfoo", 2, "expected symbol = pint expression"),
    ("[volume: m**3]\nx = blorp", 2, "'blorp' is not a unit that pint knows"),
    ("[volume: m**3]\nx = 2*litre", 2, "'2*litre' is not a unit that pint knows"),
    ("[volume: m**3]\nm = meter", 2, "'meter' is not a volume: it cannot become m**3"),
    ("[volume: m**3]\nL = litre\nL = litre", 3, "'L' stands twice, first for L"),
    ("[volume: m**3]\nL = litre | l\nmL = millilitre | l", 3, "'l' stands twice, first for L"),
    ("[volume: m**3]\n# note\n\nx = __import__('os')", 4, "is not a unit that pint knows"),
])
def test_a_bad_line_is_named(text: str, line: int, said: str) -> None:
    found, wrong = units.read(text)
    assert found is None
    assert wrong[0][0] == line
    assert said in wrong[0][1]


def test_one_bad_header_is_one_problem() -> None:
    assert len(units.read("[volume: litre]\nL = litre\nmL = millilitre")[1]) == 1
