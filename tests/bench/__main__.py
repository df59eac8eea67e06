"""`python3 tests/bench`: what the site costs, measured against its budgets, and printed as a ratio.

Read the ratios rather than the milliseconds: a machine differs from a phone. The processor is slowed down
fourfold for what happens on the page. Ends non-zero if a budget is broken.
"""

import gzip
import math
import posixpath
import random
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from row import Row

ROOT = Path(__file__).resolve().parents[2]
KEPT = """async () => {
  let total = 0
  for (const name of await caches.keys()) {
    const cache = await caches.open(name)
    for (const key of await cache.keys()) total += (await (await cache.match(key)).arrayBuffer()).byteLength
  }
  return total
}"""
# A build in a process of its own, which remembers nothing of one before.
ALONE = """import sys; from pathlib import Path; sys.path[0] = sys.argv[1]; from fillmark import pipeline
assert not pipeline.run(*map(Path, sys.argv[2:])).problems"""
CARD = "cards/p01/?for=thornback/rear-axle"
BARE = "log/"  # a few lines through the same worker: what this machine and browser take before a page's own work
ROWS = 10_000
SLOWER = 4
# Tap, and tell in ms when the frame stood that shows the thing as done, and when the page knew that it is stored.
TAP = """name => new Promise((resolve) => {
  const state = document.querySelector('.saved'), taken = {}
  const told = () => taken.painted && taken.stored && resolve(taken)
  const before = Number(state.dataset.kept)
  const start = performance.now()
  new MutationObserver((_, watcher) => {
    if (Number(state.dataset.kept) <= before) return
    taken.stored = performance.now() - start
    watcher.disconnect()
    told()
  }).observe(state, { attributes: true })
  const button = document.querySelector(name), step = button.closest('[data-step]')
  const shown = () => step ? step.classList.contains('done') : button.getAttribute('aria-pressed') === 'true'
  new MutationObserver((_, watcher) => {
    if (!shown()) return
    watcher.disconnect()
    requestAnimationFrame(() => setTimeout(() => { taken.painted = performance.now() - start; told() }))
  }).observe(document.querySelector('.steps'), { attributes: true, subtree: true })
  button.click()
})"""


def packed(bodies: list[bytes]) -> float:
    """Return kB after gzip, each file by itself, as a host sends them."""
    return sum(len(gzip.compress(body, 9)) for body in bodies) / 1000


def sizes(files: dict[str, bytes]) -> list[Row]:
    def ending(suffix: str) -> list[bytes]:
        return [body for path, body in files.items() if path.endswith(suffix)]

    card = files[CARD.partition("?")[0] + "index.html"]
    scripts = {path: body for path, body in files.items() if path.startswith("js/")}
    heaviest = max((loaded(scripts, path), path) for path in scripts if path.startswith("js/ui/"))
    stored = {path: body for path, body in files.items() if path != "sw.js"}
    return [
        Row("job card, HTML gz", packed([card]), 14, "kB"),
        Row("stylesheet gz", packed(ending(".css")), 8, "kB"),
        Row(f"scripts of the heaviest page gz, {heaviest[1].rpartition('/')[2]}", heaviest[0], 40, "kB"),
        Row("  for comparison: all scripts of all pages gz", packed(list(scripts.values())), math.inf, "kB"),
        Row("first visit of a card, with CSS and its scripts gz",
            packed([card, *ending(".css")]) + loaded(scripts, "js/ui/card.js", "js/ui/diagram.js"), 60, "kB"),
        Row("  for comparison: all files, as they are", sum(map(len, stored.values())) / 1000, math.inf, "kB"),
        Row("  in so many requests", len(stored), math.inf, ""),
    ]


def loaded(scripts: dict[str, bytes], *modules: str) -> float:
    """Return kB after gzip of all that a page with these modules loads before it is asked for more."""
    todo, found = ["js/store/early.js", "js/main.js", "js/ui/offline.js", *modules], set[str]()
    while todo:
        path = todo.pop()
        if path in found:
            continue
        found.add(path)
        named = re.findall(rb"""(?:\bfrom|\bimport) ?["'](\.[^"']+)["']""", scripts[path])
        todo += [posixpath.normpath(posixpath.join(posixpath.dirname(path), name.decode())) for name in named]
    return packed([scripts[path] for path in sorted(found)])


def best(work: Callable[[], object], times: int = 3) -> float:
    """Return the shortest of some runs in seconds: the others were disturbed."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def builds(folder: Path) -> list[Row]:
    from fillmark import pipeline

    content = folder / "content"
    shutil.copytree(ROOT / "content", content)

    def build() -> None:
        outcome = pipeline.run(content, ROOT / "site_src", folder / "dist")
        assert not outcome.problems

    def edit() -> None:
        for name in ("pages/about.md", "calculators/viscosity.yaml", "cards/axles/axle-oil-cover.yaml"):
            with (content / name).open("a") as file:
                file.write("\n# One more line.\n")
        build()

    def anew() -> None:
        subprocess.run([sys.executable, "-c", ALONE, str(ROOT / "build"), str(content), str(ROOT / "site_src"),
                        str(folder / "dist")], check=True)

    build()
    return [
        Row("whole build, Python's start included", best(anew) * 1000, 5000, "ms"),
        Row("edit to page, without the watcher's 50 ms", best(edit) * 1000, 1000, "ms"),
    ]


def on_the_page(dist: Path, folder: Path) -> list[Row]:
    from playwright.sync_api import expect, sync_playwright

    import chromium
    from harness import SiteServer, open_profile

    with sync_playwright() as driver, SiteServer(dist, "/repo/") as server:
        context = open_profile(driver, folder / "profile", chromium.find_or_install())
        page = context.new_page()
        start = time.perf_counter()
        page.goto(server.url)
        state = page.locator("[data-module=offline]")
        expect(state).to_have_text("Ready for no signal", timeout=60_000)
        ready = time.perf_counter() - start
        kept = page.evaluate(KEPT)
        server.stop()

        devtools = context.new_cdp_session(page)
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        floor, paints = [], []
        for _ in range(15):
            for path, taken in ((BARE, floor), (CARD, paints)):
                page.goto(server.url + path)
                page.wait_for_timeout(300)
                taken.append(page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime"))

        hands = ("tick='1'", "tick='2'", "tick='3'", "hold='1'", "tick='4'", "tick='5'", "hold='2'")
        taps = []
        for _ in range(3):
            page.goto(f"{server.url}job/?start={'p01/' + CARD.partition('=')[2]}")
            page.locator("#f-begin-odometer").fill("112410")
            page.locator("input[name=choice][value=gasket]").check()
            page.get_by_role("button", name="Start the job").click()
            expect(page.locator(".saved")).to_have_text(re.compile("^Saved"))
            page.wait_for_timeout(1000)
            taps.append([page.evaluate(TAP, f"[data-{what}]") for what in hands])
        painted, stored = (
            max(statistics.median(tap[name] for tap in same) for same in zip(*taps, strict=True))
            for name in ("painted", "stored"))

        devtools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        dice = random.Random(1)
        makers = [f"{a}{b}" for a in ("Ard", "Pel", "Cor", "Bran", "Hol") for b in ("moor", "lister", "wick", "field")]
        units = ("rear axle", "front axle", "transfer case", "gearbox", "engine", "wheels")
        texts = [f"{dice.choice(makers)} {dice.choice(makers)} {dice.choice(units)} {dice.randint(70, 99)}W-{number}"
                 for number in range(ROWS)]
        page.goto(server.url + "look-up/")
        keys = page.evaluate(
            "texts => import('../js/lib/lookup.js').then(({index, search}) => { const table = index(texts);"
            " const query = 'ardmoor rear axle', taken = [];"
            " for (let turn = 0; turn < 3; turn += 1) for (let end = 1; end <= query.length; end += 1) {"
            "  const start = performance.now(); search(table, query.slice(0, end));"
            "  taken.push(performance.now() - start) } return taken })", texts)
        context.close()
    return [
        Row("kept for no signal, as it lies on the phone", kept / 1000, 1500, "kB"),
        Row("first visit until ready for no signal", ready * 1000, 5000, "ms"),
        Row(f"  for comparison: the barest page, CPU / {SLOWER}", statistics.median(floor), math.inf, "ms"),
        Row(f"card without signal, first paint, CPU / {SLOWER}", statistics.median(paints), 150, "ms"),
        Row(f"tap on a job to painted, slowest of {len(hands)}, CPU / {SLOWER}", painted, 100, "ms"),
        Row(f"tap on a job to stored, slowest of {len(hands)}, CPU / {SLOWER}", stored, 100, "ms"),
        Row(f"look-up, one key, {ROWS} rows, median", statistics.median(keys), 10, "ms"),
        Row(f"look-up, one key, {ROWS} rows, slowest", max(keys), 100, "ms"),
    ]


def main() -> int:
    from fillmark import pipeline

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        outcome = pipeline.run(ROOT / "content", ROOT / "site_src", folder / "site")
        assert not outcome.problems, "the content has problems: run `python3 build check`"
        rows = sizes(outcome.files) + builds(folder) + on_the_page(folder / "site", folder)
    print("\n".join(map(str, rows)))
    return int(any(row.value > row.budget for row in rows))


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(ROOT / "tests" / "bench", extra="test")
    sys.exit(main())
