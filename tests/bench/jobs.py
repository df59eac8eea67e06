"""`python3 tests/bench/jobs.py [P07 ...]`: every card worked as a job in the browser, from the start form to the log.

The worker knows nothing of the card: it reads what can be read, ticks what can be ticked, presses every hold and lets
time pass where nothing else is left. A card that cannot be signed off so has a hold or a step that nobody gets past.
With `--shots FOLDER` each job is photographed half-way and at its end.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jobs import Worker

ROOT = Path(__file__).resolve().parents[2]
# What a sound vehicle on a fair day reads; everything else that is an amount reads 5 of its unit.
USUAL = {"air-temp": "15", "humidity": "50", "metal-temp": "15", "odometer": "", "cloths-in": "6", "cloths-out": "6"}
# What stands open on the page at this moment.
LOOK = """() => {
  const seen = (selector) => [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility())
  const named = (selector, words) => seen(selector).filter((one) => words.test(one.textContent))
    .map((one) => one.closest('[data-step]').dataset.step)
  const empty = (one) => ['input', 'textarea', 'select:not(.unit)'].some((tag) => {
    const box = one.querySelector(tag)
    return box && !box.disabled && !box.value
  })
  return {
    fields: seen('[data-field]').filter(empty).map((one) => one.dataset.field),
    ticks: seen('.step:not(.done) [data-tick]').filter((one) => !one.disabled).map((one) => one.dataset.tick),
    holds: seen('button[data-hold][aria-pressed=false]').map((one) => one.dataset.hold),
    tight: named('[data-step] .tight button', /^(Clicked|Whole)/),
    over: named('[data-step] .clock button', /is over: go on/),
    left: document.querySelectorAll('.step:not(.done)').length,
    why: seen('.why').map((one) => one.textContent.trim()).filter(Boolean),
  }
}"""


def units_of(dist: Path) -> dict[str, str]:
    """Return for each card the unit that has the most of its numbers, as `thornback/rear-axle`."""
    found = {}
    for page in sorted(dist.glob("cards/*/index.html")):
        offered = re.findall(r'href="\?for=([^"]+)"', page.read_text("utf-8"))
        if offered:
            found[page.parent.name] = offered[0]
    return found


def answer(field: dict[str, Any], slots: dict[str, Any]) -> str:
    """Return what is read: the first word that does not say stop, the refill for litres, a number or a word."""
    if field["kind"] == "pick":
        return str(next(one["word"] for one in field["options"] if not one["stop"]))
    if field["id"] in USUAL:
        return USUAL[field["id"]]
    if field["id"] in ("volume-in", "volume-out"):
        return re.sub(r"[^0-9.].*", "", str(slots.get("fill.refill", {}).get("main", "")).lstrip()) or "2"
    return "seen" if field["kind"] == "text" else "5"


def work(worker: Worker, card: dict[str, Any], where: str, shots: Path | None) -> str:
    """Work one card; return "" or where it stuck."""
    page, no = worker.page, card["no"].lower()
    option = next(iter((card["choice"] or {"options": {}})["options"]), "")
    page.goto(f"job/?start={no}/{where}")
    known = page.locator("label[for=f-begin-odometer]").inner_text()  # Odometer now, last known 112 380 mi on …
    ways = {step["no"]: step["ways"].get(option, step["ways"].get("", {})) for step in card["steps"]}
    labels = {number: "50" for number, one in ways.items() if one.get("label")}
    worker.begin(f"{no}/{where}", re.sub(r"\D", "", known.partition(" on ")[0]), option, labels)
    fields = {one["id"]: one for one in card["record"]}
    slots = worker.events()[0]["data"]["copy"]["unit"]["slots"]
    idle, half = 0, False
    while True:
        now = page.evaluate(LOOK)
        if not now["left"] and page.get_by_role("button", name="Sign off").is_enabled():
            break
        if shots and not half and now["left"] < len(card["steps"]) / 2:
            half = True
            page.screenshot(path=shots / f"{card['no']}-half.png")
        moved = False
        for name in now["fields"]:
            value = answer(fields[name], slots) if name in fields else ""
            if value:
                worker.read(name, value)
                moved = True
        for number in now["over"]:
            worker.opened(int(number))
            moved = True
        for number in dict.fromkeys(now["tight"]):
            worker.whole(int(number))
            moved = True
        for number in now["holds"]:
            bar = page.locator(f"button[data-hold='{number}']")
            bar.click()
            page.wait_for_timeout(60)
            moved = moved or bar.get_attribute("aria-pressed") == "true"
        for number in page.evaluate(LOOK)["ticks"][:1]:
            worker.done(int(number))
            moved = True
        idle = 0 if moved else idle + 1
        if idle > 60:
            return "; ".join(now["why"]) or "nothing open, nothing said"
        if not moved:
            page.clock.fast_forward(30 * 60_000)
    if shots:
        page.screenshot(path=shots / f"{card['no']}-end.png", full_page=True)
    page.get_by_role("button", name="Sign off").click()
    page.locator(".signed").wait_for()
    worker.saved()
    return ""


def main() -> int:
    from playwright.sync_api import Error, sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import LONDON, SiteServer, watch
    from jobs import Worker

    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("cards", nargs="*", type=str.lower)
    asked.add_argument("--shots", type=Path)
    given = asked.parse_args()
    if given.shots:
        given.shots.mkdir(parents=True, exist_ok=True)
    stuck = 0
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        dist = Path(name) / "site"
        assert not pipeline.run(ROOT / "content", ROOT / "site_src", dist).problems
        browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
        with SiteServer(dist) as server:
            for no, where in units_of(dist).items():
                if given.cards and no not in given.cards:
                    continue
                card = json.loads((dist / f"data/cards/{no}.json").read_text("utf-8"))
                context = browser.new_context(base_url=server.url, service_workers="block", **LONDON)
                context.set_default_timeout(10_000)
                context.clock.install()
                page = context.new_page()
                faults = watch(page, server.origin)
                try:
                    said = work(Worker(page), card, where, given.shots)
                except (AssertionError, Error) as problem:
                    said = f"{type(problem).__name__}: {str(problem)[:400]}"
                events = len(json.loads(page.evaluate("""() => import(new URL('../js/store.js', location.href).href)
                    .then(async (store) => JSON.stringify(await store.log()))""")))
                stuck += bool(said or faults or events != 1)
                ended = " ".join([said or "signed off", *faults])
                print(f"{card['no']} {where}: {ended}, {events} in the log", flush=True)
                context.close()
        browser.close()
    return int(stuck > 0)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main())
