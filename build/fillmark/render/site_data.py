"""data/site.json: what the pages need of the content besides the cards themselves; `SiteData` of types.d.ts."""

from __future__ import annotations

from typing import Any

from fillmark.model.amount import Amount, Origin
from fillmark.model.card import Card
from fillmark.model.site import EventRule, ServiceRule, Site
from fillmark.model.slot import SLOTS
from fillmark.model.vehicle import Vehicle
from fillmark.render import coverage

Json = dict[str, Any]


def whole(site: Site) -> Json:
    """Return the `SiteData`. Distances are true, in metres."""
    return {
        "notice": site.meta.notice, "demoNote": site.meta.demo_note, "valuesAsOf": site.meta.values_as_of,
        "sources": {name: source.title for name, source in site.sources.items()},
        "vehicles": vehicles(site.laid_out), "chosenFrom": site.chosen_from,
        "cards": [card(one) for one in sorted(site.cards.values(), key=lambda one: one.no)],
        "work": {name: {"title": one.title, "does": one.does} for name, one in site.works.items()},
        "service": [service(site, one) for one in site.rules.service],
        "events": [event(site, one) for one in site.rules.events],
        "slots": SLOTS,
        "units": {
            spelling: {"symbol": unit.symbol, "dimension": unit.dimension, "factor": unit.factor, "offset": unit.offset}
            for unit in site.units.by_symbol.values() for spelling in (unit.symbol, *unit.aliases)
        },
    }


def vehicles(some: dict[str, Vehicle]) -> list[Json]:
    """Return a `VehicleRow` for each."""
    return [{"id": name, "name": one.name, "short": one.short, "invented": one.invented, "units": len(one.units)}
            for name, one in some.items()]


def card(one: Card) -> Json:
    """Return a `CardRow`: which units the card is for, and what it shows of them."""
    return {
        "no": one.no, "rev": one.rev, "title": one.title, "purpose": one.purpose, "kinds": list(one.applies.kinds),
        "opensBy": one.applies.opens_by or "", "diffs": list(one.applies.diffs), "says": one.applies.says,
        "capacity": list(one.capacity), "torque": list(one.torque), "needs": coverage.needs(one),
    }


def service(site: Site, one: ServiceRule) -> Json:
    """Return a `ServiceRule`."""
    distance = site.units.si(one.distance) if one.distance else None
    return {
        "kinds": list(one.kinds), "distance": distance,
        "distanceKm": site.units.si(one.distance_km) if one.distance_km else distance,
        "months": one.months, "testMonths": one.test_months, "severeFactor": one.severe_factor,
        "resetBy": list(one.reset_by), "testResetBy": list(one.test_reset_by), **origin(one),
    }


def event(site: Site, one: EventRule) -> Json:
    """Return an `EventRule`; a distance or a number of days that is not there is 0."""
    def metres(amount: Amount | None) -> float:
        return site.units.si(amount) if amount else 0

    return {
        "id": one.id, "event": one.event, "action": one.action, "after": list(one.after), "kinds": list(one.kinds),
        "onlyIf": one.condition or "", "look": one.look, "days": one.days or 0, "earliest": metres(one.earliest),
        "latest": metres(one.latest), "hardStop": metres(one.hard_stop), "closedBy": list(one.closed_by),
        **origin(one),
    }


def origin(one: Origin) -> Json:
    """Return the `Origin` of a value, without what is not said."""
    given = {"source": one.source, "state": one.state, "date": one.date, "page": one.page, "note": one.note}
    return {key: value for key, value in given.items() if value is not None}
