"""One unit as shown on a vehicle page, in the look-up and on a card: facts, capacity rows, torque tags."""

from __future__ import annotations

from dataclasses import dataclass

from fillmark.model import routes
from fillmark.model.match import GEARED, fits
from fillmark.model.site import Site
from fillmark.model.vehicle import FastenerGroup, Unit, Vehicle
from fillmark.render.figures import Figure, figure, grouped
from fillmark.render.slots import for_unit


@dataclass(frozen=True)
class Tag:
    """A torque tag: the figure, what it is for, its stages in the unit of record, and the pattern to draw."""

    role: str
    figure: Figure
    what: str
    thread_state: str
    stages: tuple[str, ...]
    pattern: str
    count: int
    then: str


@dataclass(frozen=True)
class UnitView:
    """Everything that the page shows of one unit."""

    vehicle_id: str
    unit_id: str
    vehicle: Vehicle
    unit: Unit
    fluid: Figure | None
    capacities: tuple[Figure, ...]
    tags: tuple[Tag, ...]
    facts: tuple[tuple[str, str], ...]
    cards: tuple[tuple[str, str, str], ...]
    oil: str = ""  # where the key of oils is opened for it

    @property
    def anchor(self) -> str:
        return f"{self.vehicle_id}-{self.unit_id}"

    @property
    def to_level(self) -> bool:
        """Whether the capacity is only a guide: fill to level, not to volume."""
        return any(row.label != "Level" and row.state != "verified" for row in self.capacities)


def tag(site: Site, role: str, group: FastenerGroup) -> Tag:
    """Return the torque tag of a fastener group."""
    what = ", ".join(
        part for part in (
            f"{group.count} × {group.thread}" if group.count > 1 else group.thread,
            f"class {group.strength}" if group.strength else "",
        ) if part
    )
    target = group.torque.value
    stages = tuple(_trim(target.value * share.value / 100) for share in group.stages)
    return Tag(role, figure(site, group.name, group.torque), what, group.thread_state.replace("-", " "), stages,
               group.pattern, group.count, group.then or "")


def _trim(value: float) -> str:
    text = grouped(value, 1)
    return text.removesuffix(".0")


def unit_view(site: Site, vehicle_id: str, unit_id: str) -> UnitView:
    """Return the view of one unit of one vehicle."""
    vehicle = site.vehicles[vehicle_id]
    unit = vehicle.units[unit_id]
    known = for_unit(site, vehicle, unit)
    rows = [known[name] for name in ("fill.refill", "fill.additive", "fill.dry", "fill.flush", "fill.swivel-each",
                                     "level.rule") if name in known]
    facts = [
        (label, known[name].main) for label, name in (
            ("Tag", "unit.tag"), ("Outline", "unit.cover"), ("Ratio", "unit.ratio"), ("Differential", "unit.diff"),
            ("Fill plug key", "plug.fill"), ("Drain plug key", "plug.drain"),
        ) if name in known
    ]
    cards = tuple(
        (card.no, card.title, routes.card(card.no, vehicle_id, unit_id))
        for card in sorted(site.cards.values(), key=lambda one: one.no) if fits(card, unit)
    )
    tags = tuple(tag(site, role, group) for role, group in unit.fasteners.items())
    oil = next((f"keys/{key.page}/?for={vehicle_id}/{unit_id}" for key in site.keys.values() if key.turns), "")
    return UnitView(vehicle_id, unit_id, vehicle, unit, known.get("fluid.name"), tuple(rows), tags, tuple(facts), cards,
                    oil if unit.kind in GEARED else "")
