"""The data a job is done with, as built: its shape is that of types.d.ts, its amounts are those of the YAML.

The amounts are worked out a second time with pint's own unit names, not with the site's table of units.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pint
import pytest

from fillmark.model.card import SLOT, Card, predecessors, texts
from fillmark.model.match import units_for
from fillmark.model.slot import SLOTS
from fillmark.model.vehicle import Vehicle
from harness import ROOT

PINT = pint.UnitRegistry()
# NIST SP 811, App. B, holds for each: pint's definitions are the same, and tests/unit/test_units.py checks them.
NAMES = {"L": "litre", "mL": "millilitre", "imp pt": "imperial_pint", "N·m": "newton*meter", "mm": "millimeter",
         "cm²": "centimeter**2", "mi": "mile", "km": "kilometer", "%": "percent", "min": "minute"}


def si(text: str) -> float:
    """Return an amount as written in the YAML, such as `2.2 imp pt`, in SI base units."""
    number, unit = text.split(" ", 1)
    return float(PINT.Quantity(float(number), NAMES[unit]).to_base_units().magnitude)


@pytest.fixture(scope="module")
def built(dist: Path) -> dict[str, Any]:
    """{path below data/: what it holds}."""
    folder = dist / "data"
    return {path.relative_to(folder).as_posix(): json.loads(path.read_bytes()) for path in folder.rglob("*.json")}


# ---- the shape: a reader of the part of types.d.ts that the build makes

TOKEN = re.compile(r"\s*(?:/\*.*?\*/|//[^\n]*\n)?\s*('[^']*'|[A-Za-z]\w*|[\[\]{}<>|;:,()=])", re.S)


class Types:
    """The types of types.d.ts, to hold a value against: names, unions, lists, objects and Record."""

    def __init__(self, text: str) -> None:
        self.bodies = dict(re.findall(r"^export type (\w+) = (.*?;)\n(?=\n|export|/\*\*|//)", text, re.S | re.M))

    def wrong(self, value: Any, name: str) -> list[str]:
        """Return what in `value` is not as the type `name` says."""
        tokens = TOKEN.findall(self.bodies[name])
        tree, rest = self._union(tokens)
        assert rest in ([], [";"]), rest
        return self._hold(value, tree, name)

    def _union(self, tokens: list[str]) -> tuple[Any, list[str]]:
        parts = []
        while True:
            one, tokens = self._one(tokens)
            parts.append(one)
            if not tokens or tokens[0] != "|":
                return ("union", parts), tokens
            tokens = tokens[1:]

    def _one(self, tokens: list[str]) -> tuple[Any, list[str]]:
        head, tokens = tokens[0], tokens[1:]
        tree: Any
        if head == "{":
            keys = {}
            while tokens[0] != "}":
                key, colon, *tokens = tokens
                assert colon == ":", (key, colon)
                keys[key], tokens = self._union(tokens)
                tokens = tokens[1:] if tokens[0] in ";," else tokens
            tree, tokens = ("object", keys), tokens[1:]
        elif head == "Record":
            inner, tokens = self._union(tokens[3:])  # < string ,
            tree, tokens = ("record", inner), tokens[1:]
        elif head.startswith("'"):
            tree = ("word", head[1:-1])
        else:
            tree = ("name", head)
        while tokens[:2] == ["[", "]"]:
            tree, tokens = ("list", tree), tokens[2:]
        return tree, tokens

    def _hold(self, value: Any, tree: Any, path: str) -> list[str]:
        kind, what = tree
        if kind == "union":
            tried = [self._hold(value, one, path) for one in what]
            return [] if [] in tried else min(tried, key=len)
        if kind == "list":
            if not isinstance(value, list):
                return [f"{path}: not a list"]
            return [said for index, item in enumerate(value) for said in self._hold(item, what, f"{path}[{index}]")]
        if kind == "record" or kind == "object":
            if not isinstance(value, dict):
                return [f"{path}: not an object"]
            if kind == "record":
                return [said for key, item in value.items() for said in self._hold(item, what, f"{path}.{key}")]
            if set(value) != set(what):
                return [f"{path}: keys {sorted(set(value) ^ set(what))} are on one side only"]
            return [said for key, item in value.items() for said in self._hold(item, what[key], f"{path}.{key}")]
        if kind == "word":
            return [] if value == what else [f"{path}: {value!r} is not {what!r}"]
        plain = {"string": str, "boolean": bool, "number": (int, float), "null": type(None)}
        if what in plain:
            fits = isinstance(value, plain[what]) and (what != "number" or not isinstance(value, bool))
            return [] if fits else [f"{path}: {value!r} is no {what}"]
        return self.wrong(value, what)


@pytest.fixture(scope="module")
def types() -> Types:
    return Types((ROOT / "site_src/js/types.d.ts").read_text("utf-8"))


def test_the_shapes_are_those_of_the_types(built: dict[str, Any], types: Types) -> None:
    assert len(built) >= 7
    for path, value in built.items():
        assert types.wrong(value, "Card" if path.startswith("cards/") else "Vehicle") == [], path


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


# ---- what it says

def test_every_card_and_vehicle_is_there(
    built: dict[str, Any], cards: dict[str, Card], garage: dict[str, Vehicle]
) -> None:
    assert set(built) == {f"cards/{no.lower()}.json" for no in cards} | {f"vehicles/{name}.json" for name in garage}


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


def test_amounts_are_those_of_the_yaml_in_si(built: dict[str, Any], garage: dict[str, Vehicle]) -> None:
    seen = 0
    for name, vehicle in garage.items():
        data = built[f"vehicles/{name}.json"]
        assert data["wheelbase"] == pytest.approx(si(vehicle.wheelbase.text) if vehicle.wheelbase else None)
        assert f"{data['odometer']['reading']:g} {data['odometer']['unit']}" == vehicle.odometer.reading.text
        assert data["tyreFactor"]["factor"] == vehicle.tyre_eras[-1].factor
        assert list(data["units"]) == list(vehicle.units)
        for unit_id, unit in vehicle.units.items():
            back = data["units"][unit_id]
            fill = unit.fills.get("refill")
            if fill and fill.state != "conflict":
                assert back["refill"]["si"] == pytest.approx(si(fill.value.text), rel=1e-12)
            assert (back["refill"] or {"state": None})["state"] == (fill.state if fill else None)
            for key, amount in (("fillHoleOffset", unit.fill_hole_offset), ("oilSurface", unit.oil_surface)):
                assert back[key] == (pytest.approx(si(amount.text), rel=1e-12) if amount else None)
            if unit.level:
                assert (back["level"]["low"], back["level"]["high"]) == pytest.approx(
                    (si(unit.level.low.text), si(unit.level.high.text)))
            assert list(back["fasteners"]) == list(unit.fasteners)
            for role, group in unit.fasteners.items():
                one = back["fasteners"][role]
                assert one["torque"] == pytest.approx(si(group.torque.value.text), rel=1e-12)
                assert one["stages"] == pytest.approx([si(share.text) for share in group.stages])
                assert (one["count"], one["pattern"], one["threadState"]) == (
                    group.count, group.pattern, group.thread_state)
                seen += 1
    assert seen >= 15


def test_a_conflict_carries_the_value_that_wins(built: dict[str, Any]) -> None:
    # A fill measured to the level rule on level ground beats a note: the demo garage's 1.35 L against 1.10 L.
    unit = built["vehicles/drystone.json"]["units"]["front-axle"]
    assert unit["refill"] == {"si": pytest.approx(si("1.35 L")), "state": "conflict"}
    slot = unit["slots"]["fill.refill"]
    assert (slot["main"], slot["rivals"]) == ("1.35 L", [{"main": "1.10 L", "lost": True}])
    # Imperial pints: 2.2 × 0.56826125 L exactly (NIST SP 811), not the 1.04 L of US pints.
    assert built["vehicles/wicket.json"]["units"]["rear-axle"]["refill"]["si"] == pytest.approx(1.250_174_75e-3)


def test_every_slot_is_the_units_or_a_blank_and_the_page_agrees(
    built: dict[str, Any], cards: dict[str, Card], garage: dict[str, Vehicle], dist: Path
) -> None:
    seen = 0
    for no, card in cards.items():
        used = set(SLOT.findall(json.dumps(built[f"cards/{no.lower()}.json"]["steps"], ensure_ascii=False)))
        assert used & set(SLOTS), no
        for vehicle, unit in units_for(card, garage):
            slots = built[f"vehicles/{vehicle}.json"]["units"][unit]["slots"]
            assert set(slots) <= set(SLOTS)
            page = (dist / f"cards/{no.lower()}/{vehicle}/{unit}/index.html").read_text("utf-8")
            for name in used & set(SLOTS):
                blank = f'class="blank" data-slot="{name}"' in page
                assert blank == (name not in slots), f"{no} {vehicle} {unit} {name}"
                if not blank:
                    shown = re.search(rf'<b class="slot[^"]*" data-slot="{re.escape(name)}">([^<]*)</b>', page)
                    assert shown, name
                    assert shown[1].replace("&#39;", "'").startswith(slots[name]["main"]), name
                seen += 1
    assert seen > 40
