"""What is missing: which kinds of unit have which cards, what a card asks of a unit, and what each unit still lacks.

The phone does the same for one's own vehicles (js/lib/coverage.js); tests/js/test_coverage.py holds the two together.
"""

from __future__ import annotations

from typing import Any, get_args

from fillmark.model.card import Card
from fillmark.model.match import fits
from fillmark.model.site import Site
from fillmark.model.slot import SLOTS
from fillmark.model.vehicle import Kind, Unit
from fillmark.render.slots import for_unit

ADDRESS = "coverage/"
# Good to know, and no job waits for it.
SPARE = {"fill.dry", "fill.flush"}
SLIPPING = {"clutch-ls", "cone-ls"}


def needs(card: Card) -> list[str]:
    """Return the slots that a card asks of a unit, each once: fluid, capacities, torques, and the keys of its plugs."""
    shown = [name for step in card.steps for name in step.shows if name.startswith("plug.")]
    fluid = ["fluid.name"] if "fill.refill" in card.capacity else []
    torques = [f"torque.{role}" for role in card.torque]
    return list(dict.fromkeys(name for name in (*fluid, *card.capacity, *torques, *shown) if name not in SPARE))


def asked(unit: Unit, name: str) -> bool:
    """Say if this unit needs the slot: additive is poured only where it is wanted, or may be."""
    need = unit.fluid.additive if unit.fluid else "unknown"
    return name != "fill.additive" or need == "separate" or (need == "unknown" and unit.diff in SLIPPING)


def words(name: str) -> str:
    """Return a slot as it is asked for: `pan torque`, `drain and refill`."""
    label = SLOTS[name][0].lower() + SLOTS[name][1:]
    return f"{label} torque" if name.startswith("torque.") else label


def lacks(site: Site, vehicle_id: str, unit_id: str) -> list[dict[str, Any]]:
    """Return for each card of a unit what is missing of what it asks, and what is there and not verified."""
    vehicle = site.vehicles[vehicle_id]
    unit = vehicle.units[unit_id]
    known = for_unit(site, vehicle, unit)
    out = []
    for card in sorted(site.cards.values(), key=lambda one: one.no):
        if fits(card, unit):
            wanted = [name for name in needs(card) if asked(unit, name)]
            out.append({
                "no": card.no, "missing": [words(name) for name in wanted if name not in known],
                "open": [words(name) for name in wanted if name in known and known[name].state not in ("", "verified")],
            })
    return out


def context(site: Site) -> dict[str, Any]:
    """Return the template context of the page."""
    cards = sorted(site.cards.values(), key=lambda one: one.no)
    vehicles = [
        (vehicle_id, vehicle, [
            (unit, [(row, f"cards/{row['no'].lower()}/?for={vehicle_id}/{unit_id}") for row in rows])
            for unit_id, unit in vehicle.units.items()
            if (rows := [row for row in lacks(site, vehicle_id, unit_id) if row["missing"] or row["open"]])
        ]) for vehicle_id, vehicle in sorted(site.laid_out.items())
    ]
    kinds = [(kind, [card for card in cards if kind in card.applies.kinds]) for kind in get_args(Kind)]
    asks = [(card, [words(name) for name in needs(card)]) for card in cards]
    return {"vehicles": vehicles, "kinds": kinds, "asks": asks}
