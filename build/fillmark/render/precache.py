"""The service worker's list: every file of the site with its SHA-256, and a version that is the hash of it all.

Why the core comes first: on a poor line one failed request must not cost the whole first install, so a first
install lives or dies with the core alone and the page asks for the rest afterwards, file by file. An update is
the other way round: the old version works, so the new one is stored whole or not at all.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re

PARTS = ("js/sw.js", "js/sw-tabs.js")  # joined in this order
OFF = "js/off.js"  # stands in for them where the site is switched off
WORKER = "sw.js"

HIDDEN = ("_", ".")  # files that begin so are for hosts, which may not give them out

CHOICE = "data/choice.json"  # it is there where vehicles are chosen
VEHICLE = re.compile(r"(data/)?vehicles/[^/]+(/|\.json)$")

# What a first visit must store: all styles and scripts, the five places, and the page for what is not there.
CORE_FOLDERS = ("css/", "js/")
CORE_PATHS = ("", "cards/", "look-up/", "work-out/", "log/", "404.html", "manifest.webmanifest")


def address(path: str) -> str:
    """Return the canonical address of an output file: "cards/p01/" for "cards/p01/index.html"."""
    return path.removesuffix("index.html") if path == "index.html" or path.endswith("/index.html") else path


def is_core(path: str) -> bool:
    """Say if an address belongs to what a first install must store."""
    return path.startswith(CORE_FOLDERS) or path in CORE_PATHS


def is_one_vehicle(path: str) -> bool:
    """Say if an address is a vehicle's page or data, which only those keep who choose it, where there are many."""
    return VEHICLE.match(path) is not None


def listing(files: dict[str, bytes]) -> list[tuple[str, str, int]]:
    """Return (address, SHA-256 in base64, size in bytes) for every file that phones keep, the core first, then what
    everybody keeps, the files of single vehicles last."""
    rows = [
        (address(path), base64.b64encode(hashlib.sha256(body).digest()).decode(), len(body))
        for path, body in files.items()
        if path != WORKER and not path.startswith(HIDDEN)
    ]
    return sorted(rows, key=lambda row: (not is_core(row[0]), is_one_vehicle(row[0]), row[0]))


def files(site: dict[str, bytes], assets: dict[str, bytes], *, switched_off: bool = False) -> dict[str, bytes]:
    """Return {"sw.js": bytes}: the worker of `site_src/js/` with the list of all files in `site` put in, or, where the
    site is switched off, the one that takes the files off the phone and itself away."""
    if switched_off:
        return {WORKER: assets[OFF]}
    rows = listing(site)
    worker = "\n".join(assets[part].decode() for part in PARTS)
    worker = _fill(worker, "FILES", json.dumps(rows, separators=(",", ":")))
    worker = _fill(worker, "CORE", str(sum(is_core(path) for path, _, _ in rows)))
    chosen = CHOICE in site
    worker = _fill(worker, "COMMON", str(sum(not (chosen and is_one_vehicle(path)) for path, _, _ in rows)))
    version = hashlib.sha256(worker.encode()).hexdigest()[:16]
    return {WORKER: _fill(worker, "VERSION", f"'{version}'").encode()}


def _fill(text: str, name: str, value: str) -> str:
    """Return `text` with the value of the constant `name` replaced; ValueError unless it stands there once."""
    filled, count = re.subn(rf"^const {name} = [^;]*;", lambda _: f"const {name} = {value};", text, flags=re.M)
    if count != 1:
        raise ValueError(f"site_src/{PARTS[0]}: `const {name} = …;` must stand once, and stands {count} times")
    return filled
