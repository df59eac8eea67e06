"""What the log shows by itself: the demo log of the invented garage as of 2026-04-18, each with its figures by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from logs import Json, ask, demo

# rule, vehicle, unit, severity, entries -> figures that its evidence must hold, with the arithmetic
EXPECTED: list[tuple[str, str, str, str, list[str], list[str]]] = [
    # 2022-08-20 to 10-22 is 63 days, 92 910 - 92 250 = 660 mi; 4 of 62 mm is 6.45 %. Front axle and transfer case: to
    # 2026-04-18 it is 1 337 days. The engine was first open at its oil change, 588 days on, the gearbox 1 001.
    ("late-crossing-check", "thornback", "whole", "warning", ["L12", "L14", "L19", "L24"],
     ["at 92 250 mi, water 0.65 m, breather end at 0.60 m", "63 days and 660 mi", "4.0 mm of 62 mm, 6.5 %", "588 days",
      "1 001 days", "Front axle: no look and no change logged in 1 337 days", "Transfer case: no look"]),
    # 207 350 + 160 km = 207 510.
    ("follow-up-never-made", "drystone", "wheels", "warning", ["L26"],
     ["never past 207 510 km", "stands at 214 600 km"]),
    # Handbook table: 33 % by volume freezes at -18 °C; the coldest start is -18 °C: 0 K.
    ("cold-start-margin", "thornback", "cooling", "warning", ["L25"],
     ["Glycol 33.0 % by volume", "freezes at about −18 °C", "coldest start is −18 °C", "carried forward"]),
    # 160 km = 99.4 mi: 81 950 + 99, 87 050 + 99; with tyres of 1.0960 90.7: 101 150 + 91.
    ("follow-up-never-made", "thornback", "rear-axle", "caution", ["L15"], ["by 2022-10-24 and by 93 006 mi"]),
    ("follow-up-never-made", "thornback", "transfer", "caution", ["L08"], ["by 2021-04-25 and by 84 699 mi"]),
    ("follow-up-never-made", "thornback", "auto-box", "caution", ["L24"], ["by 2025-05-18 and by 106 991 mi"]),
    ("follow-up-never-made", "thornback", "engine", "caution", ["L04", "L09", "L19"],
     ["by 82 049 mi; overtaken", "by 87 149 mi; overtaken", "by 101 241 mi; the odometer stands at 112 380 mi"]),
    ("follow-up-never-made", "drystone", "rear-axle", "caution", ["L05"], ["by 148 360 km"]),
    ("follow-up-never-made", "drystone", "front-axle", "caution", ["L13", "L20"],
     ["by 166 260 km; overtaken", "188 060 km"]),
    ("follow-up-never-made", "drystone", "gearbox", "caution", ["L07"], ["by 148 810 km"]),
    ("follow-up-never-made", "wicket", "rear-axle", "caution", ["L21"], ["by 99 969 mi", "stands at 101 450 mi"]),
    ("wrong-category", "thornback", "rear-axle", "caution", ["L15"], ["80W-90 GL-5, additive 0 mL", "75W-110 GL-5 LS"]),
    # 0 + 60 of 150 mL is 40 %; 150 of 2 350 mL is 6.4 %, the worked example C16.
    ("additive-below-dose", "thornback", "rear-axle", "caution", ["L15", "L16"],
     ["150 mL (verified), 6.4 % of 2.35 L", "40.0 % of the dose; 90 mL is missing"]),
    # 15 mm x 420 cm2 = 0.630 L against 0.30 L; tan 1° x 110 mm = 1.92 mm, x 420 cm2 = 0.0806 L.
    ("litres-against-level", "thornback", "rear-axle", "caution", ["L27"],
     ["15 mm low on 420 cm² of oil is 0.630 L; 0.330 L less", "by 1.9 mm, which is 0.0806 L"]),
    ("capacity-conflict", "drystone", "front-axle", "caution", ["L13", "L20"],
     ["1.35 L: owner measured", "1.10 L: previous owner note", "1.10 L, level not seen", "1.35 L, level seen"]),
    # 81 950 to 87 050: 5 100 mi, severe 10 200 of 5 000 = 2.04; 371 days of 182 (6 months from 2020-10-03) = 2.04.
    ("missed-interval", "thornback", "engine", "caution", ["L04", "L09"],
     ["5 100 mi true in between, counted as 10 200 mi", "2.0 times the interval, 5 000 mi", "371 days in between",
      "182 days"]),
    # 87 050 to 91 340 is 4 290, to 101 150 another 9 810 x 1.096 = 10 751.8: 15 041.8 mi true, 30 083.5 counted: 6.02.
    ("missed-interval", "thornback", "engine", "caution", ["L09", "L19"], ["15 042 mi true", "6.0 times", "903 days"]),
    ("top-up-without-leak-look", "thornback", "rear-axle", "caution", ["L27"], ["0.30 L, 15 mm low"]),
    ("top-up-without-leak-look", "wicket", "rear-axle", "caution", ["L23"], ["0.22 L, 12 mm low"]),
    # 148 650 - 148 200 = 450 km with the wrong one in.
    ("wrong-category", "drystone", "gearbox", "notice", ["L06", "L07"],
     ["75W-90 GL-5", "Asked for: 75W-90 GL-4", "Yellow metal", "after 450 km"]),
    # 2.2 US pt = 1.0410 L, 2.2 imp pt = 1.2502 L: 0.8327 of it, 0.209 L short; 0.22 L went in later.
    ("wrong-country-pint", "wicket", "rear-axle", "notice", ["L21", "L23"],
     ["2.2 imp pt (1.25 L)", "2.2 US pt (1.04 L)", "0.833 of the table", "by 0.22 L, level seen"]),
    ("litres-against-level", "drystone", "front-axle", "notice", ["L13", "L20"],
     ["Level seen: no", "Level seen 2024-04-13"]),
    ("litres-against-level", "wicket", "rear-axle", "notice", ["L21", "L23"],
     ["Level seen: no", "Level seen 2025-03-29"]),
    # 1.05 of 1.35 L is 77.8 %, under 85; the fill before it was 1.10 L.
    ("running-low", "drystone", "front-axle", "notice", ["L20", "L13"],
     ["77.8 % of the table, 1.35 L", "1.10 L, level not seen"]),
    # 12 940 mi to the tyres, 1 575 x 1.096 = 1 726.2 after: 14 666 true, twice that of 25 000 = 1.17; 890 of 730 days.
    ("missed-interval", "thornback", "rear-axle", "notice", ["L01", "L15"],
     ["14 666 mi true", "1.2 times", "890 days", "730 days"]),
    ("unit-never-logged", "drystone", "transfer", "notice", [], ["0 entries for PT-G"]),
    ("unit-never-logged", "wicket", "gearbox", "notice", [], ["0 entries for SK4T"]),
]


def test_the_demo_log(page: Page, dist: Path) -> None:
    found = ask(page, "findings.findings(a[0])", demo(dist))

    def key(one: Json) -> tuple[Any, ...]:
        return one["rule"], one["vehicle"], one["unit"], one["severity"], one["entries"]

    assert sorted(map(key, found)) == sorted(one[:5] for one in EXPECTED)
    ranks = ["warning", "caution", "notice"]
    assert [one["severity"] for one in found] == sorted((one["severity"] for one in found), key=ranks.index)
    by = {(one["rule"], one["unit"], *one["entries"]): one for one in found}
    for rule, _, where, _, entries, figures in EXPECTED:
        one = by[(rule, where, *entries)]
        text = " ".join(one["evidence"]).replace("\u202f", " ")
        assert [figure for figure in figures if figure not in text] == [], (rule, one["evidence"])
        assert one["says"].endswith(".") and one["settle"].endswith(".") and "undefined" not in text + one["says"]


def test_before_anything_was_wrong_nothing_is_found(page: Page, dist: Path) -> None:
    # On the day after L03 all was done by the book; only what has no entry yet is named.
    given = demo(dist, today="2020-05-31")
    given["vehicles"] = [one | {"odometer": one["odometer"] | {"asOf": "2020-05-30", "reading": 78_495}}
                         for one in given["vehicles"][:1]]
    given["records"] = [one for one in given["records"] if one["entry"]["date"] <= "2020-05-31"]
    found = ask(page, "findings.findings(a[0])", given)
    assert {one["rule"] for one in found} == {"unit-never-logged"}


def test_the_rules_and_their_files_are_the_same(page: Page, dist: Path) -> None:
    names = {path.stem for path in (dist / "js" / "lib" / "findings").glob("*.js")}
    listed = page.request.get("js/lib/findings.js").text()
    assert names and all(f"'{name}'" in listed for name in names)
    assert listed.count("./findings/") == len(names)
