"""data/site.json: what the pages need of the content besides the cards themselves; `SiteData` of types.d.ts."""

from __future__ import annotations

from typing import Any

from fillmark.model.card import Card
from fillmark.model.site import Site
from fillmark.model.slot import SLOTS

Json = dict[str, Any]


def whole(site: Site) -> Json:
    """Return the `SiteData`. Distances are true, in metres."""
    return {
        "notice": site.meta.notice, "demoNote": site.meta.demo_note, "valuesAsOf": site.meta.values_as_of,
        "sources": {name: source.title for name, source in site.sources.items()},
        "vehicles": [
            {"id": name, "name": one.name, "short": one.short, "invented": one.invented, "units": len(one.units)}
            for name, one in site.vehicles.items()
        ],
        "cards": [card(one) for one in sorted(site.cards.values(), key=lambda one: one.no)],
        "slots": SLOTS,
        "units": {
            spelling: {"symbol": unit.symbol, "dimension": unit.dimension, "factor": unit.factor, "offset": unit.offset}
            for unit in site.units.by_symbol.values() for spelling in (unit.symbol, *unit.aliases)
        },
    }


def card(one: Card) -> Json:
    """Return a `CardRow`: which units the card is for, and what it shows of them."""
    return {
        "no": one.no, "rev": one.rev, "title": one.title, "purpose": one.purpose, "kinds": list(one.applies.kinds),
        "opensBy": one.applies.opens_by or "", "says": one.applies.says,
        "capacity": list(one.capacity), "torque": list(one.torque),
    }
