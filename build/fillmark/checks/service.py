"""When a vehicle is due: eras in order, own intervals that say something, revisions that rise to the present one."""

from __future__ import annotations

from fillmark.load import Document
from fillmark.model.site import Site
from fillmark.model.vehicle import Vehicle
from fillmark.problem import Problem, nearest, one_of

NAME = "service"


def check(site: Site) -> list[Problem]:
    return [problem for name, vehicle in site.vehicles.items()
            for problem in _vehicle(site.documents["vehicles", name], vehicle)]


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
