"""What is due in the demo garage as of 2026-04-18, every unit, each figure by hand; and small cases of their own.

The demo rules: gear units 25 000 mi or 40 000 km and 48 months, engine 5 000 mi and 12, automatic gearbox 25 000 mi and
36, brakes 24 months, coolant 60 and a test every 12; severe use halves both. The Thornback is severe throughout, with
tyres of factor 1.0960 since 91 340 mi; the Drystone counts kilometres; the Wicket has rolled over once, at 100 000 mi.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from logs import METRES, TODAY, Json, ask, demo, entry, unit, vehicle

# vehicle, unit, what: state, bound, since, odometer, date, true distance past (its own unit), days past, hard stop
EXPECTED: list[tuple[Any, ...]] = [
    # L26 refit at 207 350 km: look 50 to 80 km on, 207 400; never past +160 = 207 510; now 214 600, 7 200 past 207 400.
    ("drystone", "wheels", "re-torque", "stop", "event", "L26", 207_400, "", 7_200, None, 207_510),
    # Leak looks: next morning and 160 km true. L05: 148 200 + 160; 214 600 - 148 360 = 66 240.
    ("drystone", "rear-axle", "leak", "due", "event", "L05", 148_360, "2021-03-07", 66_240, 1_868, None),
    ("drystone", "gearbox", "leak", "due", "event", "L07", 148_810, "2021-03-21", 65_790, 1_854, None),
    # 160 km = 99.42 mi: 84 600 + 99 = 84 699. True: 91 340 - 84 699 + 21 040 x 1.096 = 29 700.8.
    ("thornback", "transfer", "leak", "due", "event", "L08", 84_699, "2021-04-25", 29_700.8, 1_819, None),
    # L02 78 400 + 12 500 = 90 900, before the tyres; past: 440 + 21 040 x 1.096 = 23 499.8. 24 months: 2022-05-16.
    # Between 87 050 (2021-10-09) and 91 340 (245 days on) 90 900 was reached on day 219, 2022-05-16: distance names it.
    ("thornback", "front-axle", "change", "due", "distance", "L02", 90_900, "2022-05-16", 23_499.8, 1_433, None),
    # L12, a crossing on 2022-08-20: the next day for every unit; these two were never looked at, the others since.
    ("thornback", "front-axle", "inspection", "due", "event", "L12", None, "2022-08-21", None, 1_336, None),
    ("thornback", "transfer", "inspection", "due", "event", "L12", None, "2022-08-21", None, 1_336, None),
    # 160 km / 1.096 = 90.71 mi as indicated: 92 915 + 91 = 93 006. 19 374 x 1.096 = 21 233.9.
    ("thornback", "rear-axle", "leak", "due", "event", "L15", 93_006, "2022-10-24", 21_233.9, 1_272, None),
    # L08 84 600: 6 740 to the tyres, 5 760 / 1.096 = 5 255.5 after them: 96 595. Past: 23 059.84 - 5 760 = 17 299.8.
    ("thornback", "transfer", "change", "due", "months", "L08", 96_595, "2023-04-24", 17_299.8, 1_090, None),
    # 101 150 + 90.71 = 101 241; 11 139 x 1.096 = 12 208.3.
    ("thornback", "engine", "leak", "due", "event", "L19", 101_241, "2024-03-31", 12_208.3, 748, None),
    ("drystone", "front-axle", "leak", "due", "event", "L20", 188_060, "2024-04-14", 26_540, 734, None),
    # L05 148 200 + 40 000; 214 600 - 188 200 = 26 400. Reached by 2024-04-20, before 48 months were.
    ("drystone", "rear-axle", "change", "due", "distance", "L05", 188_200, "2025-03-06", 26_400, 408, None),
    # L07, not L06 that it replaces: 148 650 + 40 000.
    ("drystone", "gearbox", "change", "due", "distance", "L07", 188_650, "2025-03-20", 25_950, 394, None),
    # 101 150 + 2 500 / 1.096 = 103 431.0; 11 230 x 1.096 - 2 500 = 9 808.1. 6 months: 2024-09-30; 103 431 on 09-09.
    ("thornback", "engine", "change", "due", "distance", "L19", 103_431, "2024-09-30", 9_808.1, 565, None),
    # 99 870 + 99.42 = 99 969; now 101 450 with the rollover: 1 481 past.
    ("wicket", "rear-axle", "leak", "due", "event", "L21", 99_969, "2024-09-15", 1_481, 580, None),
    # The worked example C02: 92 915 + 12 500 / 1.096 = 104 320.1; 19 465 x 1.096 = 21 333.6, so 8 833.6 over.
    ("thornback", "rear-axle", "change", "due", "months", "L15", 104_320, "2024-10-23", 8_833.6, 542, None),
    ("thornback", "auto-box", "leak", "due", "event", "L24", 106_991, "2025-05-18", 5_906.3, 335, None),
    # 6 months from 2025-05-17.
    ("thornback", "cooling", "test", "due", "months", "L25", None, "2025-11-17", None, 152, None),
    ("thornback", "cooling", "change", "unknown", "", "", None, "", None, None, None),
    ("drystone", "transfer", "change", "unknown", "", "", None, "", None, None, None),
    ("wicket", "front-axle", "change", "unknown", "", "", None, "", None, None, None),
    ("wicket", "gearbox", "change", "unknown", "", "", None, "", None, None, None),
    ("wicket", "battery", "change", "unknown", "", "", None, "", None, None, None),
    # 106 900 + 12 500 / 1.096 = 118 305.1; 5 480 x 1.096 - 12 500 = -6 493.9. 18 months: 2026-11-17.
    ("thornback", "auto-box", "change", "clear", "months", "L24", 118_305, "2026-11-17", -6_493.9, -213, None),
    ("drystone", "brakes", "change", "clear", "months", "L22", None, "2027-02-08", None, -296, None),
    # 187 900 + 40 000 = 227 900; at the pace so far that is in 2027, before 48 months are up.
    ("drystone", "front-axle", "change", "clear", "distance", "L20", 227_900, "2028-04-13", -13_300, -726, None),
    # 99 870 + 25 000 = 124 870, when the odometer shows 24870; now 101 450.
    ("wicket", "rear-axle", "change", "clear", "months", "L21", 124_870, "2028-09-14", -23_420, -880, None),
]


def test_the_demo_garage_to_the_mile_the_kilometre_and_the_day(page: Page, dist: Path) -> None:
    given = demo(dist)
    found = ask(page, "due.due(a[0])", given)
    units = {one["id"]: one["odometer"]["unit"] for one in given["vehicles"]}

    def row(one: Json) -> tuple[Any, ...]:
        over = None if one["over"] is None else round(one["over"] / METRES[units[one["vehicle"]]], 1)
        return (one["vehicle"], one["unit"], one["what"], "stop" if one["stop"] else one["state"], one["bound"],
                one["since"], one["odometer"], one["date"], over, one["late"], one["hardStop"])

    assert [row(one) for one in found] == EXPECTED
    by = {(one["vehicle"], one["unit"], one["what"]): one for one in found}
    assert by["wicket", "rear-axle", "change"]["shows"] == "24870"
    assert by["wicket", "battery", "change"]["why"] == "no rule for this kind of unit"
    assert by["drystone", "transfer", "change"]["why"] == "never logged"
    assert by["drystone", "wheels", "re-torque"]["followUp"] == "L26:wheel-refitted:wheels"
    # Every unit but wheels and whole vehicle has a line, whatever its state.
    assert {key[:2] for key in by} >= {
        (one["id"], name) for one in given["vehicles"] for name, what in one["units"].items()
        if what["kind"] not in ("wheels", "vehicle")}


def test_a_refit_on_larger_tyres_asks_for_the_look_where_the_worked_example_says(page: Page, dist: Path) -> None:
    # C20: refit at 91 340 mi indicated with tyres of 1.0960: look at 91 368 to 91 385, no later than 91 431.
    # 50 km = 31.07 mi true = 28.3 indicated; 80 km = 45.4; 160 km = 90.7.
    given = demo(dist, today="2022-06-12")
    [open_] = ask(page, "due.openLooks(a[0]).filter(({ unit }) => unit === 'wheels')", given)
    assert (open_["from"], open_["to"], open_["hardStop"]) == (91_368, 91_385, 91_431)
    # L11 re-torques at 91 402 and closes it; itself work on wheels, it does not ask for the next.
    later = ask(page, "due.openLooks(a[0]).filter(({ unit }) => unit === 'wheels')", given | {"today": "2022-06-19"})
    assert later == []


SITE: Json = {
    "service": [{"kinds": ["axle-cover"], "distance": 10_000 * METRES["mi"], "distanceKm": None, "months": 12,
                 "testMonths": None, "severeFactor": 0.5, "resetBy": ["P01"], "testResetBy": []}],
    "events": [], "work": {"P01": {"title": "Oil", "does": "change"}},
}


def one(page: Page, car: Json, *records: Json, today: str = TODAY) -> Json:
    given = {"today": today, "vehicles": [car], "records": list(records), "site": SITE}
    found = [item for item in ask(page, "due.due(a[0])", given) if item["unit"] == "rear-axle"]
    assert len(found) == 1
    return dict(found[0])


def test_due_when_either_is_reached_coming_when_a_tenth_is_left(page: Page) -> None:
    for reading, date, state in [
        (49_000, "2025-12-01", "clear"),  # 9 000 of 10 000 would be a tenth left; 8 900 driven
        (49_100, "2025-12-01", "coming"), (50_099, "2025-12-01", "coming"), (50_100, "2025-12-01", "due"),
        (41_000, "2026-03-30", "clear"),  # 37 days of 365 left, 36.5 is a tenth
        (41_000, "2026-03-31", "coming"), (41_000, "2026-05-05", "coming"), (41_000, "2026-05-06", "due"),
    ]:
        car = vehicle(unit("rear-axle"), odometer={"reading": reading, "asOf": date})
        found = one(page, car, entry("e", "2025-05-06", "P01", "40100 mi"), today=date)
        assert found["state"] == state, (reading, date)


def test_months_end_with_the_month_and_use_changes_the_rate(page: Page) -> None:
    car = vehicle(unit("rear-axle"))
    assert one(page, car, entry("e", "2024-02-29", "P01", "40000 mi"))["date"] == "2025-02-28"
    severe = car | {"severity": "severe"}
    # Half of 12 months from 31 August: the last day of February.
    assert one(page, severe, entry("e", "2025-08-31", "P01", "49000 mi"))["date"] == "2026-02-28"
    # Severe from 2026-01-01 on: 365 days are to go, 92 of them by then; the other 273 count double: 136.5 days on.
    mixed = car | {"severityEras": [{"since": 49_500, "sinceDate": "2026-01-01", "use": "severe"}]}
    assert one(page, mixed, entry("e", "2025-10-01", "P01", "49000 mi"))["date"] == "2026-05-17"
    # Distance: 500 mi normal, then 9 500 at double: 49 500 + 4 750.
    assert one(page, mixed, entry("e", "2025-10-01", "P01", "49000 mi"))["odometer"] == 54_250


def test_what_is_not_finished_replaced_or_dated_ahead_sets_nothing_back(page: Page) -> None:
    car = vehicle(unit("rear-axle"))
    first = entry("a", "2025-06-01", "P01", "45000 mi")
    for other in (entry("b", "2026-01-01", "P01", "49000 mi", finished=False),
                  entry("b", "2026-05-01", "P01", "49000 mi")):
        assert one(page, car, first, other)["since"] == "a"
    wrong = entry("b", "2026-01-01", "P01", "49000 mi")
    assert one(page, car, first, wrong)["since"] == "b"
    assert one(page, car, first, wrong, entry("c", "2026-01-01", "P18", "49000 mi", replaces="b"))["since"] == "a"


def test_no_odometer_is_unknown_and_an_own_rule_wins(page: Page) -> None:
    car = vehicle(unit("rear-axle"), odometer={"asOf": "2026-04-01"})
    found = one(page, car, entry("e", "2025-12-01", "P01"))
    assert (found["state"], found["why"]) == ("unknown", "the odometer at the last one is not known")
    own = car | {"service": [{"units": ["rear-axle"], "distance": None, "months": 4, "severeFactor": 0.5}]}
    found = one(page, own, entry("e", "2025-12-01", "P01"))
    assert (found["state"], found["date"], found["odometer"]) == ("due", "2026-04-01", None)


def test_the_look_of_the_next_morning_does_not_settle_the_one_at_160_km(page: Page, dist: Path) -> None:
    # A signed job stores two leak looks: next morning, and at 160 km = 99 mi. Half of that must be driven before a look
    # tells anything: 49 900 to 49 999, half way at 49 949.5.
    look = {"entry": "a", "vehicle": "v", "unit": "rear-axle", "kind": "leak", "says": "Look.", "from": None,
            "hardStop": None, "odometerUnit": "mi"}
    looks = [look | {"id": "f1", "due": "2026-03-02", "to": None}, look | {"id": "f2", "due": "", "to": 49_999}]
    job = entry("a", "2026-03-01", "P01", "49900 mi", job="j", followUps=looks)
    given = {"today": TODAY, "vehicles": [vehicle(unit("rear-axle"))], "site": demo(dist)["site"]}

    def left(*later: Json) -> list[str]:
        return [one["id"] for one in ask(page, "due.openLooks(a[0])", given | {"records": [job, *later]})]

    assert left() == ["f1", "f2"]
    assert left(entry("b", "2026-03-01", "P17", "49950 mi")) == ["f1", "f2"]  # the same day is not the next morning
    assert left(entry("b", "2026-03-02", "P17", "49905 mi")) == ["f2"]
    assert left(entry("b", "2026-03-02", "P17", "49905 mi"), entry("c", "2026-03-20", "P17", "49950 mi")) == []
    assert left(entry("b", "2026-03-02", "P17", "49905 mi", closes=["f2"])) == []  # by name
    assert left(entry("b", "2026-03-09", "P01", "49920 mi")) == ["b:joint-opened:rear-axle"]  # opened again
