"""A Problem is a value: what is wrong, where, what was expected, what was found, what to do.

Problems are collected through the whole run and printed once, sorted, at the end.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

# What is not seen, or makes a screen show other than what is there: controls, marks that turn the direction of writing,
# blanks of no width, halves of a pair. A line break and a tab are no such thing, nor what joins letters and pictures.
# js/lib/sheetcheck.js has the same.
UNSEEN = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff"
    r"\ud800-\udfff]")
LONGEST_LINE = 500


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in one file, in the author's terms.

    `line` and `column` count from 1 (0 = the file as a whole); `path` is the author's path, such as
    `inputs.d.unit`; `source_line` is the text of the line, shown above a caret.
    """

    file: str
    line: int
    column: int
    path: str
    message: str
    expected: str = ""
    got: str = ""
    hint: str = ""
    rule: str = "shape"
    source_line: str = ""


def inside(problem: Problem, text: str, column: int) -> Problem:
    """Return the problem moved to `column` of a text that begins at its place, or, where YAML folds the text, with
    that column in words."""
    for opening in (0, 1):  # 1: behind a quotation mark
        if text and problem.source_line[problem.column - 1 + opening:].startswith(text):
            return replace(problem, column=problem.column + opening + column - 1)
    return replace(problem, message=f"{problem.message} (column {column} of the text)")


def nearest(word: str, known: Sequence[str]) -> str:
    """Return the hint "did you mean 'x'?" for the closest known word, or an empty string."""
    close = get_close_matches(word, known, n=1, cutoff=0.6)
    return f"did you mean '{close[0]}'?" if close else ""


def one_of(known: Sequence[str]) -> str:
    """Return "one of a, b, c", sorted, for an `expected:` line."""
    return "one of " + ", ".join(sorted(known))


def render_one(problem: Problem) -> str:
    """Return the printed form of one problem: position first, then the line with a caret, then what to do."""
    head = f"{problem.file}:{problem.line}:{problem.column}: " if problem.line else f"{problem.file}: "
    lines = [head + (f"{problem.path}: " if problem.path else "") + problem.message]
    if problem.source_line and problem.column <= LONGEST_LINE:
        lines.append(f"    | {problem.source_line[:LONGEST_LINE]}")
        lines.append("    | " + " " * (problem.column - 1) + "^")
    for name in ("expected", "got", "hint", "rule"):
        value = getattr(problem, name)
        if value:
            lines.append(f"    {name + ':':<9} {value}")
    # A report is read on a screen that obeys some characters.
    return UNSEEN.sub(lambda unseen: f"\\u{ord(unseen[0]):04x}", "\n".join(lines))


def render(problems: Sequence[Problem], files_read: int) -> str:
    """Return the whole report; the last line says what did not happen."""
    blocks = [render_one(problem) for problem in sorted(problems)]
    bad = len({problem.file for problem in problems})
    many, files = ("s" if len(problems) != 1 else ""), ("s" if files_read != 1 else "")
    blocks.append(f"{len(problems)} problem{many} in {bad} of {files_read} file{files}. Nothing was written to dist/.")
    return "\n\n".join(blocks) + "\n"
