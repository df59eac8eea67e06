"""data/logs/<id>.json: `LogRecord`s of types.d.ts, as the phone would have kept them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from fillmark.model.amount import Amount
from fillmark.model.log import LogEntry, LogFile
from fillmark.model.site import Site

Json = dict[str, Any]


def records(site: Site, log: LogFile) -> list[Json]:
    """Return one `LogRecord` per entry, kept at noon UTC of its day, with no follow-ups of its own: rules make them."""
    return [
        {"id": one.id, "entry": entry(site, one), "followUps": [],
         "at": int(datetime.fromisoformat(one.date).replace(hour=12, tzinfo=UTC).timestamp() * 1000)}
        for one in log.entries
    ]


def entry(site: Site, one: LogEntry) -> Json:
    """Return an `Entry`; what a job alone knows (its steps, torques, photos) is empty."""
    vehicle = site.vehicles[one.vehicle]

    def amount(given: Amount | None) -> Json | None:
        return reading(site, given) if given else None

    optional = {"closes": list(one.closes), "event": one.event, "says": one.says, "flush": amount(one.flush)}
    return {
        "id": one.id, "job": "", "date": one.date, "vehicle": one.vehicle, "unit": one.unit, "procedure": one.work,
        "rev": 0, "finished": True, "odometer": reading(site, one.odometer), "odometerUnit": vehicle.odometer.unit,
        "trueKm": None, "fluid": one.fluid or "", "out": amount(one.out), "in": amount(one.into),
        "additive": amount(one.additive), "torque": [], "deviations": [],
        "found": {name: reading(site, given) for name, given in one.found.items()}, "done": {},
        "left": {name: reading(site, given) for name, given in one.left.items()}, "notes": [], "photos": [],
        "levelVerified": one.level_verified or "", "vehicleLevel": one.vehicle_level or "", "defect": "",
        "replaces": one.replaces or "", "demo": vehicle.invented,
        **{key: value for key, value in optional.items() if value},
    }


def reading(site: Site, given: Amount | str) -> Json:
    """Return a `Reading`: the number as typed, its unit, its value in SI; of a word only the word."""
    if isinstance(given, str):
        return {"typed": given, "unit": "", "si": None}
    typed = given.text.split(maxsplit=1)[0]
    unit = site.units.known(given.unit)
    return {"typed": typed, "unit": unit.symbol if unit else given.unit, "si": site.units.si(given)}
