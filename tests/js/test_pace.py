"""The owner's own pace against scipy's Theil-Sen slope and band, and what is said where nothing can be told."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

from playwright.sync_api import Page
from scipy.stats import theilslopes

from logs import TODAY, ask

EPOCH = dt.date(1970, 1, 1)


def test_slopes_and_bands_agree_with_scipy(page: Page) -> None:
    dice = random.Random(7)
    samples = []
    for count in [4, 5, 6, 7, 10, 20, 45, 90] * 12:
        days = sorted(dice.sample(range(19_000, 20_800), count))
        at, line = 40_000, []
        for day in days:
            at += dice.choice([0, 0, 15, 400, 3_000])  # equal readings are ties
            line.append((day, at))
        samples.append(line)
    found = ask(page, "a[0].map(pairs => pace.theilSen(pairs))", samples)
    for line, one in zip(samples, found, strict=True):
        slope, _, low, high = theilslopes([at for _, at in line], [day for day, _ in line], 0.9)
        for mine, theirs in ((one["slope"], slope), (one["low"], low), (one["high"], high)):
            assert abs(mine - theirs) <= 1e-12 * max(1, abs(theirs)), line


def points(*readings: tuple[str, int]) -> list[dict[str, Any]]:
    return [{"entry": str(n), "day": (dt.date.fromisoformat(date) - EPOCH).days, "shown": at, "at": at}
            for n, (date, at) in enumerate(readings)]


def forecast(page: Page, line: list[dict[str, Any]], target: int, today: str = TODAY) -> Any:
    return ask(page, "pace.forecastOf(pace.paceOf(a[0]), a[0].at(-1), a[1], calendar.dayOf(a[2]))", line, target, today)


def test_a_steady_pace_is_a_straight_line(page: Page) -> None:
    # 10 a day: 300 more after 2026-04-10 are 30 days on.
    line = points(("2026-01-10", 1_000), ("2026-02-09", 1_300), ("2026-03-11", 1_600), ("2026-04-10", 1_900))
    same = dict.fromkeys(("date", "early", "late"), "2026-05-10")
    assert forecast(page, line, 2_200) == {"forecast": same, "why": ""}
    # Nothing that was not reached lies in the past: 50 more would have been on 15 April.
    assert forecast(page, line, 1_950)["forecast"]["date"] == TODAY


def test_too_little_is_said_in_words(page: Page) -> None:
    close = points(("2026-02-01", 1_000), ("2026-03-01", 1_300), ("2026-04-01", 1_600), ("2026-04-10", 1_900))
    assert forecast(page, close, 9_000) == {"forecast": None, "why": (
        "not enough readings for a forecast: 4 days with a reading over 68 days, 4 over 90 days are needed")}
    # Two readings of one day are one; those of more than five years ago do not tell the pace of now.
    few = points(("2020-01-01", 10), ("2020-03-01", 20), ("2025-01-01", 1_000), ("2025-08-01", 1_300),
                 ("2026-04-01", 1_600), ("2026-04-01", 1_700))
    assert "3 days with a reading over 455 days" in forecast(page, few, 9_000)["why"]
    still = points(*((date, 1_000) for date in ("2025-01-01", "2025-05-01", "2025-09-01", "2026-01-01")))
    assert forecast(page, still, 1_100) == {"forecast": None, "why": "no forecast: the odometer hardly moves"}
    slow = points(*((f"2025-{month:02}-01", 1_000 + month) for month in range(1, 13)))
    assert "more than a hundred years" in forecast(page, slow, 3_000)["why"]
    # A band without an end has no late date.
    uneven = points(("2024-01-01", 1_000), ("2025-01-01", 1_000), ("2025-07-01", 4_000), ("2026-01-01", 6_000))
    assert forecast(page, uneven, 9_000)["forecast"]["late"] == ""
