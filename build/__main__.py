"""The door of the build: `python3 build [serve | check | schema | new …]`, from any folder, on a bare Python 3.11+.

Running a folder puts it first on Python's path, so `fillmark` is found without being installed.
"""

import sys
from pathlib import Path

from fillmark import door

if __name__ == "__main__":
    door.enter(Path(__file__).resolve().parent, extra="phone" if "--phone" in sys.argv else "")
    from fillmark import cli  # needs the dependencies, which are there from here on

    sys.exit(cli.main(sys.argv[1:]))
