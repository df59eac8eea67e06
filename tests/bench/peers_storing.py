"""Storing the whole site for no signal over a line that takes 100 ms a request: our worker beside Workbox's.

Both store the same files for the same pages: only `sw.js` is another. Theirs is made by generateSW over the same
folder. Timed in Chromium with a new profile, from the navigation until as many files lie in the caches as either lists.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from peers_kit import CACHE, ROOT, Ratio, interleaved, node

DELAY, ROUNDS = 0.1, 5
MAKE = """const { generateSW } = require('workbox-build')
generateSW({
  globDirectory: process.argv[2], globPatterns: ['**/*'], globIgnores: ['sw.js', '_*'], swDest: process.argv[3],
  mode: 'production', inlineWorkboxRuntime: true, sourcemap: false, maximumFileSizeToCacheInBytes: 1e8,
}).then((made) => console.log(JSON.stringify({ count: made.count, warnings: made.warnings })))"""
KEPT = """async () => {
  let count = 0
  for (const name of await caches.keys()) count += (await (await caches.open(name)).keys()).length
  return count
}"""


def beside(site: Path, folder: Path) -> int:
    """Copy the site with Workbox's worker in place of ours; return how many files that stores."""
    shutil.copytree(site, folder)
    script = CACHE / "workbox.cjs"
    script.write_text(MAKE)
    said = subprocess.check_output([node(), str(script), str(folder), str(folder / "sw.js")], text=True)
    made = json.loads(said)
    assert not made["warnings"], made["warnings"]
    return int(made["count"])


def stored(driver: Any, site: Path, files: int) -> float:
    """Return the seconds until all files are in the caches, on a new profile."""
    import chromium
    from harness import SiteServer, open_profile

    with tempfile.TemporaryDirectory() as profile, SiteServer(site, "/repo/") as server:
        server.delay = DELAY
        context = open_profile(driver, Path(profile), chromium.find_or_install())
        page = context.new_page()
        start = time.perf_counter()
        page.goto(server.url, wait_until="commit")
        while (held := page.evaluate(KEPT)) < files:
            assert time.perf_counter() - start < 300, f"{held} of {files} files after five minutes"
            page.wait_for_timeout(50)
        taken = time.perf_counter() - start
        context.close()
    return taken


def rows(folder: Path) -> Iterator[Ratio]:
    from playwright.sync_api import sync_playwright

    from fillmark import pipeline

    files = pipeline.run(ROOT / "content", ROOT / "site_src", folder / "ours").files
    listed = re.search(rb"^const FILES = (.*);$", files["sw.js"], re.M)
    assert listed
    ours, theirs = len(json.loads(listed[1])), beside(folder / "ours", folder / "workbox")
    assert ours == theirs, f"we store {ours} files, Workbox {theirs}"
    with sync_playwright() as driver:
        took = interleaved({"ours": partial(stored, driver, folder / "ours", ours),
                            "workbox": partial(stored, driver, folder / "workbox", theirs)}, ROUNDS)
    yield Ratio(f"{ours} files stored, {DELAY * 1000:.0f} ms a request", took["ours"], "Workbox", took["workbox"], "s")
