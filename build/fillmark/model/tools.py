"""What the list "Work out" holds: the calculators, and the pages that are more than one formula (TOOLS)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fillmark.model.calculator import Calculator, Place
from fillmark.model.vehicle import Kind

if TYPE_CHECKING:
    from fillmark.model.site import Site

_OIL: tuple[Kind, ...] = (
    "axle-cover", "axle-dropout", "front-axle", "swivel", "transfer", "manual-box", "auto-box", "engine",
)
_DRIVEN: tuple[Kind, ...] = (
    "axle-cover", "axle-dropout", "front-axle", "swivel", "transfer", "manual-box", "propshaft", "hub",
)
# Which units a calculator of a place is for, where it names none itself.
KINDS: dict[Place, tuple[Kind, ...]] = {
    "oils": _OIL,
    "fills": (*_OIL, "cooling", "brakes", "steering"),
    "fasteners": (*_OIL, "hub", "propshaft", "wheels", "brakes"),
    "driveline": _DRIVEN,
    "vehicle": ("wheels", "vehicle"),
    "other fluids": ("cooling", "brakes", "steering", "battery"),
    "job": (*_OIL, "hub", "cooling", "brakes", "vehicle"),
}
# The headings of the list, in its order.
HEADINGS: dict[Place, str] = {
    "oils": "Oils", "fills": "Fills and levels", "fasteners": "Bolts and threads", "driveline": "Driveline",
    "vehicle": "Vehicle and tyres", "other fluids": "Other fluids", "job": "The job",
}


@dataclass(frozen=True)
class Tool:
    """A row of the list: the page work-out/<id>/, under which heading it stands, and for which kinds of unit it is."""

    title: str
    purpose: str
    place: Place
    kinds: tuple[Kind, ...]
    words: tuple[str, ...] = ()


# Pages with a script of their own; the id is the last part of the address, work-out/<id>/.
TOOLS: dict[str, Tool] = {
    "buy-list": Tool(
        "Buy list", "Says how much oil a fill takes, and finds the cheapest bottles.", "fills", KINDS["fills"],
        ("bottles", "shopping", "price", "litres to buy")),
    "job-clock": Tool(
        "Job clock", "Says when each step of a card begins and each wait is over.", "job",
        KINDS["job"], ("time", "plan", "how long", "sealant wait", "critical path")),
    "next-due": Tool(
        "Next due", "Says when the next change is due by distance and by date, without the log.", "job", KINDS["fills"],
        ("interval", "months", "odometer", "overdue")),
    "tightening-order": Tool(
        "Tightening order", "Draws the order of the bolts and gives the torque of each stage.", "fasteners",
        KINDS["fasteners"], ("sequence", "cross pattern", "star", "stages", "bolts")),
}


def tool(one: Calculator) -> Tool:
    """Return a calculator as a row of the list."""
    return Tool(one.title, one.purpose, one.place, one.kinds or KINDS[one.place], one.words)


def every(site: Site) -> dict[str, Tool]:
    """Return all rows of the list by id, in the order of their titles."""
    rows = TOOLS | {name: tool(one) for name, one in site.calculators.items()}
    return dict(sorted(rows.items(), key=lambda row: row[1].title.lower()))


def grouped(site: Site) -> list[tuple[str, tuple[Kind, ...], list[tuple[str, Tool]]]]:
    """Return (heading, kinds of its calculators that name none themselves, [(id, row)]) of every place that has any."""
    rows = every(site)
    listed = [(words, KINDS[place], [(name, one) for name, one in rows.items() if one.place == place])
              for place, words in HEADINGS.items()]
    return [(words, kinds, found) for words, kinds, found in listed if found]
