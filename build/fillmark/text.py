"""Which files are content, and their text: nothing from outside the folder, nothing that a reader cannot see.

A character that turns the direction of writing makes 62 of 26 on the screen, and the file looks right to its reviewer.
"""

from __future__ import annotations

import re
from pathlib import Path, PurePosixPath

from fillmark.problem import UNSEEN, Problem

LARGEST = 1_000_000  # bytes of a file; the largest of ours has twenty thousand
NAMED = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")  # a file's name becomes an id and part of an address
ENDINGS = (".yaml", ".md")


def misplaced(path: Path, content: Path) -> Problem | None:
    """Say what is wrong with where a file is, and how it is called."""
    if path.suffix not in ENDINGS:
        return Problem("", 0, 0, "", "file is not content", "a .yaml or .md file", path.suffix or path.name,
                       "move it out of content/, or give it the right ending", "files")
    if not path.resolve().is_relative_to(content.resolve()):
        return Problem("", 0, 0, "", "file is a link that leads out of the content", "a file of its own",
                       hint="copy the file here", rule="files")
    for part in (*path.relative_to(content).parts[:-1], path.stem):
        if not NAMED.fullmatch(part):
            return Problem("", 0, 0, "", "name cannot be part of an address",
                           "lower-case letters, digits and single hyphens, such as old-blue", part, rule="files")
    return None


def twice(name: str, named: dict[tuple[str, str], str]) -> Problem | None:
    """Say if another file of the kind has this id: the one read last would win. `named` is filled by this."""
    path = PurePosixPath(name)
    key = ("pages" if path.suffix == ".md" else path.parts[1] if len(path.parts) > 2 else "top", path.stem)
    if key in named:
        return Problem("", 0, 0, "", "name stands twice", "a name that no other file of the kind has",
                       named[key], "rename one of the two", "files")
    named[key] = name
    return None


def read(path: Path, name: str, problems: list[Problem]) -> str | None:
    """Return the text of a file, or None where there is a problem with it."""
    if path.stat().st_size > LARGEST:
        problems.append(Problem(name, 0, 0, "", "file is too large", f"at most {LARGEST} bytes",
                                str(path.stat().st_size), "split it", "files"))
        return None
    body = path.read_bytes()
    try:
        text = body.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        problems.append(Problem(name, body.count(b"\n", 0, error.start) + 1, 1, "", "file is not UTF-8 text", "UTF-8",
                                f"byte {error.start} is not", "save the file as UTF-8", "syntax"))
        return None
    unseen = [Problem(name, number, match.start() + 1, "", "character that is not seen",
                      got=f"U+{ord(match[0]):04X}", hint="delete it", rule="syntax", source_line=line)
              for number, line in enumerate(text.split("\n"), 1) for match in UNSEEN.finditer(line)]
    problems += unseen
    return None if unseen else text
