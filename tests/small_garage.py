"""A small garage without a problem, which tests change a little at a time."""

from __future__ import annotations

import shutil
from pathlib import Path

from harness import ROOT

BASE = ROOT / "tests/errors/base"
# It stands on the real units, sources and torque ceiling, so that they are not written twice.
BORROWED = ("units.txt", "sources.yaml", "calculators/torque-ceiling.yaml")


def good_garage(folder: Path) -> Path:
    """Copy the small garage into `folder` and return its content folder."""
    content = folder / "content"
    shutil.copytree(BASE, content)
    for name in BORROWED:
        (content / name).parent.mkdir(exist_ok=True)
        shutil.copy(ROOT / "content" / name, content / name)
    return content
