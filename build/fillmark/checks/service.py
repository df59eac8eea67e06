"""When work is due: rules that name known work and distances in order; a vehicle's eras, own intervals, revisions."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from fillmark.load import Document, Path_
from fillmark.model.site import Site
from fillmark.model.vehicle import Vehicle
from fillmark.problem import Problem, nearest, one_of

NAME = "service"
ROUNDED = 0.05  # how far a handbook may round miles to kilometres


def check(site: Site) -> list[Problem]:
    own = [problem for name, vehicle in site.vehicles.items()
           for problem in _vehicle(site.documents["vehicles", name], vehicle)]
    return own + _rules(site) + _events(site)


def _rules(site: Site) -> list[Problem]:
    document, rules = site.documents["top", "rules"], site.rules
    out = []
    taken: dict[str, int] = {}
    for index, rule in enumerate(rules.service):
        path = ("service", index)
        for key in ("reset_by", "test_reset_by"):
            out += _work(document, site.works, (*path, key), getattr(rule, key))
        if rule.distance and rule.distance_km and all(
                site.units.known(one.unit) for one in (rule.distance, rule.distance_km)):
            apart = site.units.si(rule.distance_km) / site.units.si(rule.distance) - 1
            if abs(apart) > ROUNDED:
                out.append(document.problem((*path, "distance_km"), "the two distances differ by more than 5 %",
                                            expected=f"{rule.distance}, rounded to kilometres",
                                            got=rule.distance_km.text, rule=NAME))
        if bool(rule.test_months) != bool(rule.test_reset_by):
            out.append(document.problem(path, "a test needs months and the work that counts as one",
                                        expected="'test_months' and 'test_reset_by', or neither", rule=NAME))
        for place, kind in enumerate(rule.kinds):
            if kind in taken:
                out.append(document.problem((*path, "kinds", place), "the kind has a rule already",
                                            expected="each kind once", got=kind,
                                            hint=f"service[{taken[kind]}] has it", rule=NAME))
            taken.setdefault(kind, index)
    return out


def _events(site: Site) -> list[Problem]:
    document, rules = site.documents["top", "rules"], site.rules
    out = []
    seen: dict[str, int] = {}
    for index, rule in enumerate(rules.events):
        path = ("events", index)
        if rule.id in seen:
            out.append(document.problem((*path, "id"), "the event stands twice", expected="an id of its own",
                                        got=rule.id, hint=f"events[{seen[rule.id]}] has it", rule=NAME))
        seen.setdefault(rule.id, index)
        out += _work(document, site.works, (*path, "closed_by"), rule.closed_by)
        out += _work(document, [*site.works, rule.id], (*path, "after"), rule.after)
        if rule.days is None and rule.latest is None:
            out.append(document.problem(path, "a look needs days or a distance", expected="'days', 'latest' or both",
                                        rule=NAME))
        given = [(key, amount) for key in ("earliest", "latest", "hard_stop") if (amount := getattr(rule, key))]
        known = [(key, site.units.si(amount)) for key, amount in given if site.units.known(amount.unit)]
        for (low, below), (high, above) in pairwise(known):
            if above < below:
                out.append(document.problem((*path, high), f"'{high}' comes before '{low}'",
                                            expected=f"at least {getattr(rule, low)}",
                                            got=getattr(rule, high).text, rule=NAME))
    return out


def _work(document: Document, known: Collection[str], path: Path_, named: Sequence[str]) -> list[Problem]:
    return [
        document.problem((*path, place), "unknown work", expected=one_of(list(known)), got=one,
                         hint=nearest(one, list(known)), rule=NAME)
        for place, one in enumerate(named) if one not in known
    ]


def _vehicle(document: Document, vehicle: Vehicle) -> list[Problem]:
    return _severity(document, vehicle) + _units(document, vehicle) + _own(document, vehicle) + _changed(
        document, vehicle)


def _severity(document: Document, vehicle: Vehicle) -> list[Problem]:
    out = []
    eras = vehicle.severity_eras
    for index in range(1, len(eras)):
        before, era = eras[index - 1], eras[index]
        backwards = {"since": era.since.value <= before.since.value, "since_date": era.since_date <= before.since_date}
        for key, wrong in backwards.items():
            if wrong:
                out.append(document.problem(("severity_eras", index, key), "severity eras run backwards",
                                            expected=f"more than {getattr(before, key)}", got=str(getattr(era, key)),
                                            rule=NAME))
    return out


def _units(document: Document, vehicle: Vehicle) -> list[Problem]:
    """An era is read off the odometer, so it is in the odometer's unit."""
    eras = [("tyre_eras", index, era.since) for index, era in enumerate(vehicle.tyre_eras)]
    eras += [("severity_eras", index, era.since) for index, era in enumerate(vehicle.severity_eras)]
    return [
        document.problem((key, index, "since"), "the era is not in the odometer's unit",
                         expected=f"a distance in {vehicle.odometer.unit}", got=since.text, rule=NAME)
        for key, index, since in eras if since.unit != vehicle.odometer.unit
    ]


def _own(document: Document, vehicle: Vehicle) -> list[Problem]:
    out = []
    taken: dict[str, int] = {}
    for index, rule in enumerate(vehicle.service):
        path = ("service", index)
        if rule.distance is None and rule.months is None:
            out.append(document.problem(path, "an interval needs a distance or months",
                                        expected="'distance', 'months' or both", rule=NAME))
        for place, unit in enumerate(rule.units):
            at = (*path, "units", place)
            if unit not in vehicle.units:
                out.append(document.problem(at, "the vehicle has no such unit", expected=one_of(list(vehicle.units)),
                                            got=unit, hint=nearest(unit, list(vehicle.units)), rule=NAME))
            elif unit in taken:
                out.append(document.problem(at, "the unit has an interval already", expected="each unit once", got=unit,
                                            hint=f"service[{taken[unit]}] has it", rule=NAME))
            taken.setdefault(unit, index)
    return out


def _changed(document: Document, vehicle: Vehicle) -> list[Problem]:
    out = []
    last = 0
    for index, change in enumerate(vehicle.changed):
        if change.rev <= last:
            out.append(document.problem(("changed", index, "rev"), "revisions must rise", expected=f"more than {last}",
                                        got=str(change.rev), rule=NAME))
        last = max(last, change.rev)
    if vehicle.changed and vehicle.changed[-1].rev != vehicle.rev:
        out.append(document.problem(("changed", len(vehicle.changed) - 1, "rev"),
                                    "the last change is not of the present revision", expected=str(vehicle.rev),
                                    got=str(vehicle.changed[-1].rev), rule=NAME))
    return out
