"""A garage of any size for the benches: the content as it is, and invented vehicles, the same ones each time."""

from __future__ import annotations

import random
import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
MAKERS = [first + last for first in ("Ard", "Bran", "Cor", "Dun", "Hol", "Kel", "Mor", "Pel", "Sel", "Tar")
          for last in ("moor", "lister", "wick", "field", "combe", "thorpe", "holm", "brick")]
SHORTS = [first + last for first in ("Bracken", "Cobble", "Flint", "Gorse", "Heather", "Marl", "Peat", "Slate",
                                     "Sedge", "Tarn")
          for last in ("back", "foot", "gate", "hatch", "ridge", "shank", "stone", "wall")]


def grow(folder: Path, vehicles: int) -> Path:
    """Copy the content into `folder` with so many vehicles more, and return it. One vehicle is one page more."""
    shutil.copytree(ROOT / "content", folder)
    patterns = [path.read_text("utf-8") for path in sorted((ROOT / "content" / "vehicles").glob("*.yaml"))]
    for number in range(vehicles):
        (folder / "vehicles" / f"made-{number:05}.yaml").write_text(vehicle(patterns, number), "utf-8")
    return folder


def vehicle(patterns: list[str], number: int) -> str:
    """Return the sheet of an invented vehicle: the units of one of the patterns, with fills and names of its own."""
    dice = random.Random(number)
    share, short = dice.uniform(0.85, 1.15), f"{dice.choice(SHORTS)} {number}"
    text = patterns[number % len(patterns)]
    text = re.sub(r"^name: .*$", f"name: {dice.choice(MAKERS)} {short}", text, flags=re.M)
    text = re.sub(r"^short: .*$", f"short: {short}", text, flags=re.M)
    text = re.sub(r"^( +code: )[A-Z]+-", rf"\1V{number}-", text, flags=re.M)
    return re.sub(r"(\d+\.\d+) L\b", lambda match: f"{float(match[1]) * share:.2f} L", text)
