"""A vehicle's numbers against each other: dry fill over refill, additive inside it, torque under the bolt's ceiling."""

from __future__ import annotations

from fillmark.load import Document, Path_
from fillmark.model.amount import Amount
from fillmark.model.site import Site
from fillmark.model.vehicle import FastenerGroup, Unit, Vehicle
from fillmark.problem import Problem

NAME = "vehicles"
ADDITIVE_MOST = 0.15  # of the refill
RATIO_APART = 0.01


def check(site: Site) -> list[Problem]:
    out: list[Problem] = []
    codes: dict[str, str] = {}
    for name, vehicle in site.vehicles.items():
        document = site.documents["vehicles", name]
        out += _odometer(site, document, vehicle)
        for unit_id, unit in vehicle.units.items():
            path = ("units", unit_id)
            if unit.code in codes:
                out.append(document.problem((*path, "code"), "unit code is taken", expected="a code of its own",
                                            got=unit.code, hint=f"{codes[unit.code]} has it", rule=NAME))
            codes.setdefault(unit.code, f"{name}, {unit_id}")
            out += _fills(site, document, path, unit) + _ratio(document, path, unit)
            for role, group in unit.fasteners.items():
                out += _fasteners(document, (*path, "fasteners", role), group)
    return out


def _si(site: Site, amount: Amount) -> float | None:
    """Return the SI value of a volume, or None for a unit that another check has already named."""
    unit = site.units.known(amount.unit)
    return site.units.si(amount) if unit and unit.dimension == "volume" else None


def _odometer(site: Site, document: Document, vehicle: Vehicle) -> list[Problem]:
    out = []
    odometer = vehicle.odometer
    if odometer.reading.unit != odometer.unit:
        out.append(document.problem(("odometer", "reading"), "the reading is not in the odometer's unit",
                                    expected=f"a reading in {odometer.unit}", got=odometer.reading.text, rule=NAME))
    if odometer.reading.value >= 10**odometer.digits:
        out.append(document.problem(("odometer", "reading"), f"the odometer has {odometer.digits} digits",
                                    expected=f"less than {10**odometer.digits}", got=odometer.reading.text,
                                    hint="write what it shows and count the rollovers", rule=NAME))
    starts = [era.since.value for era in vehicle.tyre_eras]
    for index in range(1, len(starts)):
        if starts[index] <= starts[index - 1]:
            out.append(document.problem(("tyre_eras", index, "since"), "tyre eras run backwards",
                                        expected=f"more than {vehicle.tyre_eras[index - 1].since}",
                                        got=vehicle.tyre_eras[index].since.text, rule=NAME))
    return out


def _fills(site: Site, document: Document, path: Path_, unit: Unit) -> list[Problem]:
    values = {role: _si(site, fill.value) for role, fill in unit.fills.items()}
    refill, dry, additive = values.get("refill"), values.get("dry"), values.get("additive")
    out = []
    if refill and dry and refill > dry:
        out.append(document.problem((*path, "fills", "refill", "value"), "refill is larger than the dry fill",
                                    expected=f"at most {unit.fills['dry'].value}", got=unit.fills["refill"].value.text,
                                    hint="a drained unit keeps some oil; are the two swapped?", rule=NAME))
    if refill and additive and additive > ADDITIVE_MOST * refill:
        out.append(document.problem((*path, "fills", "additive", "value"), "additive is over 15 % of the refill",
                                    expected=f"at most {ADDITIVE_MOST * refill * 1e6:.0f} mL",
                                    got=unit.fills["additive"].value.text, hint="mL or L?", rule=NAME))
    return out


def _ratio(document: Document, path: Path_, unit: Unit) -> list[Problem]:
    if not (unit.ratio and unit.ring_teeth and unit.pinion_teeth):
        return []
    counted = unit.ring_teeth / unit.pinion_teeth
    if abs(counted - unit.ratio) <= RATIO_APART * counted:
        return []
    return [document.problem((*path, "ratio"), "ratio and teeth differ by more than 1 %",
                             expected=f"{unit.ring_teeth}/{unit.pinion_teeth} = {counted:.3f}", got=f"{unit.ratio:g}",
                             rule=NAME)]


def _fasteners(document: Document, path: Path_, group: FastenerGroup) -> list[Problem]:
    out = []
    shares = [stage.value for stage in group.stages]
    if shares and (shares != sorted(set(shares)) or shares[-1] != 100):
        out.append(document.problem((*path, "stages"), "stages must rise and end at 100 %",
                                    expected="such as [50 %, 75 %, 100 %]",
                                    got=", ".join(stage.text for stage in group.stages), rule=NAME))
    if (group.pattern == "single") != (group.count == 1):
        out.append(document.problem((*path, "pattern"), "pattern and count do not fit",
                                    expected="single for one bolt, ring, rail or inline for more",
                                    got=f"{group.pattern} for {group.count}", rule=NAME))
    return out
