"""Numbers as people type them, and as they are shown: read or refused in words, significant digits, round marks."""

from __future__ import annotations

import math
from typing import Any

import pytest
from playwright.sync_api import Page

ACCEPTED = [
    ("5.7", 5.7), ("5,7", 5.7), (" 26 ", 26), ("0,125", 0.125), ("12,5", 12.5), ("1.234", 1.234), ("1234", 1234),
    ("0", 0), ("007", 7), ("+3", 3), ("1,2345", 1.2345), ("1234,567", 1234.567),
]
REFUSED = [
    ("", "Type a number."), ("   ", "Type a number."), ("1,234", "1,234 may be 1234 or 1.234. Type one of the two."),
    ("12,345", "12,345 may be 12345 or 12.345. Type one of the two."),
    ("1.234,5", "Only one point or comma"), ("1,234.5", "Only one point or comma"),
    ("1.2.3", "Only one point or comma"),
    ("1e3", "Write the number out, without e."), ("1E", "Write the number out, without e."),
    ("-", "Type digits after the sign."),
    ("٢٦", "Use the digits 0 to 9."), ("۲۶", "Use the digits 0 to 9."), ("1 234", "Leave out the space."),
    ("1\u00a0234", "Leave out the space."), ("5.7 L", "Leave out the space."), ("5.7L", "Only digits"),
    ("5.", "Type the decimals"),
    ("5,", "Type the decimals"), (".5", "Write a 0 before the point"), (",5", "Write a 0 before the point"),
    ("-3", "It cannot be less than zero."), ("−3", "It cannot be less than zero."), ("3-", "Only digits"),
    ("0x10", "Only digits"), ("Infinity", "Only digits"), ("NaN", "Only digits"),
    ("9" * 400, "That number is too large."),
    ("--3", "Only digits"), ("１２", "Only digits"), ("1'234", "Only digits"), ("½", "Only digits"),
]


def quantity(page: Page, call: str, *arguments: Any) -> Any:
    page.goto("")
    return page.evaluate(f"args => import('./js/lib/quantity.js').then(m => {call})", list(arguments))


def test_numbers_that_are_read(page: Page) -> None:
    got = quantity(page, "args[0].map(t => m.read(t))", [text for text, _ in ACCEPTED])
    assert got == [{"ok": True, "value": number} for _, number in ACCEPTED]


def test_numbers_that_are_refused_in_words(page: Page) -> None:
    got = quantity(page, "args[0].map(t => m.read(t))", [text for text, _ in REFUSED])
    for (text, why), answer in zip(REFUSED, got, strict=True):
        assert not answer["ok"] and answer["why"].startswith(why), (text, answer)


def test_a_minus_is_read_where_it_may_stand(page: Page) -> None:
    assert quantity(page, "['-18', '−18', '–18', '-12,5'].map(t => m.read(t, true).value)") == [-18, -18, -18, -12.5]


def test_units_turn_by_factor_and_offset(page: Page) -> None:
    # NIST SP 811: °C = (°F - 32) / 1.8
    fahrenheit = {"factor": 1 / 1.8, "offset": 273.15 - 32 / 1.8}
    assert quantity(page, "m.toSi(...args)", 212, fahrenheit) == pytest.approx(373.15, rel=1e-15)
    assert quantity(page, "m.fromSi(...args)", 233.15, fahrenheit) == pytest.approx(-40, abs=1e-10)


def test_words_for_bands(page: Page) -> None:
    bands = [{"below": 2, "say": "low"}, {"upto": 5, "say": "middle"}, {"say": "high"}]
    got = quantity(page, "args[0].map(v => m.word(v, args[1]))", [1, 2 - 1e-12, 2, 5, 5 + 1e-12, 5.1], bands)
    assert got == ["low", "middle", "middle", "middle", "middle", "high"]
    assert quantity(page, "m.word(1, [])") == ""


@pytest.mark.parametrize(("number", "digits", "shown"), [
    (22.6087, 3, "22.6"), (10, 3, "10.0"), (9.996, 3, "10.0"), (0.2056, 2, "0.21"), (2648.64, 3, "2650"), (0, 3, "0"),
    (1000, 3, "1000"), (999.6, 3, "1000"), (-6, 2, "−6.0"), (1.25, 4, "1.250"), (0.00012345, 3, "0.000123"),
    (math.pi, 1, "3"), (26000, 3, "26000"), (-0.0001, 1, "−0.0001"),
    (5, 0, "5"), (156.37, 0, "156"), (92.5, 0, "93"), (-2, 0, "−2"), (-0.4, 0, "0"), (math.nan, 0, "–"),
])
def test_significant_digits(page: Page, number: float, digits: int, shown: str) -> None:
    assert quantity(page, "m.format(...args)", number, digits) == shown


def test_ticks_are_round_and_inside(page: Page) -> None:
    assert quantity(page, "m.ticks(0, 150, 8)") == [0, 20, 40, 60, 80, 100, 120, 140]
    assert quantity(page, "m.ticks(32, 302, 8)") == [50, 100, 150, 200, 250, 300]
    assert quantity(page, "m.ticks(-0.1, 0.25)") == [-0.1, 0, 0.1, 0.2]
    assert quantity(page, "m.logTicks(5, 2650)") == [5, 10, 20, 50, 100, 200, 500, 1000, 2000]
    assert quantity(page, "m.logTicks(5, 26500)") == [10, 100, 1000, 10000]
