"""The look-up page: every unit's numbers stand in the page, so that it reads without a script, which narrows it."""

from __future__ import annotations

from typing import Any

from fillmark.model.site import Site
from fillmark.render.unit_view import UnitView, unit_view


def page(site: Site) -> tuple[str, str, dict[str, Any]]:
    """Return (path, template, context)."""
    entries = [
        unit_view(site, vehicle_id, unit_id) for vehicle_id, vehicle in site.laid_out.items()
        for unit_id, unit in vehicle.units.items() if unit.fills or unit.fasteners
    ]
    found = [(entry, words(entry)) for entry in entries]
    return "look-up/", "look-up.html", {"entries": found, "vehicles": len(site.laid_out)}


def words(view: UnitView) -> str:
    """Return all words a person may type to find this unit."""
    unit, vehicle = view.unit, view.vehicle
    parts = [vehicle.name, vehicle.short, unit.label, unit.place, unit.code, unit.kind.replace("-", " "), *unit.words]
    parts += [view.fluid.main if view.fluid else "", unit.tag or ""]
    parts += [text for tag in view.tags for text in (tag.figure.label, tag.what)]
    return " ".join(dict.fromkeys(" ".join(parts).split()))
