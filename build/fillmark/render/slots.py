"""What a unit has for the slots of a text, {slot name: shown value}; in a card every slot is a blank to write on."""

from __future__ import annotations

from markupsafe import Markup, escape

from fillmark.model.card import SLOT
from fillmark.model.site import Site
from fillmark.model.slot import FILLS, SLOTS
from fillmark.model.vehicle import LevelRule, Unit, Vehicle
from fillmark.render.figures import Figure, also, figure, origin_words, shown

ADDITIVE = {"none": "none", "included": "in the oil", "separate": "add separately", "unknown": "unknown"}
DIFF = {
    "open": "open", "clutch-ls": "limited-slip, clutches", "cone-ls": "limited-slip, cones", "gear-ls":
    "limited-slip, gears", "locker": "locker", "unknown": "unknown",
}


BLANK = Markup('<span class="blank"><span class="sr">not known</span></span>')


def level(site: Site, rule: LevelRule) -> Figure:
    """Return the level rule as a figure: `0 to 10 mm` below a named mark."""
    low = f"{rule.low.value:g}"
    return Figure("Level", f"{low} to {rule.high.value:g} {rule.high.unit}", f"below {rule.below}", rule.state,
                  origin_words(site, rule), note=rule.attitude)


def for_unit(site: Site, vehicle: Vehicle, unit: Unit) -> dict[str, Figure]:
    """Return every slot this unit can fill. A slot that is absent prints as a blank."""
    known: dict[str, Figure] = {}
    for role, fill in unit.fills.items():
        known[f"fill.{role}"] = figure(site, FILLS[f"fill.{role}"], fill)
    for name, group in unit.fasteners.items():
        known[f"torque.{name}"] = figure(site, group.name, group.torque)
    facts: dict[str, str | None] = {
        "unit.label": unit.title, "unit.tag": unit.tag, "unit.cover": unit.cover,
        "unit.ratio": f"{unit.ratio:.2f}" if unit.ratio else None, "unit.diff": DIFF[unit.diff] if unit.diff else None,
        "vehicle.name": vehicle.name, "vehicle.tyre-size": vehicle.tyre_eras[-1].size,
        "plug.fill": unit.plugs["fill"].tool if "fill" in unit.plugs else None,
        "plug.drain": unit.plugs["drain"].tool if "drain" in unit.plugs else None,
    }
    amounts = {
        "vehicle.odometer": vehicle.odometer.reading, "vehicle.kerb-mass": vehicle.kerb_mass,
        "vehicle.rear-share": vehicle.rear_share, "vehicle.wheelbase": vehicle.wheelbase,
        "vehicle.coldest-start": vehicle.coldest_start,
    }
    known |= {name: Figure(SLOTS[name], text, "", "", "") for name, text in facts.items() if text}
    known |= {
        name: Figure(SLOTS[name], shown(amount), also(site, amount), "", "")
        for name, amount in amounts.items() if amount
    }
    if unit.fluid:
        fluid = {
            "name": f"{unit.fluid.grade} {unit.fluid.category}", "grade": unit.fluid.grade,
            "category": unit.fluid.category, "additive": ADDITIVE[unit.fluid.additive],
        }
        origin = origin_words(site, unit.fluid)
        known |= {
            f"fluid.{name}": Figure(SLOTS[f"fluid.{name}"], text, "", unit.fluid.state, origin)
            for name, text in fluid.items()
        }
    if unit.level:
        known["level.rule"] = level(site, unit.level)
    return known


def blanks(text: str) -> Markup:
    """Return the text escaped, each slot a blank to write on; the phone puts a unit's numbers there."""
    out, last = Markup(), 0
    for match in SLOT.finditer(text):
        blank = Markup('<span class="blank" data-slot="{}"><span class="sr">blank: {}</span></span>')
        out += escape(text[last : match.start()]) + blank.format(match[1], SLOTS[match[1]])
        last = match.end()
    return out + escape(text[last:])
