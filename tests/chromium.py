"""Finds the Chromium that the browser tests drive, and installs one if there is none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

# Chromium calls home for components, sync and safe-browsing lists: all off, so that a test sees only our own requests.
FLAGS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
    "--no-first-run",
]
NAMES = ("chromium", "chromium-browser", "google-chrome")


def find() -> str:
    """Return the path of a Chromium: FILLMARK_CHROMIUM, else one on the PATH, else Playwright's own, else ""."""
    named = os.environ.get("FILLMARK_CHROMIUM")
    if named:
        if not shutil.which(named):
            sys.exit(f"FILLMARK_CHROMIUM names {named}, which is not a program. Correct it or unset it.")
        return named
    for name in NAMES:
        found = shutil.which(name)
        if found:
            return found
    return _playwrights_own()


def _playwrights_own() -> str:
    # In a process of its own: the answer needs Playwright's driver, which does not like to start twice in one.
    code = "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip()
    return answer if answer and Path(answer).exists() else ""


def find_or_install() -> str:
    """Return the path of a Chromium, installing one if need be; end with one clear message if that fails."""
    found = find()
    if found:
        return found
    print("No Chromium found: installing Playwright's own.", flush=True)
    subprocess.run([sys.executable, "-m", "playwright", "install", "--with-deps", "chromium"])
    found = find()
    if not found and shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        print("That did not work: installing the system's chromium.", flush=True)
        subprocess.run(["apt-get", "update", "-q"])
        subprocess.run(["apt-get", "install", "-q", "-y", "--no-install-recommends", "chromium"])
        found = find()
    if not found:
        sys.exit("The tests need a Chromium. Install one (Debian: apt-get install chromium), "
                 "or name one in the variable FILLMARK_CHROMIUM.")
    return found
