"""`python3 tests/bench/day.py`: how long a day of four jobs takes to plan, the processor slowed down fourfold.

Every four of the cards that are raised, the longest ones first, on one vehicle and on four, alone and with two pairs of
hands. The first plan of a page, before its code is warm, is what a user meets: it is taken in a page of its own each
time. Beside it how far from the bound the plans are.
"""

import json
import math
import sys
import tempfile
from itertools import combinations
from pathlib import Path

from row import Row

ROOT = Path(__file__).resolve().parents[2]
BUDGET, SLOWER = 200.0, 4
CARDS = ("p01", "p02", "p04", "p06", "p07", "p15")
PLAN = """async ([jobs, pairs]) => {
  const { day } = await import(new URL('../js/lib/plan/day.js', location.href))
  const at = performance.now()
  const found = day(jobs, pairs)
  return { took: performance.now() - at, end: found.end, bound: found.bound, proven: found.proven }
}"""


def main() -> int:
    from playwright.sync_api import sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import SiteServer

    took: list[float] = []
    gaps: list[float] = []
    proven = 0
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        dist = Path(name) / "site"
        assert not pipeline.run(ROOT / "content", ROOT / "site_src", dist).problems
        cards = {no: json.loads((dist / f"data/cards/{no}.json").read_text("utf-8")) for no in CARDS}
        browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
        with SiteServer(dist) as server:
            for four in combinations(CARDS, 4):
                for apart in (False, True):
                    for pairs in (1, 2):
                        jobs = [{"id": no, "vehicle": no if apart else "v", "card": cards[no], "label": {},
                                 "option": next(iter((cards[no]["choice"] or {"options": {}})["options"]), "")}
                                for no in four]
                        page = browser.new_page(base_url=server.url, service_workers="block")
                        page.goto("about/")
                        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
                        found = page.evaluate(PLAN, [jobs, pairs])
                        page.close()
                        took.append(found["took"])
                        gaps.append((found["end"] - found["bound"]) / found["end"] * 100)
                        proven += found["proven"]
        browser.close()
    took.sort()
    rows = [
        Row("a day of four jobs, the longest", took[-1], BUDGET, "ms"),
        Row("  the median", took[len(took) // 2], math.inf, "ms"),
        Row("  over the bound, at most", max(gaps), math.inf, "%"),
        Row("  proved the shortest, of all", proven / len(took) * 100, math.inf, "%"),
    ]
    print(f"{len(took)} days of four jobs, CPU / {SLOWER}")
    for row in rows:
        print(row)
    return int(any(row.value > row.budget for row in rows))


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main())
