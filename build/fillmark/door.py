"""What both doors, `python3 build` and `python3 tests`, do first: see that the dependencies are there.

Standard library only, since it runs on a bare Python. If a requirement of pyproject.toml is not met by the
running Python, it makes `.venv`, installs them all into it, in the versions of build/constraints.txt, and runs the same
command again in there.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Sequence
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
CONSTRAINTS = ROOT / "build" / "constraints.txt"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def requirements(pyproject: str, extra: str = "") -> list[str]:
    """Return the requirement lines of pyproject.toml's text: the dependencies, and those of one extra."""
    import tomllib  # new in Python 3.11: imported late, so that an older Python reaches the message about itself

    project = tomllib.loads(pyproject)["project"]
    return list(project["dependencies"]) + list(project["optional-dependencies"][extra] if extra else ())


def version(text: str) -> tuple[int, ...]:
    """Return (2, 11) for "2.11", "2.11.0" and "2.11rc1": enough to compare with `>=` and `<`."""
    numbers = [int(part) for part in re.findall(r"\d+", re.split(r"[a-z+]", text)[0])]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return tuple(numbers)


def unmet(needs: Sequence[str]) -> list[str]:
    """Return those requirements that the running Python does not meet."""
    return [need for need in needs if not _met(need)]


def _met(need: str) -> bool:
    match = re.match(r"[A-Za-z0-9._-]+", need)
    assert match, f"not a requirement: {need}"
    try:
        have = version(metadata.version(match[0]))
    except metadata.PackageNotFoundError:
        return False
    clauses = re.findall(r"(>=|<)\s*([0-9.]+)", need)
    return all(have >= version(bound) if sign == ">=" else have < version(bound) for sign, bound in clauses)


def enter(folder: Path, extra: str = "") -> None:
    """Return if this Python meets every requirement; else run `folder` again in a `.venv` that does.

    Ends the process with one clear message where that is not possible.
    """
    if sys.version_info < (3, 11):  # noqa: UP036 - this is the line that says so
        sys.exit(f"Fillmark needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    pyproject = (ROOT / "pyproject.toml").read_text("utf-8")
    wanted = requirements(pyproject, extra)
    missing = unmet(wanted)
    if not missing:
        return
    if Path(sys.prefix).resolve() == VENV.resolve():
        _install(wanted, missing)
        if os.environ.get("FILLMARK_DOOR") == _digest(pyproject):
            sys.exit(f"Installed, and still missing: {', '.join(missing)}. Remove .venv and try again.")
        os.environ["FILLMARK_DOOR"] = _digest(pyproject)
    elif not PYTHON.exists():
        _make_venv()
    command = [str(PYTHON), str(folder), *sys.argv[1:]]
    if os.name == "nt":  # exec on Windows returns to the shell at once and loses the exit code
        sys.exit(subprocess.call(command))
    sys.stdout.flush()
    os.execv(command[0], command)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _make_venv() -> None:
    print("First run: making .venv for Fillmark's dependencies.", flush=True)
    whole = [sys.executable, "-m", "venv", str(VENV)]
    # Some systems ship venv without the pip that goes into it; the outer pip can then fill the .venv.
    for command in (whole, [*whole, "--without-pip", "--clear"]):
        if subprocess.run(command, capture_output=True).returncode == 0 and PYTHON.exists():
            return
    shutil.rmtree(VENV, ignore_errors=True)
    sys.exit("Cannot make .venv. Install Python's venv module (Debian: apt-get install python3-venv), then try again.")


def _install(wanted: Sequence[str], missing: Sequence[str]) -> None:
    print(f"Installing into .venv: {', '.join(missing)}", flush=True)
    pip = [str(PYTHON), "-m", "pip"]
    if subprocess.run([*pip, "--version"], capture_output=True).returncode:
        base = Path(sys.base_prefix) / ("python.exe" if os.name == "nt" else "bin/python3")
        pip = [str(base), "-m", "pip", "--python", str(PYTHON)]
    command = [*pip, "install", "--quiet", "--disable-pip-version-check", "--constraint", str(CONSTRAINTS), *wanted]
    if subprocess.run(command, cwd=ROOT).returncode:
        sys.exit("Installing failed; pip says why above. It needs the network once; then try again.")
