"""Jobs for the tests of the page's library: the built cards and the demo garage, and the events of a job."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

Json = dict[str, Any]

# Card, vehicle, unit and option: every card, every option of its choice.
EVERY = [
    ("p01", "thornback", "rear-axle", "sealant"), ("p01", "thornback", "rear-axle", "gasket"),
    ("p02", "drystone", "rear-axle", ""), ("p11", "drystone", "wheels", ""), ("p24", "thornback", "whole", ""),
]
NAMES = [f"{card}-{option or unit}" for card, _, unit, option in EVERY]
START = 1_772_000_000_000  # 2026-02-25 06:13:20 UTC, epoch milliseconds
MINUTE = 60_000
MODULES = ("job", "judge", "tighten", "follow", "ics", "day")


# The vehicles as the page works them out of their sheets, once for the run; tests/js/conftest.py fills it.
VEHICLES: dict[str, Json] = {}


def derived(browser: Browser, url: str) -> dict[str, Json]:
    """Return {id: vehicle} of all the site's vehicles, worked out by the page's own library."""
    context = browser.new_context(base_url=url, service_workers="block")
    page = context.new_page()
    page.goto("404.html")
    found = page.evaluate(
        """async () => {
            const { vehicleOf } = await import('./js/lib/sheet.js')
            const had = async (path) => (await fetch(path)).json()
            const site = await had('data/site.json')
            const all = await Promise.all(site.vehicles.map(async ({ id }) =>
                [id, vehicleOf(id, await had(`data/vehicles/${id}.json`), site)]))
            return JSON.stringify(Object.fromEntries(all))
        }""")
    context.close()
    return dict(json.loads(found))


def copy(dist: Path, card: str, vehicle: str, unit: str, option: str = "") -> Json:
    """Return the job's own copy of card and unit, as the page takes it when a job starts."""
    def read(kind: str, name: str) -> Json:
        return dict(json.loads((dist / "data" / kind / f"{name}.json").read_text("utf-8")))

    whole, cards = json.loads(json.dumps(VEHICLES[vehicle])), read("cards", card)
    subs = {no: read("cards", no.lower()) for no in cards["includes"]}
    return {
        "card": cards, "subs": subs, "unit": whole["units"][unit],
        "vehicle": {key: value for key, value in whole.items() if key != "units"}, "option": option, "label": {},
    }


def reading(typed: str, si: float | None = None, unit: str = "") -> Json:
    """Return a reading as the page makes it."""
    return {"typed": typed, "unit": unit, "si": si}


def miles(number: float) -> Json:
    """Return an odometer reading in miles; the international mile is 1609.344 m."""
    return reading(f"{number:g}", number * 1609.344, "mi")


class Story:
    """The events of one job, written one after the other; `at` in minutes from the start, by the phone's clock."""

    def __init__(self, taken: Json, odometer: Json | None = None, zone: int = 0, start: int = START) -> None:
        self.events: list[Json] = []
        self.zone, self.start, self.now = zone, start, start
        self.add("begin", copy=taken, odometer=odometer or miles(112_380), why="", readings={})

    def add(self, kind: str, /, at: float | None = None, **data: Any) -> Story:
        self.now = self.now if at is None else self.start + round(at * MINUTE)
        number = len(self.events) + 1
        self.events.append({"id": f"{number:032x}", "job": "j", "seq": number, "at": self.now, "zone": self.zone,
                            "kind": kind, "data": data})
        return self

    def done(self, *steps: int, at: float | None = None) -> Story:
        for step in steps:
            self.add("done", at=at, step=step)
        return self

    def read(self, **readings: Json) -> Story:
        for field, value in readings.items():
            self.add("read", field=field.replace("_", "-"), reading=value)
        return self


def ask(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees the library by module name, `works`, `at(minutes)`, and `a`, the arguments."""
    if "/" not in page.url or page.url == "about:blank":
        page.goto("404.html")  # the page that does nothing of its own
    names = ", ".join(MODULES)
    loads = ", ".join(f"import('./js/lib/{name}.js')" for name in MODULES)
    return json.loads(page.evaluate(
        f"""async a => {{
            const [{names}, {{ calculators }}] = await Promise.all([{loads}, import('./js/data/judging.js')])
            const works = judge.worksOf(calculators)
            const at = (minutes) => {START} + minutes * {MINUTE}
            const wall = (epoch) => new Date(epoch).toLocaleTimeString('en-GB', {{ timeStyle: 'short' }})
            return JSON.stringify({call}) ?? 'null'
        }}""", list(arguments)))


def permit(page: Page, story: Story, kind: str, now: float, verdicts: dict[int, str] | None = None, /,
           **data: Any) -> str:
    """Return what `permit` says of one event, `now` in minutes from the start."""
    return str(ask(page, "job.permit(job.replay(a[0]), a[1], a[2], a[3], a[4], wall)", story.events, kind, data,
                   story.start + round(now * MINUTE), {str(no): says for no, says in (verdicts or {}).items()}))
