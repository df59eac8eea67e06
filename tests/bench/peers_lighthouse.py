"""Lighthouse on one page of every template, as it tests phones: four scores each, and what lost a point."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

from peers_kit import MODULES, ROOT, node

CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
# Besides the first page of each template: a page filled for a unit, and a job begun.
BESIDES = {"card.html, filled": "cards/p01/?for=thornback/rear-axle", "job.html, to start":
           "job/?start=p01/thornback/rear-axle", "due.html, of a vehicle": "due/?vehicle=thornback"}


def addresses() -> dict[str, str]:
    """Return {template: the address of its first page}, prose pages each by itself, and those above."""
    from fillmark import load, validate
    from fillmark.render import pages

    site, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert site and not problems
    found: dict[str, str] = {}
    for path, template, _ in pages.pages(site):
        each = template in ("prose.html", "key.html")
        found.setdefault(f"{template}, {path.rstrip('/')}" if each else template, path)
    return found | BESIDES


def starter(folder: Path) -> Path:
    """Write a script that starts the browser with the switches of the tests, and return it."""
    import chromium

    script = folder / "chromium"
    script.write_text(f'#!/bin/sh\nexec {chromium.find_or_install()} {" ".join(chromium.FLAGS)} "$@"\n')
    script.chmod(0o755)
    return script


def asked(url: str, browser: Path) -> dict[str, tuple[float, list[str]]]:
    """Return {category: (score of 100, what lost points)} of one page."""
    said = subprocess.run(
        [node(), str(MODULES / "lighthouse" / "cli" / "index.js"), url, "--quiet", "--output=json",
         "--chrome-flags=--headless=new --no-sandbox", f"--only-categories={','.join(CATEGORIES)}"],
        env={**os.environ, "CHROME_PATH": str(browser)}, capture_output=True, text=True, check=True).stdout
    report = json.loads(said)
    assert not report.get("runtimeError"), report["runtimeError"]
    out = {}
    for name in CATEGORIES:
        one = report["categories"][name]
        lost = []
        for ref in one["auditRefs"] if one["score"] < 1 else ():
            audit = report["audits"][ref["id"]]
            if ref["weight"] and audit["score"] is not None and audit["score"] < (0.98 if name == "performance" else 1):
                where = [item["node"]["selector"] for item in audit.get("details", {}).get("items", [])
                         if isinstance(item, dict) and isinstance(item.get("node"), dict)]
                shown = audit.get("displayValue") or "; ".join(where[:3])
                lost.append(f"{ref['id']}" + (f" ({shown})" if shown else ""))
        out[name] = round(one["score"] * 100), lost
    return out


def lines(folder: Path) -> Iterator[str]:
    """Yield a line for each page, and a line for each audit that lost points."""
    from fillmark import pipeline
    from harness import SiteServer

    assert not pipeline.run(ROOT / "content", ROOT / "site_src", folder / "site").problems
    browser = starter(folder)
    yield f"{'Lighthouse, template':<38} " + " ".join(f"{name:>14}" for name in CATEGORIES)
    with SiteServer(folder / "site") as server:
        for template, path in addresses().items():
            got = asked(server.url + path, browser)
            yield f"{template:<38} " + " ".join(f"{score:>14}" for score, _ in got.values())
            yield from (f"    {name}: {audit}" for name, (_, lost) in got.items() for audit in lost)
