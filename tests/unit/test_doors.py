"""The doors work on a bare Python, from any folder, and say clearly what stops them."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import zipfile
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import chromium
from fillmark import door
from harness import ROOT

# A project around the real door.
PYPROJECT = """
[project]
name = "toy"
version = "1"
dependencies = ["gauge-glass>=1.2"]
"""
PIN = re.compile(r"[a-z0-9-]+==[0-9][0-9.]*")
CLI = """
import gauge_glass, sys
def main(arguments):
    print("inside", sys.prefix, gauge_glass.MARK, *arguments)
    return 3
"""


@pytest.fixture
def toy(tmp_path: Path) -> Path:
    """A folder with the real door of the build, and one dependency that no machine has."""
    project = tmp_path / "toy"
    (project / "build" / "fillmark").mkdir(parents=True)
    for name in ("__main__.py", "fillmark/__init__.py", "fillmark/door.py"):
        shutil.copy(ROOT / "build" / name, project / "build" / name)
    (project / "build" / "fillmark" / "cli.py").write_text(CLI)
    (project / "pyproject.toml").write_text(PYPROJECT)
    (project / "build" / "constraints.txt").write_text("gauge-glass==1.3\n")
    return project


def wheel(folder: Path, version: str) -> None:
    """Write the wheel of the toy's dependency into `folder`."""
    folder.mkdir(exist_ok=True)
    info = f"gauge_glass-{version}.dist-info/"
    with zipfile.ZipFile(folder / f"gauge_glass-{version}-py3-none-any.whl", "w") as archive:
        archive.writestr("gauge_glass.py", f"MARK = 'glass {version}'\n")
        archive.writestr(info + "METADATA", f"Metadata-Version: 2.1\nName: gauge-glass\nVersion: {version}\n")
        archive.writestr(info + "WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        archive.writestr(info + "RECORD", "")


def knock(project: Path, *arguments: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run the toy's door from another folder, with the machine's Python rather than the project's."""
    base = Path(sys.base_prefix) / ("python.exe" if os.name == "nt" else "bin/python3")
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "PIP_", "VIRTUAL_ENV", "FILLMARK"))}
    command = [str(base), str(project / "build"), *arguments]
    return subprocess.run(command, cwd=project.parent, env={**clean, **env}, capture_output=True, text=True)


def test_a_bare_python_gets_a_venv_once_and_the_exit_code_comes_through(toy: Path, tmp_path: Path) -> None:
    offline = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(tmp_path / "wheels")}
    wheel(tmp_path / "wheels", "1.1")  # too old: as good as no network
    failed = knock(toy, **offline)
    assert failed.returncode == 1
    assert failed.stdout.splitlines()[0] == "First run: making .venv for Fillmark's dependencies."
    assert failed.stderr.splitlines()[-1] == (
        "Installing failed; pip says why above. It needs the network once; then try again.")
    assert "Traceback" not in failed.stderr

    wheel(tmp_path / "wheels", "1.3")
    wheel(tmp_path / "wheels", "1.4")  # would do, and is not what was tested
    first = knock(toy, "serve", "--port", "8123", **offline)
    assert first.returncode == 3, first.stderr
    assert first.stdout.splitlines() == [
        "Installing into .venv: gauge-glass>=1.2",
        f"inside {toy / '.venv'} glass 1.3 serve --port 8123",
    ]
    second = knock(toy, PIP_NO_INDEX="1")
    assert (second.returncode, second.stdout) == (3, f"inside {toy / '.venv'} glass 1.3\n")


def test_where_no_venv_can_be_made_the_door_says_what_to_install(toy: Path) -> None:
    (toy / ".venv").write_text("a file stands in the way")
    said = knock(toy)
    assert said.returncode == 1
    assert said.stderr.startswith("Cannot make .venv. Install Python's venv module")
    assert len(said.stderr.splitlines()) == 1


@pytest.mark.parametrize("folder", ["build", "tests"])
def test_an_old_python_is_told_which_one_is_needed(folder: str) -> None:
    code = (f"import sys, runpy; sys.version_info = (3, 10, 1); sys.version = '3.10.1 (main)'; "
            f"sys.path.insert(0, {str(ROOT / folder)!r}); runpy.run_path({str(ROOT / folder)!r}, run_name='__main__')")
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert said.returncode == 1
    assert said.stderr == "Fillmark needs Python 3.11 or newer; this is 3.10.1.\n"


def test_the_build_door_works_from_another_folder(tmp_path: Path) -> None:
    said = subprocess.run([sys.executable, str(ROOT / "build"), "check"], cwd=tmp_path, capture_output=True, text=True)
    assert said.returncode == 0, said.stdout + said.stderr
    assert not list(tmp_path.iterdir())


def test_requirements_come_from_the_project_file() -> None:
    text = (ROOT / "pyproject.toml").read_text()
    plain, with_tests = door.requirements(text), door.requirements(text, "test")
    assert any(need.startswith("jinja2") for need in plain) and not any("pytest" in need for need in plain)
    assert with_tests[: len(plain)] == plain and any(need.startswith("pytest") for need in with_tests)
    assert door.unmet(with_tests) == []
    assert [need.split(">=")[0] for need in door.requirements(text, "phone")[len(plain):]] == ["cryptography"]


def test_every_dependency_of_a_dependency_is_pinned_to_the_version_that_is_tested() -> None:
    lines = [line for line in door.CONSTRAINTS.read_text("utf-8").splitlines() if not line.startswith("#")]
    assert lines == sorted(lines, key=lambda line: line.split("==")[0]) and all(map(PIN.fullmatch, lines))
    pinned = dict(line.split("==") for line in lines)
    todo = [(Requirement(need), "") for extra in ("phone", "test")
            for need in door.requirements((ROOT / "pyproject.toml").read_text("utf-8"), extra)]
    found: dict[str, str] = {}
    seen: set[tuple[str, str]] = set()
    while todo:
        need, extra = todo.pop()
        if need.marker and not need.marker.evaluate({"extra": extra}):
            continue
        name = canonicalize_name(need.name)
        found[name] = metadata.version(name)
        for asked in ("", *need.extras):
            if (name, asked) not in seen:
                seen.add((name, asked))
                todo += [(Requirement(line), asked) for line in metadata.requires(name) or ()]
    assert {name: pinned.get(name) for name in found} == found, "remove .venv, or renew build/constraints.txt"
    elsewhere = {"colorama", "typing-extensions"}  # wanted on Windows only, or by older Pythons only
    assert pinned.keys() - found.keys() <= elsewhere


@pytest.mark.parametrize(
    ("need", "met"),
    [("pytest", True), ("pytest>=1", True), ("pytest>=1,<2", False), ("pytest>=9999", False),
     ("no-such-package-here>=1", False)],
)
def test_a_requirement_is_met_by_version(need: str, met: bool) -> None:
    assert door.unmet([need]) == ([] if met else [need])


@pytest.mark.parametrize(
    ("older", "newer"), [("2.9", "2.10"), ("1", "1.0.1"), ("2.11.3", "3"), ("0.25.3", "0.26")]
)
def test_versions_compare_as_numbers(older: str, newer: str) -> None:
    assert door.version(older) < door.version(newer)
    assert door.version("2.0") == door.version("2") == door.version("2.0.0rc1")


def test_a_chromium_named_wrongly_is_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILLMARK_CHROMIUM", "/no/such/browser")
    with pytest.raises(SystemExit, match="FILLMARK_CHROMIUM names /no/such/browser, which is not a program"):
        chromium.find()


def test_ci_runs_the_tests_door_and_nothing_more() -> None:
    lines = (ROOT / ".ci/run").read_text().splitlines()
    assert lines == ["#!/usr/bin/env bash", "set -eu", 'cd "$(dirname "$0")/.."', "exec python3 tests"]
