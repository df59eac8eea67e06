"""Every page of the site: one function per kind of page, each giving (path, template, context)."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import jinja2
import markdown
from markupsafe import Markup

from fillmark.model import tools
from fillmark.model.site import Site
from fillmark.render import (
    calculator_page,
    card_page,
    coverage,
    guide_pages,
    headers,
    how_we_know,
    key_pages,
    lookup_page,
    scripts,
    slots,
    work_pages,
)
from fillmark.render.figures import shown
from fillmark.render.unit_view import unit_view

Page = tuple[str, str, dict[str, Any]]
PLACES = (("", "Today"), ("cards/", "Cards"), ("look-up/", "Look up"), ("work-out/", "Work out"), ("log/", "Log"))

# A job is a card at work; what the log shows, and its copy, belong to the log.
WITHIN = {"job/": "cards/", "coverage/": "cards/", "plan/": "cards/",
          "findings/": "log/", "backup/": "log/", "how-we-know/": "work-out/"}

# Where the scripts are that an attribute of the page asks for.
FOLDERS = {"module": "ui", "figure": "figure"}

# Pages of what is kept on the phone: the same for everybody until a script has read it.
KEPT = (
    ("log/", "log.html"), ("log/add/", "log-add.html"), ("log/history/", "history.html"), ("job/", "job.html"),
    ("garage/", "garage.html"), ("garage/vehicle/", "own-vehicle.html"), ("due/", "due.html"),
    ("findings/", "findings.html"), ("backup/", "backup.html"), ("plan/", "plan.html"),
    ("this-phone/", "this-phone.html"),
)


def files(
    site: Site, templates: dict[str, str], others: dict[str, bytes], *, switched_off: bool = False
) -> dict[str, bytes]:
    """Return {path: bytes} of every HTML page; `others` are the scripts and the data that they go with. Pages of a site
    that is `switched_off` never ask for the service worker."""
    # An answer kept on the phone is worked out anew when the data it rests on or the reckoning itself is another.
    rests = [body for path, body in sorted(others.items()) if path.startswith(("data/", "js/lib/"))]
    made = hashlib.sha256(b"".join(rests))
    environment = _environment(tuple(sorted(templates.items())))
    environment.filters["amount"] = lambda amount: shown(amount) if amount else slots.BLANK
    environment.filters["cell"] = lambda cell: str(cell).replace("-", "−") if isinstance(cell, (int, float)) else cell
    environment.filters["plain"] = slots.blanks
    out = {}
    for path, template, context in pages(site):
        base = "../" * path.count("/") or "./"
        within = WITHIN.get(path, "cards/" if path.startswith(("keys/", "guides/")) else path)
        place = next((name for name, _ in PLACES[1:] if within.startswith(name)), "" if path == "" else None)
        html = environment.get_template(template).render(
            site=site, meta=site.meta, base=base, places=PLACES, place=place, path=path,
            url=lambda target, base=base: base + target if target else base, switched_off=switched_off,
            prose=lambda text, base=base: prose_html(text, base), made=made.hexdigest()[:12],
            policy=Markup(headers.POLICY), **context,
        )
        # The first frame waits for no script but its entry; after it, all that the page needs is asked for at once.
        modules = [f"{FOLDERS[kind]}/{name}.js" for kind, name in re.findall(r'data-(module|figure)="([^"]+)"', html)]
        modules += [f"data/calc/{name}.js" for name in re.findall(r'data-calculator="([^"]+)"', html)]
        needed = [name.removesuffix(".js") for name in scripts.needed(others, modules)]
        html = html.replace(' data-scripts=""', f' data-scripts="{" ".join(needed)}"' if needed else "", 1)
        name = path if path.endswith(".html") else path + "index.html"
        out[name] = "\n".join(line.strip() for line in html.splitlines() if line.strip()).encode() + b"\n"
    return out


def prose_html(text: str, base: str) -> Markup:
    """Return Markdown as HTML; a link to a page of this site is written from the root, as `tables/bolt-classes/`."""
    reader = markdown.Markdown(extensions=["tables", "sane_lists"])
    # Raw HTML would pass as it is: the check of links refuses it in words, and here it is but text.
    reader.preprocessors.deregister("html_block")
    reader.inlinePatterns.deregister("html")
    html = reader.convert(text)
    return Markup(re.sub(r'href="(?!https?:|#)([^"]*)"', lambda match: f'href="{base}{match[1]}"', html))


@lru_cache(maxsize=1)
def _environment(templates: tuple[tuple[str, str], ...]) -> jinja2.Environment:
    """Return the templates compiled, once for as long as they stay the same: an edit of content need not wait."""
    return jinja2.Environment(
        loader=jinja2.DictLoader(dict(templates)), autoescape=True, undefined=jinja2.StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )


def pages(site: Site) -> Iterator[Page]:
    """Yield every page, the five places first."""
    yield today(site)
    yield cards(site)
    yield lookup_page.page(site)
    yield "work-out/", "work-out.html", {"groups": tools.grouped(site)}
    for path, template in KEPT:
        yield path, template, {}
    yield from card_page.pages(site)
    for name, calculator in sorted(site.calculators.items()):
        yield f"work-out/{name}/", "calculator.html", calculator_page.context(site, calculator)
    yield from work_pages.pages(site)
    yield from key_pages.pages(site)
    yield from guide_pages.pages(site)
    yield from vehicles(site)
    yield from tables(site)
    yield coverage.ADDRESS, "coverage.html", coverage.context(site)
    yield how_we_know.ADDRESS, "how-we-know.html", how_we_know.context(site)
    for name, prose in sorted(site.pages.items()):
        if name != how_we_know.NAME:
            yield f"{name}/", "prose.html", {"page": prose}
    yield "sources/", "sources.html", {}
    yield "404.html", "missing.html", {}


def today(site: Site) -> Page:
    """The first page: the vehicles, the open job card, what is due."""
    return "", "today.html", {"vehicles": site.laid_out}


def cards(site: Site) -> Page:
    """The index of cards by kind of job; the units that a card is for are picked on its own page."""
    return "cards/", "cards.html", {"areas": card_page.areas(site), "keys": key_pages.listed(site),
                                   "guides": site.guides}


def vehicles(site: Site) -> Iterator[Page]:
    """One page per vehicle: every capacity and torque on one screen; where they are many, the page to choose them."""
    if site.chosen_from:
        yield "vehicles/", "choose.html", {}
    for name, vehicle in sorted(site.vehicles.items()):
        units = [unit_view(site, name, unit_id) for unit_id in vehicle.units]
        yield f"vehicles/{name}/", "vehicle.html", {
            "vehicle": vehicle, "vehicle_id": name, "odometer": shown(vehicle.odometer.reading), "units": units,
        }


def tables(site: Site) -> Iterator[Page]:
    """The index of reference tables and one page each."""
    yield "tables/", "tables.html", {}
    for name, table in sorted(site.tables.items()):
        yield f"tables/{name}/", "table.html", {"table": table, "table_id": name}
