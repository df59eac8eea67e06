"""Vehicles and log entries for the tests of what is due and what the log shows, and the demo garage as it is built."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

import stories

Json = dict[str, Any]
TODAY = "2026-04-18"  # the date for which the demo garage states its answers
METRES = {"mi": 1609.344, "km": 1000.0}
MODULES = ("eras", "pace", "calendar", "due", "findings", "timeline", "ledger")


def ask(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees the library by module name, and `a`, the arguments."""
    if page.url == "about:blank":
        page.goto("404.html")
    loads = ", ".join(f"import('./js/lib/{name}.js')" for name in MODULES)
    return json.loads(page.evaluate(
        f"async a => {{ const [{', '.join(MODULES)}] = await Promise.all([{loads}])\n"
        f" return JSON.stringify({call}) ?? 'null' }}", list(arguments)))


def demo(dist: Path, **other: Any) -> Json:
    """Return the demo garage and its log, as `due` and `findings` take them."""
    def read(name: str) -> Any:
        return json.loads((dist / "data" / name).read_text("utf-8"))

    vehicles = [stories.VEHICLES[name] for name in ("thornback", "drystone", "wicket")]
    return {"today": TODAY, "vehicles": vehicles, "records": read("logs/demo.json"), "site": read("site.json")} | other


def unit(name: str, kind: str = "axle-cover", **known: Any) -> Json:
    words = dict.fromkeys(("code", "diff", "opensBy", "tag"), "")
    nothing = dict.fromkeys(("fluid", "refill", "level", "fillHoleOffset", "oilSurface"))
    return {"id": name, "title": name, "kind": kind, "label": name, "place": name.replace("-", " "),
            "yellowMetal": "unknown", "words": [], "fills": {}, "plugs": {}, "slots": {}, "fasteners": {},
            **words, **nothing, **known}


def fill(litres: float, typed: str = "", state: str = "verified", *rivals: Json) -> Json:
    return {"si": litres / 1000, "typed": typed or f"{litres} L", "state": state, "source": "service-manual-page",
            "rivals": list(rivals)}


def fluid(grade: str, category: str, additive: str = "none") -> Json:
    return {"grade": grade, "category": category, "additive": additive, "state": "verified"}


def vehicle(*units: Json, **known: Any) -> Json:
    """Return a vehicle that counts miles truly; its own reading is 50 000 mi on the day of the answers."""
    odometer = {"unit": "mi", "digits": 6, "reading": 50_000, "asOf": TODAY, "rollovers": 0} | known.pop("odometer", {})
    return {"id": "v", "rev": 1, "name": "V", "short": "V", "invented": True, "odometer": odometer,
            "tyreFactor": {"factor": 1, "state": ""}, "tyreEras": [], "severity": "normal", "severityEras": [],
            "service": [], "coldestStart": 273.15 - 18, "kerbMass": None, "rearShare": None, "wheelbase": None,
            "units": {one["id"]: one for one in units}} | known


def amount(typed: str) -> Json:
    """Return a reading as the page makes it: a number, a space, a unit."""
    number, _, symbol = typed.partition(" ")
    factor = {"L": 1e-3, "mL": 1e-6, "US pt": 0.473176473e-3, "imp pt": 0.56826125e-3, "mm": 1e-3, "m": 1.0, "%": 0.01,
              "°": 0.017453292519943295, **METRES}[symbol]
    return {"typed": number, "unit": symbol, "si": float(number) * factor}


def entry(name: str, date: str, did: str, odometer: str = "", where: str = "rear-axle", **known: Any) -> Json:
    """Return a record of the log; amounts and what was found as typed, such as `in_="2.35 L"`."""
    blank = {"typed": "", "unit": "mi", "si": None}
    said = {key.rstrip("_"): amount(value) if key in ("in_", "out", "additive") else value
            for key, value in known.items()}
    for phase in ("found", "left"):
        said[phase] = {field: amount(value) for field, value in said.get(phase, {}).items()}
    return {"id": name, "at": 0, "followUps": said.pop("followUps", []), "entry": {
        "id": name, "job": "", "date": date, "vehicle": "v", "unit": where, "procedure": did, "rev": 0,
        "finished": True, "odometer": amount(odometer) if odometer else blank, "odometerUnit": "mi", "trueKm": None,
        "fluid": "", "out": None, "in": None, "additive": None, "torque": [], "deviations": [], "done": {}, "notes": [],
        "photos": [], "levelVerified": "", "vehicleLevel": "", "defect": "", "replaces": "", "demo": False} | said}
