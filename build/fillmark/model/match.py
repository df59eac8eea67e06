"""Which card is for which unit."""

from __future__ import annotations

from fillmark.model.card import Card
from fillmark.model.vehicle import Unit, Vehicle


def fits(card: Card, unit: Unit) -> bool:
    """Say whether the card is for this unit: by kind and, where the card asks, by how the unit opens."""
    applies = card.applies
    return unit.kind in applies.kinds and (applies.opens_by is None or unit.opens_by == applies.opens_by)


def units_for(card: Card, vehicles: dict[str, Vehicle]) -> list[tuple[str, str]]:
    """Return (vehicle id, unit id) of every unit the card is for."""
    return [
        (vehicle_id, unit_id) for vehicle_id, vehicle in vehicles.items() for unit_id, unit in vehicle.units.items()
        if fits(card, unit)
    ]
