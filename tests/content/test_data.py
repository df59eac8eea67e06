"""The data that the phone works with, as built: shaped as types.d.ts says, the sheets and the log as they were written.

What the page works out of a sheet is held in tests/js/test_sheet.py. The amounts of cards, rules and log are worked out
a second time with pint's own unit names, not with the site's table of units.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import jsonschema
import pint
import pytest
import yaml

from fillmark.model.card import Card, predecessors, texts
from fillmark.model.vehicle import Vehicle
from harness import ROOT
from shapes import Types, page_types

PINT = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
# NIST SP 811, App. B, holds for each: pint's definitions are the same, and tests/unit/test_units.py checks them.
NAMES = {"L": "litre", "mL": "millilitre", "US pt": "US_pint", "mm": "millimeter", "m": "meter", "mi": "mile",
         "km": "kilometer", "%": "percent", "min": "minute", "V": "volt", "°C": "degC"}


def si(text: str) -> float:
    """Return an amount as written in the YAML, such as `2.2 imp pt`, in SI base units."""
    number, unit = text.split(" ", 1)
    return float(PINT.Quantity(float(number), NAMES[unit]).to_base_units().magnitude)


@pytest.fixture(scope="module")
def built(dist: Path) -> dict[str, Any]:
    """{path below data/: what it holds}."""
    folder = dist / "data"
    return {path.relative_to(folder).as_posix(): json.loads(path.read_bytes()) for path in folder.rglob("*.json")}


# ---- the shape

@pytest.fixture(scope="module")
def types() -> Types:
    return page_types()


def test_the_shapes_are_those_of_the_types(built: dict[str, Any], types: Types) -> None:
    assert len(built) >= 9
    for path, value in built.items():
        folder = path.partition("/")[0]
        name = {"cards": "Card", "vehicles": "Sheet", "site.json": "SiteData", "logs": "LogRecord",
                "tables.json": "TableData", "keys": "Key"}[folder]
        for one in value if folder in ("logs", "tables.json") else [value]:
            assert types.wrong(one, name) == [], path


def test_the_reader_of_shapes_finds_what_is_wrong(built: dict[str, Any], types: Types) -> None:
    for change, said in (
        (lambda card: card.pop("steps"), "keys ['steps']"),
        (lambda card: card["steps"][0].update(part="some"), "'some' is not"),
        (lambda card: card["steps"][0]["ways"][""].update(hands="10"), "'10' is no number"),
        (lambda card: card["record"][1]["options"].append("word"), "not an object"),
        (lambda card: card.update(choice="sealant"), "Card.choice"),
    ):
        card = json.loads(json.dumps(built["cards/p01.json"]))
        change(card)
        wrong = types.wrong(card, "Card")
        assert len(wrong) == 1, wrong
        assert said in wrong[0]
    sheet = json.loads(json.dumps(built["vehicles/drystone.json"]))
    fill = sheet["units"]["front-axle"]["fills"]["refill"]
    assert types.wrong(sheet, "Sheet") == [] and fill["other"]
    fill["other"][0]["state"] = "checked"  # through an intersection, an optional key and a type within itself
    assert len(types.wrong(sheet, "Sheet")) == 1


# ---- what it says

def test_every_card_and_vehicle_is_there(
    built: dict[str, Any], cards: dict[str, Card], garage: dict[str, Vehicle]
) -> None:
    assert set(built) == {f"cards/{no.lower()}.json" for no in cards} | {f"vehicles/{name}.json" for name in garage} | {
        "site.json", "tables.json", "logs/demo.json", "keys/which-unit.json", "keys/which-diff.json",
        "keys/which-fluid.json"}


def test_a_card_comes_back_as_it_was_written(built: dict[str, Any], cards: dict[str, Card]) -> None:
    for no, card in cards.items():
        data = built[f"cards/{no.lower()}.json"]
        assert (data["no"], data["rev"], data["title"]) == (no, card.rev, card.title)
        said = json.dumps(data, ensure_ascii=False)
        for path, text in texts(card):
            assert path[0] == "not_for" or json.dumps(text, ensure_ascii=False) in said, (no, path)
        assert list((data["choice"] or {"options": {}})["options"]) == list(card.choice.options if card.choice else {})
        for step, back in zip(card.steps, data["steps"], strict=True):
            assert [(one["step"], one["handsOnly"]) for one in back["after"]] == predecessors(step)
            assert list(back["ways"]) == (list(step.variants) or [""])
            for option, way in back["ways"].items():
                one = step.variants[option] if option else step
                assert one.hands is not None
                assert way["hands"] * 60 == pytest.approx(si(one.hands.text))
                assert way["wait"] * 60 == pytest.approx(si(one.wait.text) if one.wait else 0)
                assert (way["waitKind"], way["label"]) == (one.wait_kind or "", one.label_time)
        assert [field["id"] for field in data["record"]] == [field.id for field in card.record]
        assert [hold["blocks"] for hold in data["holds"]] == [list(hold.blocks) for hold in card.holds]
        for one, back in zip(card.follow_ups, data["followUps"], strict=True):
            for key, amount in (("earliest", one.earliest), ("latest", one.latest), ("hardStop", one.hard_stop)):
                assert back[key] == pytest.approx(si(amount.text) if amount else 0)
        # A sub-card is named as its file is.
        assert all(f"cards/{name.lower()}.json" in built for name in data["includes"])


def test_what_is_read_and_tightened_is_there(built: dict[str, Any]) -> None:
    for path, card in built.items():
        if not path.startswith("cards/"):
            continue
        known = {field["id"] for field in card["record"]}
        read = {name for one in (*card["steps"], *card["holds"]) for name in one["reads"]}
        assert read <= known, path
        tightened = {step["tightens"] for step in card["steps"] if step["tightens"]}
        assert tightened == set(card["torque"]), f"{path}: every torque of the card is tightened at a step"
        for group in tightened:
            parts = [step["part"] for step in card["steps"] if step["tightens"] == group]
            assert parts in (["all"], ["stages", "lap"]), f"{path}: stages, then the lap"


# ---- sheets, rules, log

def written(name: str) -> Any:
    """Return a content file as another YAML reader takes it, every scalar as text."""
    return yaml.load((ROOT / "content" / name).read_text("utf-8"), yaml.BaseLoader)


def as_text(value: Any) -> Any:
    """Return data with every number and truth as the text that YAML has for it."""
    if isinstance(value, dict):
        return {key: as_text(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_text(item) for item in value]
    return json.dumps(value) if isinstance(value, (bool, int, float)) else value


def test_a_sheet_is_what_was_written_in_its_order(built: dict[str, Any], garage: dict[str, Vehicle]) -> None:
    for name in garage:
        sheet, there = as_text(built[f"vehicles/{name}.json"]), written(f"vehicles/{name}.yaml")
        assert list(sheet["units"]) == list(there["units"])
        for one in there["tyre_eras"]:  # 1.0960 is written with a zero that a number does not keep
            one["factor"] = str(float(one["factor"]))
        for one in there["units"].values():
            if "ratio" in one:
                one["ratio"] = str(float(one["ratio"]))
        assert sheet == there, name


def test_the_rules_in_true_metres(built: dict[str, Any]) -> None:
    """25 000 international miles of 1609.344 m are 40 233.6 km, by hand; a handbook in kilometres says 40 000."""
    site = built["site.json"]
    by_kind = {kind: rule for rule in site["service"] for kind in rule["kinds"]}
    assert {kind: (rule["distance"], rule["months"]) for kind, rule in by_kind.items()} == {
        **dict.fromkeys(("axle-cover", "axle-dropout", "front-axle", "swivel", "transfer", "manual-box"),
                        (pytest.approx(40_233_600), 48)),
        "engine": (pytest.approx(8_046_720), 12), "auto-box": (pytest.approx(40_233_600), 36),
        "hub": (pytest.approx(40_233_600), 24), "brakes": (None, 24), "cooling": (None, 60)}
    assert [by_kind[kind]["distanceKm"] for kind in ("swivel", "engine", "auto-box", "hub", "brakes")] == [
        40_000_000, 8_000_000, 40_000_000, 40_000_000, None]
    assert (by_kind["cooling"]["testMonths"], by_kind["cooling"]["testResetBy"]) == (12, ["P08", "test"])
    events = {rule["id"]: rule for rule in site["events"]}
    wheel = events["wheel-refitted"]
    assert (wheel["earliest"], wheel["latest"], wheel["hardStop"], wheel["days"]) == (50_000, 80_000, 160_000, 0)
    leak = events["joint-opened"]
    assert (leak["days"], leak["latest"], leak["hardStop"], leak["closedBy"]) == (1, 160_000, 0, ["P17"])
    assert events["limited-slip-refilled"]["onlyIf"] == "limited-slip"
    # Every work that a rule names can be logged, and what renews a fluid says so.
    named = {one for rule in site["service"] for one in (*rule["resetBy"], *rule["testResetBy"])}
    assert named <= set(site["work"]) and {f"P{number:02}" for number in range(1, 26)} <= set(site["work"])
    assert site["work"]["P06"]["does"] == "part-change" and site["work"]["P18"]["does"] == "top-up"
    for unit in site["units"].values():
        assert site["units"][unit["symbol"]] == unit, "a spelling counts as its unit"


def test_the_demo_log_is_kept_as_a_phone_would(built: dict[str, Any], garage: dict[str, Vehicle]) -> None:
    records, there = built["logs/demo.json"], written("logs/demo.yaml")["entries"]
    assert [record["id"] for record in records] == [f"L{number:02}" for number in range(1, 29)]
    for record, one in zip(records, there, strict=True):
        entry = record["entry"]
        noon = datetime.fromisoformat(f"{one['date']}T12:00:00").replace(tzinfo=UTC)
        assert (record["at"], record["followUps"]) == (noon.timestamp() * 1000, [])
        assert (entry["id"], entry["date"], entry["vehicle"], entry["unit"], entry["procedure"]) == (
            one["id"], one["date"], one["vehicle"], one["unit"], one["work"])
        assert entry["demo"] and entry["finished"] and entry["fluid"] == one.get("fluid", "")
        assert (entry.get("says"), entry.get("closes"), entry["replaces"]) == (
            one.get("says"), one.get("closes"), one.get("replaces", ""))
        clock = garage[one["vehicle"]].odometer
        assert entry["odometer"]["unit"] == entry["odometerUnit"] == clock.unit
        amounts = [(one["odometer"], entry["odometer"])]
        amounts += [(one[key], entry[key]) for key in ("in", "out", "additive", "flush") if key in one]
        amounts += [(text, entry[key][name]) for key in ("found", "left") for name, text in one.get(key, {}).items()]
        for text, reading in amounts:
            if reading["si"] is None:
                assert (reading["typed"], reading["unit"]) == (text, "")
            else:
                assert f"{reading['typed']} {reading['unit']}" == text
                assert reading["si"] == pytest.approx(si(text), rel=1e-12)
        assert all(entry[key] is None for key in ("in", "out", "additive") if key not in one)
    # 2.2 US pints by hand: 2.2 × 0.473 176 473 L = 1.041 L, where the manual's 2.2 imperial pints are 1.250 L.
    assert records[20]["entry"]["in"] == {"typed": "2.2", "unit": "US pt", "si": pytest.approx(1.040_988e-3)}


def test_the_published_schemas_take_the_garage_and_its_log(dist: Path, built: dict[str, Any]) -> None:
    schemas = {path.stem: json.loads(path.read_bytes()) for path in (dist / "schema").iterdir()}
    assert {name: schema["$id"] for name, schema in schemas.items()} == {
        "vehicle": "vehicle.json", "log-entry": "log-entry.json"}
    takes = {name: jsonschema.Draft202012Validator(schema) for name, schema in schemas.items()}
    assert all(f'"schema/{name}.json"' in (dist / "sw.js").read_text("utf-8") for name in schemas), "kept on the phone"
    for path, sheet in built.items():
        if path.startswith("vehicles/"):
            takes["vehicle"].validate(sheet)
            assert list(takes["vehicle"].iter_errors({**sheet, "severity": "sometimes"})), path
            assert list(takes["vehicle"].iter_errors({**sheet, "wheelbase": 2640})), "a number without a unit"
    entries = written("logs/demo.yaml")["entries"]
    for entry in entries:
        takes["log-entry"].validate(entry)
    assert list(takes["log-entry"].iter_errors({**entries[0], "odometer": "78400"}))
