"""`python3 tests/bench/peers.py`: ours beside general-purpose tools, side by side in one run, printed as ratios.

Builds of 500 and 5 000 pages and one edit to its page; storing the site for no signal over a line with 100 ms; the
look-up with 500 and 10 000 rows; Lighthouse on every template. `--only builds|storing|lookup|lighthouse` runs one part.
The other tools are installed into .cache/peers. Run it on a quiet machine: ratios hold there, milliseconds nowhere.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("storing", "lookup", "builds", "lighthouse")


def main(only: list[str]) -> int:
    import peers_builds
    import peers_kit
    import peers_lighthouse
    import peers_lookup
    import peers_storing

    peers_kit.install()
    print(peers_kit.versions(), flush=True)
    print(peers_kit.HEAD, flush=True)
    over = False
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for part, rows in (("storing", peers_storing.rows), ("lookup", peers_lookup.rows),
                           ("builds", peers_builds.rows), ("lighthouse", peers_lighthouse.lines)):
            if part not in only:
                continue
            for row in rows(folder / part):
                print(row, flush=True)
                over |= getattr(row, "over", False)
    return int(over)


if __name__ == "__main__":
    sys.path[:0] = [str(ROOT / "build"), str(ROOT / "tests")]
    from fillmark import door

    door.enter(Path(__file__).resolve(), extra="test")
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=PARTS, action="append")
    sys.exit(main(parser.parse_args().only or list(PARTS)))
