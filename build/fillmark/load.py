"""Reads the content folder: YAML to plain data plus positions, prose, unit list, templates and assets.

PyYAML's own loader would turn `5:10` into 310, `012` into 10, `no` into False and let the last of two
equal keys win without a word. With capacities and torques that is a safety matter, so this loader
resolves YAML 1.2 core scalars only and refuses duplicate keys, anchors, merge keys and tags.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import yaml

from fillmark import text
from fillmark.problem import UNSEEN, Problem

Path_ = tuple[str | int, ...]

UNITS = "content/units.txt"
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _CoreLoader(_LOADER):  # type: ignore[misc]
    """The C loader with YAML 1.2 core scalars only."""


_CoreLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("bool", r"^(?:true|false)$", "tf"),
    ("null", r"^(?:null|~|)$", ["n", "~", ""]),
    ("int", r"^-?(?:0|[1-9][0-9]*)$", "-0123456789"),
    ("float", r"^-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)(?:[eE][-+]?[0-9]+)?$", "-0123456789"),
):
    _CoreLoader.add_implicit_resolver("tag:yaml.org,2002:" + _tag, re.compile(_pattern), list(_first))

DEEPEST = 40  # mappings and lists within each other; a card needs less than ten
WHOLE = 2**53  # above it the browser leaves whole numbers out

_PLAIN = {"bool", "null", "int", "float", "str", "map", "seq"}


@dataclass(frozen=True)
class Mark:
    """A position in a file; both count from 1."""

    line: int
    column: int


@dataclass(frozen=True)
class Document:
    """One content file: plain data, the position of every key and value, and its text for the caret line.

    `kind` is the folder (`vehicles`, `cards`, …) and `id` the file name without its ending.
    """

    file: str
    kind: str
    id: str
    data: Any
    text: str
    keys: dict[Path_, Mark] = field(default_factory=dict)
    values: dict[Path_, Mark] = field(default_factory=dict)

    @cached_property
    def lines(self) -> list[str]:
        """The lines of the text, split once: a file may have thousands of problems."""
        return self.text.split("\n")

    def mark(self, path: Path_, key: bool = False) -> Mark:
        """Return the position of the value (or key) at `path`, or of the nearest parent that exists."""
        place = path
        while place and place not in self.values and place not in self.keys:
            place = place[:-1]
        order = (self.keys, self.values) if key and place == path else (self.values, self.keys)
        return order[0].get(place) or order[1].get(place) or Mark(1, 1)

    def problem(
        self, path: Path_, message: str, *, key: bool = False, expected: str = "", got: str = "", hint: str = "",
        rule: str = "shape",
    ) -> Problem:
        """Return a Problem placed at `path`."""
        mark = self.mark(path, key)
        source = self.lines[mark.line - 1] if mark.line <= len(self.lines) else ""
        return Problem(
            self.file, mark.line, mark.column, author_path(path), message, expected, got, hint, rule, source
        )


@dataclass(frozen=True)
class Loaded:
    """Everything read from disk, and the problems met on the way."""

    documents: tuple[Document, ...]
    prose: dict[str, Document]
    units_text: Document
    templates: dict[str, str]
    assets: dict[str, bytes]
    problems: tuple[Problem, ...]

    @property
    def files_read(self) -> int:
        return len(self.documents) + len(self.prose) + 1


def author_path(path: Iterable[str | int]) -> str:
    """Return `steps[3].after` for ('steps', 3, 'after')."""
    out = ""
    for part in path:
        out += f"[{part}]" if isinstance(part, int) else (f".{part}" if out else str(part))
    return out


def read(content: Path, site_src: Path) -> Loaded:
    """Read both folders whole. A file that cannot be read is a Problem, not an exception."""
    documents: list[Document] = []
    prose: dict[str, Document] = {}
    problems: list[Problem] = []
    named: dict[tuple[str, str], str] = {}
    for path in sorted(content.rglob("*")):
        name = "content/" + path.relative_to(content).as_posix()
        if not path.is_file() or "/." in name or name == UNITS:
            continue
        wrong = text.misplaced(path, content) or text.twice(name, named)
        if wrong:
            problems.append(replace(wrong, file=name))
        elif path.suffix == ".md":
            written = text.read(path, name, problems) or ""
            prose[path.stem] = Document(name, "pages", path.stem, written, written)
        else:
            said = text.read(path, name, problems)
            document, refused = parse_yaml(name, said) if said is not None else (_unread(name), [])
            documents.append(document)
            problems.extend(refused)
    units_text = text.read(content / "units.txt", UNITS, problems) if (content / "units.txt").exists() else ""
    if units_text == "":
        problems.append(Problem(UNITS, 0, 0, "", "file is missing or empty", rule="files"))
    templates = {
        path.relative_to(site_src / "templates").as_posix(): path.read_text("utf-8")
        for path in sorted((site_src / "templates").rglob("*.html"))
    }
    assets = {
        path.relative_to(site_src).as_posix(): path.read_bytes()
        for folder in ("css", "js", "icons")
        for path in sorted((site_src / folder).rglob("*"))
        if path.is_file() and path.suffix in {".css", ".js", ".png", ".svg"}
    }
    units = Document(UNITS, "units", "units", units_text, units_text or "")
    return Loaded(tuple(documents), prose, units, templates, assets, tuple(problems))


def _unread(name: str, text: str = "") -> Document:
    """Return the document of a file that cannot be understood."""
    parts = name.split("/")
    return Document(name, parts[1] if len(parts) > 2 else "top", Path(name).stem, None, text)


@lru_cache(maxsize=1000)
def parse_yaml(name: str, text: str) -> tuple[Document, list[Problem]]:
    """Return the document and its syntax problems; data is None where the file cannot be understood.

    What was read once is kept, since most files are the same at the next build: nobody changes what comes out of here.
    """
    document = _unread(name, text)
    loader = _CoreLoader(text)
    try:
        node = loader.get_single_node()
    except RecursionError:  # only where PyYAML has no libyaml, which counts for itself
        return document, [Problem(name, 1, 1, "", "not valid YAML: nested too deeply", rule="syntax")]
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Mark(mark.line + 1, mark.column + 1) if mark else Mark(1, 1)
        said = error.problem or "cannot be read"
        return document, [
            Problem(name, place.line, place.column, "", f"not valid YAML: {said}", rule="syntax",
                    hint="check indentation, quotes and the colon with a space",
                    source_line=document.lines[place.line - 1] if place.line <= len(document.lines) else "")
        ]
    except yaml.YAMLError as error:
        return document, [Problem(name, 1, 1, "", f"not valid YAML: {error}".splitlines()[0], rule="syntax")]
    finally:
        loader.dispose()
    if node is None or (isinstance(node, yaml.ScalarNode) and node.value in ("", "~", "null")):
        return document, [
            Problem(name, 1, 1, "", "file is empty", "a mapping of keys and values", rule="syntax")
        ]
    problems: list[Problem] = []
    walker = _Walker(document, text, problems)
    data = walker.plain(node, ())
    if problems:
        return document, problems
    return Document(name, document.kind, document.id, data, text, document.keys, document.values), []


class _Walker:
    """Turns a node tree into plain data, filling the document's positions and refusing what YAML hides."""

    def __init__(self, document: Document, text: str, problems: list[Problem]) -> None:
        self.document, self.problems, self.seen = document, problems, set[int]()

    def plain(self, node: yaml.Node, path: Path_) -> Any:
        self.document.values[path] = Mark(node.start_mark.line + 1, node.start_mark.column + 1)
        if id(node) in self.seen:
            self._refuse(path, "anchor and alias are not allowed", "write the values out where they are used")
            return None
        self.seen.add(id(node))
        if len(path) > DEEPEST:
            self._refuse(path, "nested too deeply", f"at most {DEEPEST} lists and mappings within each other")
            return None
        tag = node.tag.removeprefix("tag:yaml.org,2002:")
        if tag not in _PLAIN:
            self._refuse(path, f"tag {node.tag} is not allowed", "write plain text, numbers, lists and mappings")
            return None
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self.plain(item, (*path, index)) for index, item in enumerate(node.value)]
        match tag:
            case "int" | "float" if abs(float(node.value)) > WHOLE:
                self._refuse(path, "number is too large", f"at most {WHOLE}")
                return None
            case "int":
                return int(node.value)
            case "float":
                return float(node.value)
            case "bool":
                return node.value == "true"
            case "null":
                return None
        self._seen(node.value, path)
        return str(node.value)

    def _seen(self, text: str, path: Path_, key: bool = False) -> None:
        if match := UNSEEN.search(text):
            self._refuse(path, f"character that is not seen: U+{ord(match[0]):04X}", "leave it out", key)

    def _mapping(self, node: yaml.MappingNode, path: Path_) -> dict[str, Any]:
        out: dict[str, Any] = {}
        for key_node, value_node in node.value:
            mark = Mark(key_node.start_mark.line + 1, key_node.start_mark.column + 1)
            if not isinstance(key_node, yaml.ScalarNode):
                self.document.values[path] = mark
                self._refuse(path, "key is not text", "write one word before the colon")
                continue
            key = str(key_node.value)
            place = (*path, key)
            if key == "<<":
                self.document.keys[place] = mark
                self._refuse(place, "merge key is not allowed", "write the values out where they are used", key=True)
                continue
            if key in out:
                first = self.document.keys[place]
                self.document.keys[place] = mark
                self._refuse(place, f"key stands twice, first in line {first.line}", "keep one of the two", key=True)
                continue
            self.document.keys[place] = mark
            self._seen(key, place, key=True)
            out[key] = self.plain(value_node, place)
        return out

    def _refuse(self, path: Path_, message: str, hint: str, key: bool = False) -> None:
        self.problems.append(self.document.problem(path, message, key=key, hint=hint, rule="syntax"))
