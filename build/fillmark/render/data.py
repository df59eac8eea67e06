"""What a job on the phone is done with: data/cards/<no>.json and data/vehicles/<id>.json.

The shapes are those of site_src/js/types.d.ts: amounts in SI, minutes in minutes, texts with their `{slot}`s. Keys
keep the order of the content, since options, units and fasteners are shown in it.
"""

from __future__ import annotations

import json
from typing import Any

from fillmark.model.amount import Amount
from fillmark.model.card import Card, FollowUp, Hold, RecordField, Step, Variant, predecessors
from fillmark.model.site import Site
from fillmark.model.vehicle import FastenerGroup, Unit, Vehicle
from fillmark.render import slots
from fillmark.render.figures import Figure, best_first

Json = dict[str, Any]


def files(site: Site) -> dict[str, bytes]:
    """Return {path: bytes} of the data of every card and every vehicle."""
    return {
        **{f"data/cards/{one.no.lower()}.json": _bytes(card(site, one)) for one in site.cards.values()},
        **{f"data/vehicles/{name}.json": _bytes(vehicle(site, name, one)) for name, one in site.vehicles.items()},
    }


def card(site: Site, one: Card) -> Json:
    """Return a `Card`. Sub-cards are named by their number, as their file is."""
    return {
        "no": one.no, "rev": one.rev, "title": one.title, "purpose": one.purpose,
        "choice": {"label": one.choice.label, "options": dict(one.choice.options)} if one.choice else None,
        "includes": [site.cards[name].no for name in one.includes],
        "parts": list(one.parts), "tools": [tool.what for tool in one.tools], "gate": list(one.gate),
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
        "ways": ways, "lifts": one.lifts, "provesFill": one.proves_fill, "opens": one.opens,
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


def vehicle(site: Site, name: str, one: Vehicle) -> Json:
    """Return a `Vehicle`. The odometer's reading stays as indicated, in the odometer's own unit."""
    clock, tyres = one.odometer, one.tyre_eras[-1]
    return {
        "id": name, "rev": one.rev, "name": one.name, "short": one.short, "invented": one.invented,
        "odometer": {
            "unit": clock.unit, "digits": clock.digits,
            "reading": site.units.convert(clock.reading.value, clock.reading.unit, clock.unit),
            "asOf": clock.as_of, "rollovers": clock.rollovers,
        },
        "tyreFactor": {"factor": tyres.factor, "state": tyres.state},
        "wheelbase": _si(site, one.wheelbase),
        "units": {unit_id: unit(site, one, unit_id, each) for unit_id, each in one.units.items()},
    }


def unit(site: Site, whole: Vehicle, name: str, one: Unit) -> Json:
    """Return a `Unit`. Of a conflict the refill is the value that wins, and its state says so."""
    refill = one.fills.get("refill")
    return {
        "id": name, "code": one.code, "title": one.title, "kind": one.kind, "diff": one.diff or "",
        "slots": {key: slot(figure) for key, figure in slots.for_unit(site, whole, one).items()},
        "fasteners": {role: fastener(site, role, group) for role, group in one.fasteners.items()},
        "refill": {"si": _si(site, best_first(refill)[0][0].value), "state": refill.state} if refill else None,
        "level": {
            "low": _si(site, one.level.low), "high": _si(site, one.level.high), "below": one.level.below,
        } if one.level else None,
        "fillHoleOffset": _si(site, one.fill_hole_offset), "oilSurface": _si(site, one.oil_surface),
    }


def slot(figure: Figure) -> Json:
    """Return a `Slot`: the text as shown, its state and origin in words, and the rivals of a conflict."""
    return {
        "label": figure.label, "main": figure.main, "also": figure.also, "state": figure.state,
        "origin": figure.origin,
        "rivals": [{"main": rival.main, "lost": rival.lost} for rival in figure.rivals],
    }


def fastener(site: Site, role: str, group: FastenerGroup) -> Json:
    """Return a `Fastener`: torque in N·m, `unit` the one of record, stages as shares of the torque."""
    torque = best_first(group.torque)[0][0].value
    return {
        "role": role, "name": group.name, "count": group.count, "thread": group.thread,
        "strength": group.strength or "", "pattern": group.pattern, "torque": _si(site, torque),
        "unit": torque.unit, "state": group.torque.state, "threadState": group.thread_state,
        "stages": [_si(site, share) for share in group.stages], "then": group.then or "",
    }


def _si(site: Site, amount: Amount | None) -> float | None:
    return site.units.si(amount) if amount else None


def _bytes(value: Json) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode() + b"\n"
