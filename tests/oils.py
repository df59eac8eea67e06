"""What the tests of oils share: the grades of gear oil as published, and how a viscosity is typed."""

from __future__ import annotations

from answers import known

# SAE J306 (2019): least and limit at 100 °C, mm²/s; the limit itself belongs to the next grade.
J306 = {
    "SAE 65": (3.8, 5.0), "SAE 70": (5.0, 6.5), "SAE 75": (6.5, 8.5), "SAE 80": (8.5, 11.0), "SAE 85": (11.0, 13.5),
    "SAE 90": (13.5, 18.5), "SAE 110": (18.5, 24.0), "SAE 140": (24.0, 32.5), "SAE 190": (32.5, 41.0),
    "SAE 250": (41.0, 999.0),
}
CHOICES = ("80", "85", "90", "110", "140")  # those that the calculators of mixes offer, thin to thick


def j306(kv: float) -> str:
    """Return the grade of a viscosity at 100 °C in mm²/s."""
    return next((grade for grade, (least, limit) in J306.items() if least <= kv < limit), "none")


def mm2(value: float) -> str:
    """Return a viscosity as it is typed."""
    return f"{value!r} mm²/s"


def results(name: str, **inputs: str) -> dict[str, float]:
    """Return inputs, constants, steps and outputs of a calculator in SI."""
    return known(name, inputs)
