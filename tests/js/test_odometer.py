"""An odometer reading beside the last known ones: rollovers, readings that fall, jumps, days, other units."""

from __future__ import annotations

import datetime as dt
import json
import random
from typing import Any

from playwright.sync_api import Page

Json = dict[str, Any]
TODAY = "2026-04-18"


def call(page: Page, what: str, *arguments: Any) -> Any:
    if page.url == "about:blank":
        page.goto("about/")
    return json.loads(page.evaluate(
        "async a => { const odo = await import('../js/lib/odometer.js'); return JSON.stringify(" + what + ") }",
        list(arguments)))


def known(*readings: tuple[str, int, int]) -> list[Json]:
    return [{"date": date, "value": value, "absolute": absolute} for date, value, absolute in readings]


def judge(page: Page, digits: int, unit: str, before: list[Json], date: str, value: float) -> Json:
    return dict(call(page, "odo.judgeOdometer(a[0], a[1], a[2], a[3], a[4])",
                     {"digits": digits, "unit": unit}, before, date, value, TODAY))


def plain(words: str) -> str:
    return words.replace("\u202f", " ").replace("\xa0", " ")


def test_a_reading_that_rises_is_taken(page: Page) -> None:
    one = judge(page, 6, "mi", known(("2025-11-08", 109_700, 109_700)), "2026-04-18", 112_410)
    assert one == {"ok": True, "odd": "", "says": "", "absolute": 112_410, "rolled": False}
    # Standing still is no fault: two entries of one day.
    assert judge(page, 6, "mi", known((TODAY, 112_410, 112_410)), TODAY, 112_410)["ok"]


def test_a_clock_of_five_digits_rolls_over(page: Page) -> None:
    # 99 870 -> 310 falls by 99 560, more than half of 100 000: 100 310 - 99 870 = 440 mi driven.
    one = judge(page, 5, "mi", known(("2024-09-14", 99_870, 99_870)), "2025-03-29", 310)
    assert (one["ok"], one["odd"], one["rolled"], one["absolute"]) == (False, "rolled", True, 100_310)
    assert plain(one["says"]) == ("That is less than the last reading, 99 870 mi on 2024-09-14. Has it rolled over? "
                                  "Then 440 mi were driven since.")
    # A second time round: from 199 990 to 5 is 200 005.
    assert judge(page, 5, "mi", known(("2025-01-01", 99_990, 199_990)), TODAY, 5)["absolute"] == 200_005
    # Once a later reading shows that it went over, nothing need be asked.
    both = known(("2024-09-14", 99_870, 99_870), ("2025-03-29", 310, 100_310))
    assert judge(page, 5, "mi", both, "2025-01-10", 120) == {
        "ok": True, "odd": "", "says": "", "absolute": 100_120, "rolled": True}
    assert judge(page, 5, "mi", both, "2025-01-10", 99_990)["absolute"] == 99_990


def test_a_clock_of_six_digits_rolls_over(page: Page) -> None:
    one = judge(page, 6, "km", known(("2026-01-02", 999_700, 999_700)), TODAY, 450)
    assert (one["odd"], one["absolute"]) == ("rolled", 1_000_450)
    # The same fall on it from 112 380 is under half of the range: it ran backwards.
    one = judge(page, 6, "km", known(("2026-01-02", 112_380, 112_380)), TODAY, 450)
    assert (one["odd"], one["rolled"], one["absolute"]) == ("backwards", False, 450)
    assert plain(one["says"]) == ("That is less than the last reading, 112 380 km on 2026-01-02. Read it again, "
                                  "or check the date.")
    # Just half of the range is not more than half.
    assert judge(page, 6, "km", known(("2026-01-02", 500_450, 500_450)), TODAY, 450)["odd"] == "backwards"
    assert judge(page, 6, "km", known(("2026-01-02", 500_451, 500_451)), TODAY, 450)["odd"] == "rolled"


def test_a_jump_and_too_many_digits(page: Page) -> None:
    before = known(("2025-11-08", 109_700, 109_700))
    assert judge(page, 6, "mi", before, TODAY, 134_700)["ok"], "25 000 mi are not more than 25 000 mi"
    one = judge(page, 6, "mi", before, TODAY, 134_701)
    assert (one["odd"], plain(one["says"])) == (
        "far", "That is 25 001 mi more than the last reading, 109 700 mi on 2025-11-08. Read it again, digit by digit.")
    metric = known(("2025-11-08", 109_700, 109_700))
    assert judge(page, 6, "km", metric, TODAY, 149_700)["ok"]
    assert judge(page, 6, "km", metric, TODAY, 149_701)["odd"] == "far"
    one = judge(page, 5, "mi", known(("2025-11-08", 9_700, 9_700)), TODAY, 112_380)
    assert one["odd"] == "digits" and "5 digits" in one["says"]


def test_an_entry_between_two_others_lies_between_them(page: Page) -> None:
    both = known(("2022-06-11", 91_340, 91_340), ("2022-08-20", 92_250, 92_250))
    assert judge(page, 6, "mi", both, "2022-07-01", 91_900)["ok"]
    for value in (91_339, 92_251):
        one = judge(page, 6, "mi", both, "2022-07-01", value)
        assert one["odd"] == "between", value
        assert "Between 91 340 mi on 2022-06-11 and 92 250 mi on 2022-08-20" in plain(one["says"])
    one = judge(page, 6, "mi", both, "2022-01-01", 91_400)
    assert one["odd"] == "between" and plain(one["says"]).startswith("Before 91 340 mi on 2022-06-11")
    # On the day of one of two others there is no order within the day.
    assert judge(page, 6, "mi", both, "2022-06-11", 91_300)["ok"]


def test_days(page: Page) -> None:
    before = known(("2022-06-11", 91_340, 91_340))
    for date in ("2026-02-29", "2026-13-01", "2026-04-31", "18.4.2026", "", "0026-04-18"):
        assert judge(page, 6, "mi", before, date, 92_000)["odd"] == "date", date
    one = judge(page, 6, "mi", before, "2026-04-19", 92_000)
    assert one["odd"] == "date" and "2026-04-19 is still to come; today is 2026-04-18" in one["says"]
    rng = random.Random(4)
    days = [(dt.date(1990, 1, 1) + dt.timedelta(rng.randrange(13_000))).isoformat() for _ in range(200)]
    fine = call(page, "a[0].map(day => odo.judgeOdometer({digits: 6, unit: 'mi'}, [], day, 1, a[1]).odd)", days, TODAY)
    assert [day for day, odd in zip(days, fine, strict=True) if odd] == [], "every day of the calendar is one"


def test_another_unit_than_the_clocks_is_converted_and_said(page: Page) -> None:
    # The international mile is 1609.344 m: 180 860 km / 1.609344 = 112 381.2 mi.
    metric = {"typed": "180860", "unit": "km", "si": 180_860_000}
    one = call(page, "odo.onClock(a[0], {digits: 6, unit: 'mi'})", metric)
    assert abs(one["value"] - 112_381.2) < 0.05
    assert plain(one["says"]) == "This odometer counts mi: 180860 km is 112 381 mi."
    same = call(page, "odo.onClock(a[0], {digits: 6, unit: 'km'})", metric)
    assert same == {"value": 180_860, "says": ""}
    nothing = call(page, "odo.onClock(a[0], {digits: 6, unit: 'km'})", {"typed": "?", "unit": "km", "si": None})
    assert nothing == {"value": None, "says": ""}


def test_what_is_known_of_the_wicket(page: Page, vehicles: dict[str, Json]) -> None:
    """The demo log: 98 640, 99 870, over, 310, 1 390, and 1 450 by the vehicle itself after one rollover."""
    logs = call(page, "await (await fetch('../data/logs/demo.json')).json()")
    seen = call(page, "odo.knownOf(a[0], a[1])", vehicles["wicket"], logs)
    assert [(one["date"], one["value"], one["absolute"]) for one in seen] == [
        ("2023-06-24", 98_640, 98_640), ("2024-09-14", 99_870, 99_870), ("2025-03-29", 310, 100_310),
        ("2026-02-21", 1_390, 101_390), ("2026-04-18", 1_450, 101_450)]
    # An entry that was replaced bounds nothing, nor does the one that is being corrected.
    drystone = [one["value"] for one in call(page, "odo.knownOf(a[0], a[1])", vehicles["drystone"], logs)]
    assert 148_200 in drystone and drystone.count(148_200) == 1, "L05 stands, L06 of the same day is replaced"
    without = call(page, "odo.knownOf(a[0], a[1], 'L22')", vehicles["drystone"], logs)
    assert 199_300 not in [one["value"] for one in without]
