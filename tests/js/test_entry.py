"""Entries by hand: every field of the shape, corrections that lose nothing, litres held against the table."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import Page

Json = dict[str, Any]
PINT = 0.56826125e-3  # imperial pint in m³: Weights and Measures Act 1985 (gallon 4.54609 L)


def call(page: Page, what: str, *arguments: Any) -> Any:
    if page.url == "about:blank":
        page.goto("about/")
    return json.loads(page.evaluate(
        "async a => { const [entry, fields, own] = await Promise.all([import('../js/lib/entry.js'),"
        " import('../js/log/fields.js'), import('../js/job/own.js')]);"
        f" return JSON.stringify({what}) }}", list(arguments)))


def reading(typed: str, unit: str = "", si: float | None = None) -> Json:
    return {"typed": typed, "unit": unit, "si": si}


def torque(role: str, target: float, used: float) -> Json:
    return {"role": role, "target": target, "used": used, "state": "dry"}


def held(**given: Any) -> Json:
    return {
        "id": "e1", "vehicle": {"id": "wicket", "invented": True, "odometer": {"unit": "mi"}}, "unit": "rear-axle",
        "work": "P18", "event": "", "date": "2026-04-18", "odometer": reading("1450", "mi", 1450 * 1609.344),
        "deviations": [], "says": "", "fluid": ["", "", ""], "readings": {}, "torque": [], "words": {},
        "waste": {"what": "", "amount": None, "where": ""}, "photos": [], "closes": [], "replaces": "", **given}


def test_a_top_up_fills_every_field_of_the_shape(page: Page, dist: Any) -> None:
    made = call(page, "entry.entryOf(a[0])", held(
        says=" 12 mm low ", fluid=[" house blend", "80W-90", "GL-5 "],
        readings={"in": reading("0.4", "imp pt", 0.4 * PINT), "level-found": reading("12", "mm", 0.012), "colour": None,
                  "level-verified": reading("yes"), "vehicle-level": reading("unknown"), "leak-grade": reading("weep"),
                  "play-left": reading("0.08", "mm", 0.08e-3), "play": reading("0.35", "mm", 0.35e-3)},
        words={"cost": "4", "batch": "LOT 2"}, photos=["p1"], closes=["L21"],
        waste={"what": "cloths", "amount": reading("0.1", "L", 0.1e-3), "where": "to the depot"}))
    asked = {"colour", "smell", "magnet"}
    assert made["fluid"] == "house blend, 80W-90, GL-5" and made["says"] == "12 mm low"
    assert made["in"] == reading("0.4", "imp pt", 0.4 * PINT), "as typed, to be read back"
    assert (made["out"], made["additive"], made["flush"]) == (None, None, None)
    assert set(made["found"]) == {"level-found", "play"} and not asked & set(made["found"])
    assert set(made["left"]) == {"leak-grade", "play"} and made["left"]["play"]["typed"] == "0.08"
    assert (made["levelVerified"], made["vehicleLevel"], made["demo"]) == ("yes", "unknown", True)
    assert (made["job"], made["rev"], made["procedure"], made["event"]) == ("", 0, "P18", "")
    assert made["odometerUnit"] == "mi"
    assert made["waste"] == "cloths, 0.1 L, to the depot"
    assert made["trueKm"] is None, "worked out of the odometer and the tyres, never typed here"
    # The same keys as the entries that the site publishes, and none that is not of the shape.
    published = json.loads((dist / "data/logs/demo.json").read_text("utf-8"))[0]["entry"]
    assert set(published) <= set(made)
    event = call(page, "entry.entryOf(a[0])", held(work="event", event="water-crossing", unit="whole"))
    assert (event["event"], event["procedure"]) == ("water-crossing", "event")
    assert call(page, "entry.entryOf(a[0])", held(work="P13", event="water-crossing"))["event"] == ""


def test_a_correction_changes_what_was_shown_and_carries_the_rest(page: Page) -> None:
    old = call(page, "entry.entryOf(a[0])", held(
        id="old", work="P02", says="wrong amount", fluid=["", "80W-90", "GL-5"],
        readings={"in": reading("1.04", "L", 1.04e-3), "out": reading("1.1", "L", 1.1e-3),
                  "teeth": reading("bright and even"), "colour": reading("black"), "leak-grade": reading("dry")},
        torque=[torque("drain-plug", 27, 25), torque("x", 9, 9)],
        deviations=["Odometer: read twice", "Hold 4 passed: counted"], photos=["p1"], closes=["a"]))
    old |= {"job": "j1", "rev": 3, "trueKm": 163.2, "done": {"cloths-in": reading("6", "", 6)},
            "notes": [{"step": 8, "text": "dressed"}]}
    new = call(page, "entry.corrected(a[0], a[1], a[2])", old, held(
        id="new", work="P02", says="read again", photos=["p2"], deviations=["Odometer: new clock"],
        readings={"in": reading("2.2", "imp pt", 2.2 * PINT), "colour": None},
        torque=[torque("drain-plug", 27, 27)]), ["in", "colour", "torque drain-plug"])
    assert (new["id"], new["replaces"], new["job"], new["rev"]) == ("new", "old", "", 0)
    assert new["in"]["typed"] == "2.2" and new["out"]["typed"] == "1.1", "out was not shown: it stands"
    assert "colour" not in new["found"] and new["found"]["teeth"]["typed"] == "bright and even"
    assert new["left"] == {"leak-grade": reading("dry")} and new["done"] == {"cloths-in": reading("6", "", 6)}
    assert new["fluid"] == "80W-90, GL-5", "the fluid was not shown either"
    assert [(one["role"], one["used"]) for one in new["torque"]] == [("x", 9), ("drain-plug", 27)]
    assert new["deviations"] == ["Hold 4 passed: counted", "Odometer: new clock"]
    assert (new["photos"], new["trueKm"], new["says"], new["closes"]) == (["p1", "p2"], 163.2, "read again", [])
    gone = call(page, "entry.withdrawn(a[0], 'w', ' logged twice ')", old)
    assert (gone["procedure"], gone["event"], gone["replaces"]) == ("event", "", "old")
    assert gone["says"] == "Withdrawn, this was not done: logged twice"
    assert gone["in"] is None and gone["found"] == {} and gone["closes"] == [] and gone["odometer"] == old["odometer"]


def words(page: Page, does: str, litres: float | None, refill: float | None, *, out: float | None = None,
          unit: str = "L", typed: str = "", state: str = "verified") -> str:
    """What is said of litres poured, all in litres."""
    poured = None if litres is None else reading(typed or f"{litres:g}", unit, litres / 1000)
    drained = None if out is None else reading(f"{out:g}", "L", out / 1000)
    table = None if refill is None else {"si": refill / 1000, "state": state}
    return str(call(page, "entry.litres(a[0], a[1], a[2], a[3])", does, poured, drained, table))


def test_litres_against_the_table_are_told_and_never_refused(page: Page) -> None:
    assert words(page, "change", 2.30, 2.35) == ""
    assert words(page, "change", 2.115, 2.35) == "", "a tenth less is still within"
    # 2.10 / 2.35 = 0.894: 11 % less.
    assert words(page, "change", 2.10, 2.35).startswith("2.1 L is 11 % less than the refill, 2.35 L. Fill to level")
    assert words(page, "change", 2.10, 2.35, out=2.05) == "", "as much as came out is no surprise"
    # 2.2 US pt = 2.2 x 0.473176473 L = 1.041 L; of 2.2 imp pt = 1.250 L that is 0.8327.
    said = words(page, "change", 2.2 * 0.473176473, 1.250, unit="US pt", typed="2.2")
    assert said.startswith("2.2 US pt (1.04 L) is 17 % less than the refill, 1.25 L.") and "US and imperial" in said
    said = words(page, "change", 1.250 / 0.8327, 1.250)
    assert "US and imperial" in said and "more than the refill" in said
    assert "US and imperial" not in words(page, "change", 1.0, 1.25)
    # 0.30 of 2.35 is 12.8 %; a tenth or less of the refill is a top-up.
    assert words(page, "top-up", 0.30, 2.35) == "0.3 L is 13 % of the refill, 2.35 L. Find where it went."
    assert words(page, "top-up", 0.22, 2.35) == ""
    assert words(page, "top-up", 3.0, 2.35).startswith("3 L is more than the whole refill, 2.35 L.")
    assert "(conflict)" in words(page, "change", 0.5, 1.10, state="conflict")
    assert words(page, "change", 1.0, None).startswith("No figure is known")
    assert words(page, "change", None, 2.35) == "" and words(page, "look", 1.0, 2.35) == ""


def test_the_newest_comes_first_and_a_correction_is_found(page: Page) -> None:
    def record(id_: str, date: str, at: int, replaces: str = "") -> Json:
        return {"id": id_, "at": at, "followUps": [], "entry": {"id": id_, "date": date, "replaces": replaces}}

    records = [record("b", "2025-01-02", 9), record("a", "2026-01-01", 1), record("c", "2025-01-02", 12, "b")]
    assert call(page, "entry.newestFirst(a[0]).map(one => one.id)", records) == ["a", "c", "b"]
    assert call(page, "[...entry.corrections(a[0])].map(([old, one]) => [old, one.id])", records) == [["b", "c"]]


def test_words_to_pick_are_those_of_the_cards(page: Page, dist: Any) -> None:
    """A log reads alike whether a job wrote it or a hand: the same field has the same words."""
    mine = call(page, "Object.fromEntries(Object.entries(fields.FIELDS).map(([id, one]) =>"
                      " [id, [one.unit, one.options.map(option => option.word)]]))")
    compared = 0
    for path in sorted((dist / "data/cards").glob("*.json")):
        for field in json.loads(path.read_text("utf-8"))["record"]:
            if field["id"] in mine:
                theirs = [field["unit"], [option["word"] for option in field["options"]]]
                assert mine[field["id"]] == theirs, f"{path.stem}: {field['id']}"
                compared += 1
    assert compared >= 8


def test_only_the_fields_of_the_work_are_asked(page: Page, vehicles: dict[str, Json]) -> None:
    axle, battery = vehicles["thornback"]["units"]["rear-axle"], vehicles["wicket"]["units"]["battery"]
    cooling = vehicles["thornback"]["units"]["cooling"]
    site = call(page, "await (await fetch('../data/site.json')).json()")

    def asked(work: str, unit: Json | None, event: str = "") -> list[str]:
        return list(call(page, "fields.asked(a[0], a[1], a[2], a[3])", work, site["work"][work]["does"], unit, event))

    assert asked("P18", axle) == ["level-found", "in", "fluid", "level-verified", "vehicle-level"]
    assert asked("test", cooling) == ["glycol-share", "temperature"] and asked("test", battery)[0] == "voltage"
    assert asked("event", None) == [] and asked("event", None, "water-crossing") == ["water-depth", "breather-height"]
    known = set(call(page, "Object.keys(fields.FIELDS)")) | {"fluid", "torque"}
    for work in site["work"]:
        for unit in (axle, battery, None):
            keys = asked(work, unit)
            assert set(keys) <= known and len(set(keys)) == len(keys), work
            assert "torque" not in keys or (unit and unit["fasteners"]), f"{work}: no fastener to ask for"
