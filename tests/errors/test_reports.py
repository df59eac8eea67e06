"""Every mistake an author can make, as a tiny change to a small good garage, and the exact report it must give.

A case is a text file in cases/: one line that says what is wrong, then edits, then the report.

    --- vehicles/mule.yaml      the file that the lines below change (a new file where it has only + lines)
    - old text                  must stand in the file exactly once
    + new text
    --- report                  everything after this line, as printed
"""

from __future__ import annotations

from pathlib import Path

import pytest

from fillmark import pipeline
from fillmark.problem import render
from small_garage import good_garage

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
CASES = sorted((HERE / "cases").glob("*.txt"))


def read_case(path: Path) -> tuple[list[tuple[str, str, str]], str]:
    """Return the edits as (file, old text, new text) and the expected report."""
    text, _, report = path.read_text("utf-8").partition("--- report\n")
    edits: list[tuple[str, str, str]] = []
    name, old, new = "", list[str](), list[str]()
    for line in [*text.splitlines()[1:], "--- end"]:
        if line.startswith("--- ") or (line.startswith("- ") and new):
            if name and (old or new):
                edits.append((name, "\n".join(old), "\n".join(new)))
            old, new = [], []
            name = line[4:] if line.startswith("--- ") else name
        if line.startswith("- "):
            old.append(line[2:])
        elif line.startswith("+"):
            new.append(line[2:])
    return edits, report


def apply(content: Path, edits: list[tuple[str, str, str]]) -> None:
    """Make the edits; a text that does not stand exactly once is a mistake of the case itself."""
    for name, old, new in edits:
        target = content / name
        if not old:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(new + "\n" if new else "", "utf-8")
            continue
        text = target.read_text("utf-8")
        assert text.count(old) == 1, f"{name}: {old!r} stands {text.count(old)} times"
        target.write_text(text.replace(old, new), "utf-8")


def report_of(content: Path, out: Path) -> str:
    """Return the printed report of a build of `content`."""
    outcome = pipeline.run(content, ROOT / "site_src", out)
    return render(outcome.problems, outcome.files_read)


def test_the_small_garage_has_no_problem(tmp_path: Path) -> None:
    content = good_garage(tmp_path)
    outcome = pipeline.run(content, ROOT / "site_src", tmp_path / "dist")
    assert render(outcome.problems, outcome.files_read).startswith("0 problems")
    assert (tmp_path / "dist" / "index.html").exists()


def test_there_are_at_least_forty_cases() -> None:
    assert len(CASES) >= 40


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_report(case: Path, tmp_path: Path) -> None:
    content = good_garage(tmp_path)
    edits, expected = read_case(case)
    assert edits, "the case changes nothing"
    apply(content, edits)
    assert report_of(content, tmp_path / "dist") == expected
    assert not (tmp_path / "dist").exists(), "something was written although there are problems"
