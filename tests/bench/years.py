"""`python3 tests/bench/years.py`: a phone with 10 000 log entries and 200 units of its own.

How long Today, what is due and the look-up take to stand on the screen, with the processor slowed down fourfold: until
the first paint of the page, and until the list itself is painted. The barest page of the site is measured in between:
what it takes is the browser's own time on this machine, and it makes every page follow upon the same one. The list is
also measured as it is after a change of the log, when everything is worked out anew. What else a machine does only ever
adds to a time, so the lower quarter of the turns is held to the budget; the median stands beside it.
"""

import json
import math
import random
import statistics
import sys
import tempfile
from pathlib import Path

from row import Row

ROOT = Path(__file__).resolve().parents[2]
SLOWER, ENTRIES, VEHICLES, UNITS, TURNS = 4, 10_000, 20, 10, 15
BUDGET = 150.0  # ms
BARE = "log/"
# From the start of the navigation until the frame in which the first line of the list stands, as the browser tells it.
WATCH = """(() => {
  const asked = {
    '': '[data-module=today] .due-row a', 'due/': '[data-module=due] .due-row a', 'look-up/': '[data-own] .entry h2',
  }
  const place = Object.keys(asked).find((path) => path && location.pathname.endsWith(path)) ?? ''
  const seen = () => {
    if (!window.stood) document.querySelector(asked[place])?.setAttribute('elementtiming', 'list')
  }
  new MutationObserver(seen).observe(document, { childList: true, subtree: true })
  new PerformanceObserver((list) => {
    window.stood ||= list.getEntries().find((one) => one.identifier === 'list')?.renderTime
  }).observe({ type: 'element', buffered: true })
})()"""
STOOD = """() => new Promise((resolve) => {
  const look = setInterval(() => {
    if (!(window.stood > 0)) return
    clearInterval(look)
    resolve()
  }, 50)
})"""
FILL = """async ([base, vehicles, records]) => {
  const store = await import(new URL('js/store.js', base))
  for (const one of vehicles) await store.putVehicle(one)
  for (let at = 0; at < records.length; at += 1000) await store.restore({ log: records.slice(at, at + 1000) })
  return (await store.log()).length
}"""


def sheets() -> list[dict[str, object]]:
    """Return own vehicles with ten units each, made from a sheet of the demo garage."""
    from fillmark import pipeline

    built = pipeline.run(ROOT / "content", ROOT / "site_src", None).files
    sheet = json.loads(built["data/vehicles/thornback.json"])
    unit = sheet["units"]["rear-axle"]
    out = []
    for number in range(VEHICLES):
        units = {f"axle-{each}": {**unit, "code": f"B{number}-{each}", "label": f"B-{number}{each}"}
                 for each in range(UNITS)}
        own = {**sheet, "rev": 1, "name": f"Bench {number}", "short": f"Bench {number}", "units": units}
        out.append({"id": f"bench-{number}", "rev": 1, "at": 0, "sheet": own})
    return out


def records() -> list[dict[str, object]]:
    """Return entries over sixteen years, odometers rising."""
    dice = random.Random(1)
    out = []
    for number in range(ENTRIES):
        days = number * 5800 // ENTRIES
        miles = 20_000 + days * 16 + dice.randrange(10)
        reading = {"typed": str(miles), "unit": "mi", "si": miles * 1609.344}
        year, month, day = 2010 + days // 365, 1 + days % 365 // 31, 1 + days % 28
        entry = {
            "id": f"{number:032x}", "job": "", "date": f"{year}-{month:02}-{day:02}",
            "vehicle": f"bench-{number % VEHICLES}", "unit": f"axle-{number // VEHICLES % UNITS}",
            "procedure": dice.choice(["P01", "P18", "P17"]), "rev": 0, "finished": True, "odometer": reading,
            "odometerUnit": "mi", "trueKm": None, "fluid": "75W-110 GL-5 LS", "out": None,
            "in": {"typed": "2.3", "unit": "L", "si": 0.0023}, "additive": None, "torque": [], "deviations": [],
            "found": {}, "done": {}, "left": {}, "notes": [], "photos": [], "levelVerified": "yes",
            "vehicleLevel": "yes", "defect": "", "replaces": "", "demo": False, "closes": [],
            "says": "done in the yard",
        }
        out.append({"id": entry["id"], "entry": entry, "followUps": [], "at": 1_262_304_000_000 + days * 86_400_000})
    return out


def rows() -> list[Row]:
    from playwright.sync_api import expect, sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import SiteServer, open_profile

    out = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        folder = Path(name)
        assert not pipeline.run(ROOT / "content", ROOT / "site_src", folder / "site").problems
        with SiteServer(folder / "site", "/repo/") as server:
            context = open_profile(driver, folder / "profile", chromium.find_or_install())
            page = context.new_page()
            page.goto(server.url)
            expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=60_000)
            assert page.evaluate(FILL, [server.url, sheets(), records()]) == ENTRIES
            server.stop()
            page.add_init_script(WATCH)
            devtools = context.new_cdp_session(page)
            devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})

            def once(path: str) -> tuple[float, float]:
                page.wait_for_timeout(1000)  # the page before is at rest
                page.goto(server.url + path)
                if path == BARE:
                    page.wait_for_timeout(300)
                else:
                    page.evaluate(STOOD)
                first = page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
                return first, page.evaluate("window.stood ?? 0")

            _, anew = once("")
            pages = {"": "Today", "due/": "what is due", "look-up/": "look-up"}
            for path in pages:
                once(path)  # from the second visit on, the first frame has what the list showed
            taken: dict[str, list[tuple[float, float]]] = {path: [] for path in (BARE, *pages)}
            for _ in range(TURNS):
                for path in pages:
                    taken[BARE].append(once(BARE))
                    taken[path].append(once(path))
            titles = {BARE: "the barest page, for comparison", **pages}
            for path, title in titles.items():
                budget = math.inf if path == BARE else BUDGET
                both = zip(("first paint", "its list painted"), zip(*taken[path], strict=True), strict=True)
                for what, times in both:
                    quiet, middle, _ = statistics.quantiles(times, n=4, method="inclusive")
                    if middle:
                        out.append(Row(f"{title}, {what}, quiet quarter (median {middle:.0f})", quiet, budget, "ms"))
            out.append(Row("Today after a change of the log, worked out anew", anew, math.inf, "ms"))
            context.close()
    return out


def main() -> int:
    found = rows()
    print(f"{ENTRIES} entries, {VEHICLES * UNITS} own units, no signal, CPU / {SLOWER}")
    print("\n".join(map(str, found)))
    return int(any(row.value > row.budget for row in found))


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main())
