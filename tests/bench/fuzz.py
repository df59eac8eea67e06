"""`python3 tests/bench/fuzz.py [files] [seed]`: spoil 10 000 files, each in its own way: half backups, half content.

A backup is taken in by the page in a real browser, content is built, one garage in fifty the whole real one. Counts
what was refused and what was taken in or built, by what was done, and every crash, half write and hang, and every
hostile text that stands as code, of which there must be none. The same spoiling runs in the suite, on fewer files.
"""

import shutil
import sys
import tempfile
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FILES, SEED = 10_000, 1000
BATCH = 100
REAL = 50  # every so many contents, the real one


def spoil_backups(folder: Path, count: int, seed: int) -> list[str]:
    """Take in spoilt backups, print what came of them, and return the faults."""
    from playwright.sync_api import sync_playwright

    import backups
    import chromium
    import stories
    from fillmark import pipeline
    from harness import SiteServer

    dist = folder / "site"
    outcome = pipeline.run(ROOT / "content", ROOT / "site_src", dist)
    assert not outcome.problems, "the content has problems: run `python3 build check`"
    kinds: Counter[str] = Counter()
    taken = 0
    faults: list[str] = []
    with sync_playwright() as driver, SiteServer(dist) as server:
        browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
        stories.VEHICLES.update(stories.derived(browser, server.url))
        stores = backups.sample(dist)
        page = browser.new_page(base_url=server.url)
        page.goto("404.html")
        page.evaluate(backups.TAKE_IN, backups.text(stores))
        for start in range(0, count, BATCH):
            spoilt = [backups.spoilt(stores, seed + n) for n in range(start, min(count, start + BATCH))]
            refused, accepted, wrong = backups.fuzz(page, spoilt)
            kinds.update(kind.split()[0] for kind, _ in refused)
            taken += len(accepted)
            faults += [f"backups {start} and on: {one}" for one in wrong]
        browser.close()
    print(f"{count} backups: {sum(kinds.values())} refused in words, {taken} taken in, {len(faults)} faults")
    print("refused, by what was done: " + ", ".join(f"{kind} {n}" for kind, n in kinds.most_common()), flush=True)
    return faults


def spoil_content(folder: Path, count: int, seed: int) -> list[str]:
    """Build spoilt content, print what came of it, and return the faults."""
    from small_garage import good_garage
    from spoil_builds import Spoiler

    (folder / "small").mkdir()
    (folder / "real").mkdir()
    small = Spoiler(good_garage(folder / "small"))
    real = Spoiler(Path(shutil.copytree(ROOT / "content", folder / "real/content",
                                        ignore=shutil.ignore_patterns(".*"))))
    for n in range(count):
        (small if n % REAL else real).build(seed + n)
    kinds = small.kinds + real.kinds
    faults = small.faults + real.faults
    came = Counter(dict.fromkeys(("refused", "built", "crashed"), 0))
    for (_, what), n in kinds.items():
        came[what] += n
    print(f"{count} contents: " + ", ".join(f"{n} {what}" for what, n in came.items()) + f", {len(faults)} faults")
    took, said = max(small.slowest, real.slowest)
    print(f"the slowest build took {took:.1f} s: {said}")
    print("refused and built, by what was done: " + ", ".join(
        f"{kind} {kinds[kind, 'refused']}/{kinds[kind, 'built']}" for kind in sorted({kind for kind, _ in kinds})))
    return faults


def main(arguments: list[str]) -> int:
    count = int(arguments[0]) if arguments else FILES
    seed = int(arguments[1]) if len(arguments) > 1 else SEED
    with tempfile.TemporaryDirectory() as name:
        faults = spoil_backups(Path(name), count // 2, seed)
        faults += spoil_content(Path(name), count - count // 2, seed)
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    sys.exit(main(sys.argv[1:]))
