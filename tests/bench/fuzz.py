"""`python3 tests/bench/fuzz.py [files] [seed]`: spoil 2 000 backups, each in its own way, and take them in.

Counts what was refused and in which words, what was taken in, and every crash or half write, of which there must be
none. The same spoiling runs in the suite, on 100 files.
"""

import sys
import tempfile
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FILES = 2000
BATCH = 100


def main(arguments: list[str]) -> int:
    from playwright.sync_api import sync_playwright

    import backups
    import chromium
    import stories
    from fillmark import pipeline
    from harness import SiteServer

    count = int(arguments[0]) if arguments else FILES
    seed = int(arguments[1]) if len(arguments) > 1 else 1000
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        dist = Path(name) / "site"
        outcome = pipeline.run(ROOT / "content", ROOT / "site_src", dist)
        assert not outcome.problems, "the content has problems: run `python3 build check`"
        with SiteServer(dist) as server:
            browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
            stories.VEHICLES.update(stories.derived(browser, server.url))
            stores = backups.sample(dist)
            page = browser.new_page(base_url=server.url)
            page.goto("404.html")
            page.evaluate(backups.TAKE_IN, backups.text(stores))
            kinds: Counter[str] = Counter()
            taken = 0
            faults: list[str] = []
            for start in range(0, count, BATCH):
                spoilt = [backups.spoilt(stores, seed + n) for n in range(start, min(count, start + BATCH))]
                refused, accepted, wrong = backups.fuzz(page, spoilt)
                kinds.update(kind.split()[0] for kind, _ in refused)
                taken += len(accepted)
                faults += [f"files {start} and on: {one}" for one in wrong]
            browser.close()
    print(f"{count} files: {sum(kinds.values())} refused in words, {taken} taken in, {len(faults)} faults")
    print("refused, by what was done: " + ", ".join(f"{kind} {n}" for kind, n in kinds.most_common()))
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main(sys.argv[1:]))
