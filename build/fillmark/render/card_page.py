"""A job card: steps with their cautions and holds in place, every number of a unit a blank to write on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

import segno
from markupsafe import Markup

from fillmark import graph
from fillmark.model import routes, tools
from fillmark.model.card import Card, Caution, Hold, Step, texts
from fillmark.model.match import units_for
from fillmark.model.site import Site
from fillmark.model.slot import SLOTS
from fillmark.render import slots
from fillmark.render.unit_view import UnitView, unit_view

IN_HEAD = {"date", "odometer"}
# The folders of content/cards/, in the order of the index; one that is not named here comes last under its own name.
AREAS = {
    "axles": "Axles", "driveline": "Gearbox, transfer, propshaft", "engine": "Engine, coolant, battery",
    "brakes": "Brakes", "wheels": "Wheels, hubs, joints", "checks": "Looks and checks", "shared": "With other jobs",
}


# What fills a printed sheet in the smallest type, counted as `roomy` counts, with room for torque tags; shorter cards
# are printed larger, by the steps of the stylesheet. tests/bench/sheets.py prints them all.
FULL = 9_000
STEPS = (1.15, 1.3, 1.45, 1.6)


@dataclass(frozen=True)
class Line:
    """One line of the step table: the cautions and holds that come before the step, and the step."""

    step: Step
    cautions: tuple[Caution, ...]
    holds: tuple[Hold, ...]


def areas(site: Site) -> list[tuple[str, str, list[Card]]]:
    """Return (folder, title, cards by number) of every kind of job."""
    found: dict[str, list[Card]] = {}
    for name, card in sorted(site.cards.items(), key=lambda item: item[1].no):
        found.setdefault(PurePosixPath(site.documents["cards", name].file).parent.name, []).append(card)
    order = sorted(found, key=lambda area: (list(AREAS).index(area) if area in AREAS else len(AREAS), area))
    return [(area, AREAS.get(area, area.replace("-", " ").capitalize()), found[area]) for area in order]


def bindings(site: Site, card: Card) -> list[UnitView]:
    """Return the units this card is for."""
    return [unit_view(site, vehicle_id, unit_id) for vehicle_id, unit_id in units_for(card, site.laid_out)]


def pages(site: Site) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield the page of every card: (path, template, context). A unit's numbers are filled in on the phone."""
    for card in sorted(site.cards.values(), key=lambda one: one.no):
        yield routes.card(card.no), "card.html", context(site, card)


def context(site: Site, card: Card) -> dict[str, Any]:
    """Return the template context of one card page."""
    address = site.meta.address + routes.card(card.no)
    return {
        "card": card, "roomy": roomy(card), "bound": bindings(site, card), "lines": lines(card),
        "fill": slots.blanks, "minutes": minutes(site, card), "qr": qr(address), "address": address,
        "capacities": [SLOTS[name].removesuffix(" rule") for name in card.capacity],
        "tags": [role.replace("-", " ").capitalize() for role in card.torque],
        "work_out": [(name, tools.every(site)[name].title) for name in card.work_out],
        "includes": [site.cards[name] for name in card.includes], "see": [site.cards[name] for name in card.see],
        # Date and odometer stand in the head block of every card.
        "record": {phase: [field for field in card.record
                           if field.phase == phase and field.sheet and field.id not in IN_HEAD]
                   for phase in ("as-found", "job", "as-left")},
    }


def roomy(card: Card) -> int:
    """Return how many steps larger than the smallest type the card is printed: a sheet's words grow with the square."""
    words = sum(len(text) for _, text in texts(card))
    fields = sum(len(one.label) + sum(map(len, one.words)) + 12 for one in card.record if one.sheet)
    return sum((words + fields) * step**2 < FULL for step in STEPS)


def lines(card: Card) -> list[Line]:
    """Return the step table in order, each caution before the step it guards, each hold before the first it blocks."""
    return [
        Line(step, tuple(one for one in card.cautions if one.before == step.no),
             tuple(hold for hold in card.holds if min(hold.blocks) == step.no))
        for step in card.steps
    ]


def minutes(site: Site, card: Card) -> list[tuple[str, int, int, str]]:
    """Return (option in words, minutes of hands, of waits, the least for one pair of hands) for each option."""
    options = list(card.choice.options.items()) if card.choice else [("", "")]
    found = [(label, graph.totals(graph.tasks(card, name, site.units))) for name, label in options]
    return [(label, round(one.hands), round(one.waits), span(round(one.one_pair))) for label, one in found]


def span(time: int) -> str:
    """Return minutes as a person says them: 45 min, 5 h 54 min."""
    hours, rest = divmod(time, 60)
    return f"{hours} h {rest} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"


def qr(address: str) -> Markup:
    """Return the address as an inline SVG code, level M, four modules of quiet zone."""
    code = segno.make(address, error="m", micro=False)
    svg = code.svg_inline(border=4, omitsize=True, svgclass="qr", lineclass=None, dark="#000", light="#fff")
    return Markup(svg.replace("<svg ", '<svg role="img" aria-label="Code for this card\'s address" ', 1))
