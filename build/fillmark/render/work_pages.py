"""The pages of Work out that are more than one formula: their fields, declared as a calculator's are, and their texts.

The thinking is in js/lib/ and what a page does with it in js/ui/work-<id>.js; each page is work-out/<id>/ of TOOLS.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from markupsafe import Markup

from fillmark.model.calculator import Quantity
from fillmark.model.site import Site
from fillmark.model.tools import TOOLS
from fillmark.render import calculator_page, scripts

# Whole numbers: a count has no parts.
WHOLE = {"count", "shelf"}
# What a unit gives to these fields only; a calculator has no use for it.
TAKES = {"stage1": "stage-1", "stage2": "stage-2"}

_ODOMETER = {"unit": "mi", "offer": ("mi", "km"), "min": "0 mi", "max": "999999 mi"}


def _typed(**shape: Any) -> Quantity:
    return Quantity.model_validate(shape)


BUY: dict[str, Quantity] = {
    "need": _typed(
        label="Amount needed, if you know it", symbol="N", unit="L", min="0.02 L", max="30 L", optional=True,
        why="It then stands in place of the four figures below."),
    "refill": _typed(
        label="Drain-and-refill capacity", symbol="V_refill", unit="L", default="2.35 L", min="0.2 L", max="15 L",
        take="refill", why="Units of a four-wheel-drive hold that much."),
    "additive": _typed(
        label="Additive that goes in with it", symbol="V_add", unit="mL", default="150 mL", min="0 mL", max="400 mL",
        optional=True, take="additive", why="It is part of the fill. Limited-slip additives are dosed no higher."),
    "flush": _typed(
        label="Flush", symbol="V_flush", unit="L", min="0 L", max="5 L", optional=True, take="flush",
        why="A flush that is let out again at once needs no more."),
    "spill": _typed(
        label="Spill and what stays in the bottles", symbol="s", unit="%", default="5 %", min="0 %", max="15 %",
        optional=True, why="More than that is not spill."),
    "open": _typed(
        label="Left in opened bottles", symbol="V_open", unit="L", min="0 L", max="15 L", optional=True,
        why="Count only what you know and trust."),
}
# One row of the list of bottles; the page makes as many as are wanted.
BOTTLE: dict[str, Quantity] = {
    "size": _typed(
        label="Size of the bottle", symbol="b", unit="L", min="0.02 L", max="25 L", why="From a tube to a drum."),
    "price": _typed(
        label="Price of one", symbol="p", unit="1", min=0, max=9999, optional=True,
        why="Leave it empty if you do not know it."),
    "shelf": _typed(
        label="Full ones on the shelf", symbol="n", unit="1", min=0, max=50, optional=True,
        why="Count the unopened ones."),
}
CLOCK_LABEL: dict[str, Quantity] = {
    "label": _typed(
        label="Time on the label", symbol="t", unit="min", offer=("min", "h", "d"), min="1 min", max="7 d",
        why="Read it off the tube. It is never shortened."),
}
TIGHTEN: dict[str, Quantity] = {
    "count": _typed(
        label="Number of bolts", symbol="n", unit="1", default=10, min=1, max=48, take="bolts",
        why="Covers, pans and wheels have no more."),
    "torque": _typed(
        label="Target torque", symbol="T", unit="N·m", default="26 N·m", min="1 N·m", max="1500 N·m", take="torque",
        why="Below and above this no common torque wrench reads."),
    "stage1": _typed(
        label="First stage", symbol="s_1", unit="%", default="50 %", min="10 %", max="95 %", optional=True,
        why="It only seats the joint."),
    "stage2": _typed(
        label="Second stage", symbol="s_2", unit="%", default="75 %", min="10 %", max="95 %", optional=True,
        why="The last stage is always the full torque."),
}
DUE: dict[str, Quantity] = {
    "last": _typed(
        label="Odometer at the last one", symbol="o_1", default="92915 mi", why="As it showed, rollovers counted in.",
        **_ODOMETER),
    "now": _typed(
        label="Odometer now", symbol="o_2", default="112380 mi", take="odometer",
        why="As it shows, rollovers counted in.", **_ODOMETER),
    "interval": _typed(
        label="Interval by distance", symbol="D", unit="mi", offer=("mi", "km"), default="25000 mi", min="100 mi",
        max="150000 mi", optional=True, why="No fluid is left in for longer."),
    "months": _typed(
        label="Interval in months", symbol="m", unit="1", default=48, min=1, max=240, optional=True,
        why="Between a month and twenty years."),
    "weight": _typed(
        label="Share of the interval that holds in your use", symbol="w", unit="%", default="50 %", min="20 %",
        max="100 %", why="100 % in normal use. Handbooks often halve an interval for severe use."),
    "since": _typed(
        label="Other tyres since, by the odometer", symbol="o_T", default="91340 mi", optional=True,
        why="As it showed when they were fitted.", **_ODOMETER),
    "factor": _typed(
        label="Factor of those tyres", symbol="k", unit="1", default=1.096, min=0.8, max=1.25, optional=True,
        why="New outside diameter by the old one. Beyond this the sizes do not fit."),
}

FIELDS: dict[str, dict[str, Quantity]] = {
    "buy-list": BUY, "job-clock": {}, "tightening-order": TIGHTEN, "next-due": DUE,
}
# Fields that a page makes itself, as many as are wanted.
MADE: dict[str, dict[str, Quantity]] = {"buy-list": BOTTLE, "job-clock": CLOCK_LABEL}


def pages(site: Site) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield (path, template, context) of each."""
    for name, fields in FIELDS.items():
        yield f"work-out/{name}/", f"work-{name}.html", {
            "tool": TOOLS[name], "tool_id": name,
            "fields": [calculator_page.field(site, key, shape) for key, shape in fields.items()],
            "inputs": declared(site, fields), "made_inputs": declared(site, MADE.get(name, {})),
        }


def declared(site: Site, fields: dict[str, Quantity]) -> Markup:
    """Return what the page's script needs to read the fields: a list of `Typed`, as JSON for an attribute in '…'."""
    text = json.dumps([
        {"id": name, **scripts.typed(site.units, shape), **({"whole": True} if name in WHOLE else {}),
         **({"take": TAKES[name]} if name in TAKES else {})}
        for name, shape in fields.items()
    ], ensure_ascii=False, separators=(",", ":"))
    # JSON is full of quotes; to escape only what has to be saves a third of it.
    return Markup(text.replace("&", "&amp;").replace("'", "&#39;").replace("<", "&lt;"))
