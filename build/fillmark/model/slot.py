"""Slots: the closed list of a unit's numbers that a card may show. `{fill.refill}` in a card's text is a slot."""

from __future__ import annotations

from typing import get_args

from fillmark.model.vehicle import FastenerRole, FillRole

FILLS = {f"fill.{role}": label for role, label in {
    "refill": "Drain and refill", "dry": "Dry fill", "additive": "Additive, inside the refill",
    "flush": "Flush", "swivel-each": "Each swivel housing",
}.items()}
TORQUES = {f"torque.{role}": role.replace("-", " ") for role in get_args(FastenerRole)}
FACTS = {
    "fluid.name": "Fluid", "fluid.grade": "Grade", "fluid.category": "Category", "fluid.additive": "Additive need",
    "level.rule": "Level rule",
    "plug.fill": "Fill plug key", "plug.drain": "Drain plug key", "unit.label": "Unit", "unit.tag": "Tag",
    "unit.cover": "Outline", "unit.ratio": "Ratio", "unit.diff": "Differential", "vehicle.name": "Vehicle",
    "vehicle.odometer": "Odometer", "vehicle.kerb-mass": "Kerb mass", "vehicle.rear-share": "Share on the rear axle",
    "vehicle.wheelbase": "Wheelbase", "vehicle.coldest-start": "Coldest start", "vehicle.tyre-size": "Tyre size",
}
SLOTS: dict[str, str] = {**FILLS, **TORQUES, **FACTS}

assert set(get_args(FillRole)) == {name.split(".")[1] for name in FILLS}
