"""The address of every page, from the site's root, as links in content and in pages write it."""

from __future__ import annotations

from fillmark.model.match import units_for
from fillmark.model.site import Site
from fillmark.model.tools import TOOLS

PLACES = ("", "cards/", "look-up/", "work-out/", "log/", "job/", "tables/", "sources/", "how-we-know/", "coverage/")

# Folders of the site that are no prose page.
TAKEN = {"backup", "cards", "coverage", "css", "data", "due", "findings", "garage", "guides", "icons", "index", "job",
         "js", "keys", "log", "look-up", "plan", "schema", "sources", "tables", "this-phone", "vehicles", "work-out"}


def card(number: str, vehicle: str = "", unit: str = "") -> str:
    """Return cards/p01/ or, filled with a unit's numbers, cards/p01/?for=thornback/rear-axle."""
    return f"cards/{number.lower()}/" + (f"?for={vehicle}/{unit}" if unit else "")


def every(site: Site) -> set[str]:
    """Return the addresses of all pages."""
    bound = {card(one.no, *pair) for one in site.cards.values() for pair in units_for(one, site.vehicles)}
    named = {f"{kind}/{name}/" for kind in ("vehicles", "tables", "guides") for name in site.of_kind(kind)}
    keys = {f"keys/{one.page}/" for one in site.keys.values()}
    worked = {f"work-out/{name}/" for name in (*site.calculators, *TOOLS)}
    return {*PLACES, *bound, *named, *keys, *worked, *(card(one.no) for one in site.cards.values()),
            *(f"{name}/" for name in site.pages)}
