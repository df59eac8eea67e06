"""A unit over time: what was done, when it was due by each bound, and no unit without something to draw."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

from logs import TODAY, ask, demo, unit, vehicle

CALL = "timeline.timelineOf(a[0].vehicles[a[1]], { id: a[2] }, due.due(a[0]), a[0].records, a[0].today, a[0].site.work)"


def test_the_rear_axle_of_the_demo_garage(page: Page, dist: Path) -> None:
    given = demo(dist)
    line = ask(page, CALL, given, 0, "rear-axle")
    assert (line["from"], line["to"]) == ("2020-05-16", TODAY)
    # Its own entries and the event of the whole vehicle, in order.
    assert [(one["entry"], one["kind"]) for one in line["marks"]] == [
        ("L01", "service"), ("L03", "look"), ("L12", "event"), ("L14", "look"), ("L15", "service"), ("L16", "other"),
        ("L17", "look"), ("L27", "other")]
    assert line["marks"][0]["label"] == "Axle oil, cover type, 2.35 L"
    # 104 320 mi lie between 101 150 (2024-03-30) and 106 900, 413 days later: 3 170 / 5 750 x 413 = 227.7, 2024-11-12.
    # 93 006 between 92 915 (2022-10-23) and 93 480, 41 days later: 91 / 565 x 41 = 6.6, 2022-10-29.
    assert [(one["at"], one["label"], one["state"]) for one in line["bounds"]] == [
        ("2022-10-24", "leak by date", "due"), ("2022-10-29", "leak by distance, at 093006 mi", "due"),
        ("2024-10-23", "change by date", "due"), ("2024-11-12", "change by distance, at 104320 mi", "due")]
    # What is ahead stands where the pace so far puts it.
    line = ask(page, CALL, given, 0, "auto-box")
    assert [one["label"] for one in line["bounds"]][-1] == "change by distance, at 118305 mi, by the pace so far"
    assert line["to"] == line["bounds"][-1]["at"] > TODAY
    # An entry that was replaced is not on it.
    assert [one["entry"] for one in ask(page, CALL, given, 1, "gearbox")["marks"]] == ["L07"]


def test_nothing_logged_has_a_year_behind_it(page: Page) -> None:
    given = {"today": TODAY, "vehicles": [vehicle(unit("rear-axle"))], "records": [],
             "site": {"service": [], "events": [], "work": {}}}
    assert ask(page, CALL, given, 0, "rear-axle") == {"from": "2025-04-18", "to": TODAY, "marks": [], "bounds": []}
