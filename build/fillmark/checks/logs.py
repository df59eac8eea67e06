"""A log against the garage: known vehicles, units and work, days and odometers in order, readings that a card has."""

from __future__ import annotations

from fillmark.load import Document, Path_
from fillmark.model.amount import Amount
from fillmark.model.card import RecordField
from fillmark.model.log import READINGS, LogEntry
from fillmark.model.site import Site
from fillmark.model.vehicle import Vehicle
from fillmark.problem import Problem, nearest, one_of

NAME = "logs"


def check(site: Site) -> list[Problem]:
    return [problem for name, log in site.logs.items()
            for problem in _log(site, site.documents["logs", name], log.entries)]


def _log(site: Site, document: Document, entries: tuple[LogEntry, ...]) -> list[Problem]:
    out: list[Problem] = []
    earlier: dict[str, int] = {}
    last: dict[str, float] = {}
    turns: dict[str, int] = {}
    for index, entry in enumerate(entries):
        path = ("entries", index)
        if entry.id in earlier:
            out.append(document.problem((*path, "id"), "the entry stands twice", expected="an id of its own",
                                        got=entry.id, hint=f"entries[{earlier[entry.id]}] has it", rule=NAME))
        for key, named in (("replaces", [entry.replaces] if entry.replaces else []), ("closes", entry.closes)):
            for place, one in enumerate(named):
                if one not in earlier:
                    at = (*path, key) if key == "replaces" else (*path, key, place)
                    out.append(document.problem(at, "no earlier entry has this id", expected="the id of one above",
                                                got=one, hint=nearest(one, list(earlier)), rule=NAME))
        if index and entry.date < entries[index - 1].date:
            out.append(document.problem((*path, "date"), "days run backwards",
                                        expected=f"{entries[index - 1].date} or later", got=entry.date, rule=NAME))
        earlier.setdefault(entry.id, index)
        out += _work(site, document, path, entry) + _readings(site, document, path, entry)
        vehicle = site.vehicles.get(entry.vehicle)
        if vehicle is None:
            out.append(document.problem((*path, "vehicle"), "no such vehicle", expected=one_of(list(site.vehicles)),
                                        got=entry.vehicle, hint=nearest(entry.vehicle, list(site.vehicles)), rule=NAME))
            continue
        if entry.unit not in vehicle.units:
            out.append(document.problem((*path, "unit"), "the vehicle has no such unit",
                                        expected=one_of(list(vehicle.units)), got=entry.unit,
                                        hint=nearest(entry.unit, list(vehicle.units)), rule=NAME))
        back = entry.odometer.value < last.get(entry.vehicle, 0)
        turns[entry.vehicle] = turns.get(entry.vehicle, 0) + back
        out += _odometer(document, path, entry, vehicle, turns[entry.vehicle] if back else 0)
        last[entry.vehicle] = entry.odometer.value
    return out


def _odometer(document: Document, path: Path_, entry: LogEntry, vehicle: Vehicle, turns: int) -> list[Problem]:
    """Hold a reading against its clock; `turns` is how often it has run back, if it does so here."""
    clock, at = vehicle.odometer, (*path, "odometer")
    if entry.odometer.unit != clock.unit:
        return [document.problem(at, "the reading is not in the odometer's unit",
                                 expected=f"a reading in {clock.unit}", got=entry.odometer.text, rule=NAME)]
    if entry.odometer.value >= 10**clock.digits:
        return [document.problem(at, f"the odometer has {clock.digits} digits",
                                 expected=f"less than {10**clock.digits}", got=entry.odometer.text,
                                 hint="write what it shows", rule=NAME)]
    if turns > clock.rollovers:
        return [document.problem(at, "the odometer runs back", expected="no less than the entry before",
                                 got=entry.odometer.text, hint="has it rolled over? The vehicle counts its rollovers",
                                 rule=NAME)]
    return []


def _work(site: Site, document: Document, path: Path_, entry: LogEntry) -> list[Problem]:
    out = []
    known = list(site.works)
    if entry.work not in known:
        out.append(document.problem((*path, "work"), "unknown work", expected=one_of(known), got=entry.work,
                                    hint=nearest(entry.work, known), rule=NAME))
    events = [rule.id for rule in site.rules.events if rule.id in rule.after]
    if entry.event and entry.work != "event":
        out.append(document.problem((*path, "event"), "the work is no event", expected="work: event", got=entry.work,
                                    rule=NAME))
    elif entry.event and entry.event not in events:
        out.append(document.problem((*path, "event"), "no rule speaks of this event",
                                    expected="the id of an event of content/rules.yaml that comes after itself",
                                    got=entry.event, hint=nearest(entry.event, events), rule=NAME))
    return out


def _readings(site: Site, document: Document, path: Path_, entry: LogEntry) -> list[Problem]:
    fields = {field.id: field for card in site.cards.values() for field in card.record}
    fields |= {field.id: field for card in site.cards.values() if card.no == entry.work for field in card.record}
    out = []
    for key, readings in (("found", entry.found), ("left", entry.left)):
        for name, reading in readings.items():
            at, field = (*path, key, name), fields.get(name)
            if field is None and name not in READINGS:
                known = sorted({*fields, *READINGS})
                out.append(document.problem(at, "unknown reading", key=True, expected="a field of a card's record",
                                            got=name, hint=nearest(name, known), rule=NAME))
            else:
                out += _reading(site, document, at, field, name, reading)
    return out


def _reading(
    site: Site, document: Document, at: Path_, field: RecordField | None, name: str, reading: Amount | str
) -> list[Problem]:
    words = [option.word for option in field.options] if field else []
    unit = site.units.known(field.unit) if field and field.unit else None
    asked = unit.dimension if unit else READINGS.get(name, "")
    if isinstance(reading, Amount):
        own = site.units.known(reading.unit)
        if own and own.dimension != asked:
            return [document.problem(at, "wrong kind of unit", expected=asked or "a word",
                                     got=f"{reading.text} ({own.dimension})", rule=NAME)]
        return []
    if asked:
        return [document.problem(at, "not an amount", expected=f"{asked}, a number and a unit", got=reading, rule=NAME)]
    if words and reading not in words:
        return [document.problem(at, "the card has no such word", expected=one_of(words), got=reading,
                                 hint=nearest(reading, words), rule=NAME)]
    return []
