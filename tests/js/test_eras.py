"""The odometer through the years: rollovers, readings that go back, tyres and use that change."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

from logs import METRES, Json, ask, entry, vehicle


def track(page: Page, car: Json, *records: Json) -> Any:
    return ask(page, "eras.trackOf(a[0], a[1])", car, [one["entry"] for one in records])


def five(reading: int, **known: Any) -> Json:
    return vehicle(odometer={"digits": 5, "reading": reading} | known)


def test_a_rollover_is_counted_and_a_smaller_fall_is_named(page: Page) -> None:
    # As the Wicket of the demo garage: 98 640, 99 870, then 310 and 1 450 after it rolled over at 100 000.
    log = [entry("a", "2023-06-24", "P15", "98640 mi"), entry("b", "2024-09-14", "P02", "99870 mi"),
           entry("c", "2025-03-29", "P18", "310 mi")]
    found = track(page, five(1_450, rollovers=1), *log)
    assert [one["at"] for one in found["points"]] == [98_640, 99_870, 100_310, 101_450]
    assert (found["now"]["shown"], found["now"]["at"], found["backwards"]) == (1_450, 101_450, [])
    # It has rolled over twice by the vehicle's own word: the log began on the second lap.
    assert track(page, five(1_450, rollovers=2), *log)["now"]["at"] == 201_450
    # Half the range exactly is not a rollover: 60 000 to 10 000 goes back, to 9 999 rolls over.
    first = entry("a", "2024-01-01", "P18", "60000 mi")
    back = track(page, five(10_500), first, entry("b", "2025-01-01", "P18", "10000 mi"))
    assert [(one["before"]["entry"], one["after"]["entry"]) for one in back["backwards"]] == [("a", "b")]
    assert back["now"]["at"] == 10_500
    over = track(page, five(10_500), first, entry("b", "2025-01-01", "P18", "9999 mi"))
    assert (over["backwards"], over["now"]["at"]) == ([], 110_500)


def test_the_readings_that_agree_are_believed(page: Page) -> None:
    # A slip of the finger upwards: 149 000 for 49 000. All later ones would lie below it; it is the one left out.
    log = [entry("a", "2025-01-01", "P18", "48000 mi"), entry("b", "2025-02-01", "P18", "149000 mi"),
           entry("c", "2025-03-01", "P18", "49200 mi"), entry("d", "2025-03-01", "P18", "49100 mi"),
           entry("e", "2025-04-01", "P18")]
    found = track(page, vehicle(), *log)
    # Two of one day stand in the order in which they were driven; one without a reading is no point.
    assert [one["entry"] for one in found["points"]] == ["a", "d", "c", ""]
    [fall] = found["backwards"]
    assert (fall["before"]["entry"], fall["after"]["entry"]) == ("b", "d")


def test_a_rollover_within_a_day(page: Page) -> None:
    log = [entry("a", "2025-03-01", "P18", "20 mi"), entry("b", "2025-03-01", "P18", "99980 mi")]
    assert [one["at"] for one in track(page, five(900), *log)["points"]] == [99_980, 100_020, 100_900]


def test_a_line_between_two_readings(page: Page) -> None:
    # 300 mi in 30 days from 1 March: 10 mi a day. Before the first nothing is known, after the last it is the last.
    log = [entry("a", "2026-03-01", "P18", "49700 mi")]
    car = vehicle(odometer={"reading": 50_000, "asOf": "2026-03-31"})
    call = "(p => a[1].map(d => eras.where(p, calendar.dayOf(d))))(eras.trackOf(a[0], a[2]).points)"
    found = ask(page, call, car, ["2026-02-28", "2026-03-01", "2026-03-11", "2026-03-31", "2026-06-01"],
                [one["entry"] for one in log])
    assert found == [None, 49_700, 49_800, 50_000, 50_000]
    call = "(p => a[1].map(o => eras.when(p, o)).map(d => d && calendar.isoOf(d)))(eras.trackOf(a[0], a[2]).points)"
    found = ask(page, call, car, [49_000, 49_800, 49_805, 50_000, 50_001], [one["entry"] for one in log])
    assert found == ["2026-03-01", "2026-03-11", "2026-03-11", "2026-03-31", None]


def test_true_distance_only_after_the_tyres_changed(page: Page) -> None:
    # C14: 265/75R16 for 235/75R15 is 1.0960, from 91 340 mi on. 90 340 to 92 340: 1 000 + 1 096 mi.
    car = vehicle(tyreEras=[{"since": 0, "sinceDate": "", "size": "235/75R15", "factor": 1},
                            {"since": 91_340, "sinceDate": "2022-06-11", "size": "265/75R16", "factor": 1.096}])
    found = ask(page, "[eras.trueMetres(a[0], 90340, 92340), eras.trueMetres(a[0], 92340, 90340)]", car)
    assert abs(found[0] - 2_096 * METRES["mi"]) < 1e-6 and found[1] == -found[0]
    # C02: 12 500 mi true from 92 915 are used up at 92 915 + 12 500 / 1.096 = 104 320.1095.
    at = ask(page, "eras.reachedAt(eras.erasOf(a[0]), 92915, a[1])", car, 12_500 * METRES["mi"])
    assert abs(at - 104_320.1095) < 1e-3
