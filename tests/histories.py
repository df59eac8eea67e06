"""Random histories of a vehicle for the tests of what is due: rules, units, and a log with what goes wrong in one."""

from __future__ import annotations

import datetime as dt
import random
from fractions import Fraction
from typing import Any

Json = dict[str, Any]
TODAY = dt.date(2026, 4, 18)
METRES = {"mi": Fraction(1609344, 1000), "km": Fraction(1000)}
SITE: Json = {
    "service": [
        {"kinds": ["axle-cover", "transfer"], "distance": 40_233_600, "distanceKm": 40_000_000, "months": 48,
         "testMonths": None, "severeFactor": 0.5, "resetBy": ["P01", "P02"], "testResetBy": []},
        {"kinds": ["engine"], "distance": 8_046_720, "distanceKm": None, "months": 12, "testMonths": None,
         "severeFactor": 0.75, "resetBy": ["P07"], "testResetBy": []},
        {"kinds": ["cooling"], "distance": None, "months": 60, "testMonths": 15, "severeFactor": 0.5,
         "resetBy": ["P08"], "testResetBy": ["test", "P08"]},
    ],
    "events": [
        {"id": "crossing", "after": ["crossing"], "kinds": ["axle-cover", "engine"], "onlyIf": "", "look": "inspection",
         "days": 1, "earliest": 0, "latest": 0, "hardStop": 0, "closedBy": ["P13", "P01", "P07"], "action": "Look."},
        {"id": "refit", "after": ["P11", "P22"], "kinds": [], "onlyIf": "", "look": "re-torque", "days": 0,
         "earliest": 50_000, "latest": 80_000, "hardStop": 160_000, "closedBy": ["P11"], "action": "Re-torque."},
        {"id": "joint", "after": ["P01", "P07", "P08"], "kinds": [], "onlyIf": "", "look": "leak", "days": 1,
         "earliest": 0, "latest": 160_000, "hardStop": 0, "closedBy": ["P17"], "action": "Look for leaks."},
        {"id": "slip", "after": ["P01"], "kinds": [], "onlyIf": "limited-slip", "look": "chatter", "days": 0,
         "earliest": 0, "latest": 160_000, "hardStop": 0, "closedBy": ["P21"], "action": "Listen."},
    ],
    "work": {"P01": {"does": "change"}, "P02": {"does": "change"}, "P07": {"does": "change"}, "P14": {"does": "other"},
             "P06": {"does": "part-change"}},
}
UNITS = {"ra": ("axle-cover", "clutch-ls"), "tc": ("transfer", ""), "en": ("engine", ""), "co": ("cooling", ""),
         "bt": ("battery", ""), "wh": ("wheels", ""), "all": ("vehicle", "")}
WORK = {"ra": ["P01", "P01", "P13", "P17", "P21", "P18"], "tc": ["P02", "P13"], "en": ["P07", "P07", "P17", "P13"],
        "co": ["P08", "test", "P17"], "bt": ["P14"], "wh": ["P11", "P22"], "all": ["event", "P17", "P13"]}


def history(dice: random.Random) -> Json:
    """Return one vehicle and its log: readings missing or wrong, tyres and use that change, rollovers."""
    miles = dice.choice(["mi", "km"])
    digits = dice.choice([5, 5, 6])
    at = dice.choice([dice.randrange(2_000, 60_000), dice.randrange(90_000, 99_900)])
    at += dice.choice([0, 0, 10 ** digits])
    start = day = TODAY - dt.timedelta(days=dice.randrange(200, 3_000))
    first, pace, many = at, dice.uniform(2, 45), dice.randrange(0, 26)
    log: list[Json] = []
    for number in range(many):
        step = dice.choice([0, 1, 3, 20, 60, 120, 150])
        day, at = day + dt.timedelta(days=step), at + round(step * pace * dice.uniform(0.2, 1.8))
        if day > TODAY + dt.timedelta(days=20):
            break
        unit = dice.choice(list(UNITS))
        did = dice.choice(WORK[unit])
        shown = at % 10 ** digits
        if dice.random() < 0.04:
            shown = max(0, shown - dice.randrange(1, 4_000))  # a slip of the finger
        known = dice.random() > 0.08
        earlier = [one["id"] for one in log]
        job = dice.random() < 0.2
        entry = {"id": f"e{number:02}", "job": f"j{number}" if job else "", "date": day.isoformat(), "vehicle": "v",
                 "unit": unit, "procedure": did, "finished": dice.random() > 0.05,
                 "replaces": dice.choice(earlier) if earlier and dice.random() < 0.05 else "",
                 "odometer": {"typed": "", "unit": miles, "si": float(shown * METRES[miles]) if known else None}}
        if did == "event":
            entry["event"] = "crossing"
        if earlier and dice.random() < 0.1:
            entry["closes"] = [dice.choice(earlier) + dice.choice(["", "", ":joint:ra", ":crossing:en", "-f0"])]
        looks = [{"id": f"{entry['id']}-f{n}", "entry": entry["id"], "vehicle": "v", "unit": unit, "kind": kind,
                  "says": "Look.", "due": (day + dt.timedelta(days=1)).isoformat() if dated else "",
                  "from": None, "to": None if dated else shown + 90, "hardStop": shown + 150 if n == 2 else None,
                  "odometerUnit": miles}
                 for n, (kind, dated) in enumerate([("leak", True), ("leak", False), ("re-torque", False)])
                 if job and known and dice.random() < 0.5]
        log.append({"id": entry["id"], "entry": entry, "followUps": looks, "at": number})
    end = at + dice.randrange(0, 900)
    low = max(0, first - 5_000)
    eras = sorted(dice.sample(range(low, end + 8_000), dice.randrange(0, 3)))
    uses = sorted(dice.sample(range(low, end + 6_000), dice.randrange(0, 4)))
    since = sorted(start + dt.timedelta(days=dice.randrange(-300, 3_500)) for _ in uses)
    vehicle = {
        "id": "v", "severity": dice.choice(["normal", "severe"]), "coldestStart": 255.15,
        "odometer": {"unit": miles, "digits": digits, "reading": end % 10 ** digits, "rollovers": end // 10 ** digits,
                     "asOf": dice.choice([TODAY, max(day, start)]).isoformat()},
        "tyreEras": [{"since": 0, "sinceDate": "", "factor": 1.0, "size": "", "state": ""}] +
                    [{"since": era, "sinceDate": "", "factor": round(dice.uniform(0.9, 1.15), 3)} for era in eras],
        "severityEras": [{"since": use, "sinceDate": on.isoformat(), "use": dice.choice(["normal", "severe"])}
                         for use, on in zip(uses, since, strict=True)],
        "service": [{"units": [unit], "distance": dice.choice([None, 20_000_000]), "months": dice.choice([7, 9, 25]),
                     "severeFactor": dice.choice([0.5, 0.6])} for unit in ("tc", "bt") if dice.random() < 0.3],
        "units": {unit: {"id": unit, "kind": kind, "diff": diff} for unit, (kind, diff) in UNITS.items()},
    }
    return {"vehicle": vehicle, "records": dice.sample(log, len(log))}
