"""What the phone works with: data/cards/<no>.json, and data/vehicles/<id>.json, the sheet as it is written.

Besides them data/logs/<id>.json, a log that comes with the site, and data/site.json, the rules and names, and
data/tables.json, the reference tables, and data/keys/<page>.json, the keys. Where there are many vehicles,
data/choice.json names them all.

The shapes are those of site_src/js/types.d.ts. A card's amounts are in SI, minutes in minutes, texts with their
`{slot}`s. A sheet keeps its amounts as typed: js/lib/sheet.js works out of it what is shown, for the site's vehicles
and for those that are typed on the phone. Keys keep the order of the content, since options, units and fasteners are
shown in it.
"""

from __future__ import annotations

import json
from typing import Any

from fillmark.model.amount import Amount
from fillmark.model.card import Card, FollowUp, Hold, Pour, RecordField, Step, Variant, predecessors
from fillmark.model.site import Site
from fillmark.render import key_data, log_data, site_data, table_data

Json = dict[str, Any]


def files(site: Site) -> dict[str, bytes]:
    """Return {path: bytes} of the data of every card and every vehicle."""
    return {
        **{f"data/cards/{one.no.lower()}.json": _bytes(card(site, one)) for one in site.cards.values()},
        **{f"data/vehicles/{name}.json": _bytes(site.documents["vehicles", name].data) for name in site.vehicles},
        **{f"data/logs/{name}.json": _bytes(log_data.records(site, one)) for name, one in site.logs.items()},
        "data/site.json": _bytes(site_data.whole(site)),
        **({"data/choice.json": _bytes(site_data.vehicles(site.vehicles))} if site.chosen_from else {}),
        **table_data.files(site),
        **key_data.files(site),
    }


def card(site: Site, one: Card) -> Json:
    """Return a `Card`. Sub-cards are named by their number, as their file is."""
    return {
        "no": one.no, "rev": one.rev, "title": one.title, "purpose": one.purpose,
        "choice": {"label": one.choice.label, "options": dict(one.choice.options)} if one.choice else None,
        "includes": [site.cards[name].no for name in one.includes],
        "see": [{"no": site.cards[name].no, "title": site.cards[name].title} for name in one.see],
        "beside": one.beside, "parts": list(one.parts), "pours": [pour(site, each) for each in one.pours],
        "tools": [tool.what for tool in one.tools], "gate": list(one.gate),
        "capacity": list(one.capacity), "torque": list(one.torque),
        "steps": [step(site, each) for each in one.steps], "holds": [hold(each) for each in one.holds],
        "cautions": [
            {"severity": each.severity, "topic": each.topic, "before": each.before, "says": each.says}
            for each in one.cautions
        ],
        "acceptance": list(one.acceptance), "stop": list(one.stop),
        "followUps": [follow_up(site, each) for each in one.follow_ups],
        "record": [record_field(each) for each in one.record],
        "sourceNote": one.source_note,
    }


def step(site: Site, one: Step) -> Json:
    """Return a `Step`; a step without variants goes one way, under the empty key."""
    ways = {name: way(site, variant, one) for name, variant in one.variants.items()} or {"": way(site, one, one)}
    return {
        "no": one.no, "after": [{"step": number, "handsOnly": only} for number, only in predecessors(one)],
        "ways": ways, "lifts": one.lifts, "shared": one.shared or "", "runs": one.runs,
        "provesFill": one.proves_fill, "opens": one.opens,
        "shows": list(one.shows), "reads": list(one.reads), "tightens": one.tightens or "", "part": one.part,
    }


def way(site: Site, one: Step | Variant, whole: Step) -> Json:
    """Return a `Way`: times in minutes, 0 where there is nothing to wait for."""
    def minutes(amount: Amount | None) -> float:
        return site.units.convert(amount.value, amount.unit, "min") if amount else 0

    return {
        "do": one.do or whole.do or "", "hands": minutes(one.hands), "wait": minutes(one.wait),
        "waitKind": one.wait_kind or "", "label": one.label_time,
    }


def pour(site: Site, one: Pour) -> Json:
    """Return a `Pour`, its spare in m³."""
    return {"fill": one.fill, "of": one.of, "times": one.times, "spare": _si(site, one.spare) or 0,
            "sealed": one.sealed}


def hold(one: Hold) -> Json:
    """Return a `Hold`."""
    return {"no": one.no, "says": one.says, "blocks": list(one.blocks), "guard": one.guard, "write": one.write or "",
            "reads": list(one.reads)}


def follow_up(site: Site, one: FollowUp) -> Json:
    """Return a `FollowRule`, its distances true and in metres."""
    return {
        "kind": one.kind, "when": one.when, "days": one.days or 0, "earliest": _si(site, one.earliest) or 0,
        "latest": _si(site, one.latest) or 0, "hardStop": _si(site, one.hard_stop) or 0,
        "onlyIf": one.condition or "",
    }


def record_field(one: RecordField) -> Json:
    """Return a `Field`."""
    options = [{"word": each.word, "means": each.means or "", "stop": each.stop} for each in one.options]
    return {"id": one.id, "label": one.label, "phase": one.phase, "kind": one.entry, "unit": one.unit or "",
            "options": options}


def _si(site: Site, amount: Amount | None) -> float | None:
    return site.units.si(amount) if amount else None


def _bytes(value: Json | list[Json]) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode() + b"\n"
