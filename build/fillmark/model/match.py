"""Which card is for which unit."""

from __future__ import annotations

from fillmark.model.card import Card
from fillmark.model.vehicle import Kind, Unit, Vehicle

# Units with gears in oil: those that the key of oils is for.
GEARED: tuple[Kind, ...] = (
    "axle-cover", "axle-dropout", "front-axle", "swivel", "transfer", "manual-box", "auto-box",
)


def fits(card: Card, unit: Unit) -> bool:
    """Say whether the card is for this unit: by kind and, where the card asks, by how it opens and its differential."""
    applies = card.applies
    if unit.kind not in applies.kinds or applies.opens_by not in (None, unit.opens_by):
        return False
    return not applies.diffs or (unit.diff or "unknown") in applies.diffs


def units_for(card: Card, vehicles: dict[str, Vehicle]) -> list[tuple[str, str]]:
    """Return (vehicle id, unit id) of every unit the card is for."""
    return [
        (vehicle_id, unit_id) for vehicle_id, vehicle in vehicles.items() for unit_id, unit in vehicle.units.items()
        if fits(card, unit)
    ]
