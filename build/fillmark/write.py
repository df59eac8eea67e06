"""The last step: check the files about to be written, then put them in the place of dist/ as a whole.

`dist/` is never half old and half new: the files go to `dist.new` beside it, and two renames swap the folders.
"""

from __future__ import annotations

import re
import shutil
from functools import lru_cache
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, join, normpath
from urllib.parse import unquote, urlsplit

from fillmark.problem import Problem

MARKER = "sw.js"  # every site that we wrote has one at its root
NOTE = re.compile(r"/\*\*.*?\*/", re.S)  # types stand in notes, and may name a file that is only for the type checker
IMPORT = re.compile(r"""(?:\bfrom|\bimport)\s*\(?\s*(['"])(\.[^'"]+)\1""")


def swap(files: dict[str, bytes], dist: Path) -> None:
    """Replace `dist` by a folder with exactly `files` (path -> bytes).

    Raises FileExistsError, and changes nothing, if `dist` holds something that is not a site of ours.
    """
    if dist.exists() and (not dist.is_dir() or (any(dist.iterdir()) and not (dist / MARKER).is_file())):
        raise FileExistsError(f"{dist} is not a site that Fillmark wrote ({MARKER} is missing): "
                              "move it away, or name another output folder. Nothing was written.")
    new, old = dist.with_name(dist.name + ".new"), dist.with_name(dist.name + ".old")
    for left in (new, old):  # left behind by a run that was killed
        if left.exists():
            shutil.rmtree(left)
    for path, body in files.items():
        target = new / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(body)
    if dist.exists():
        dist.rename(old)
    try:
        new.rename(dist)
    except OSError:
        if old.exists():
            old.rename(dist)
        raise
    if old.exists():
        shutil.rmtree(old)


def check_output(files: dict[str, bytes]) -> list[Problem]:
    """Return what is wrong with the site about to be written: dead links and anchors, and what the page's own
    security policy or a host below a path would refuse."""
    parsed = {path: _read(body) for path, body in files.items() if path.endswith(".html")}
    problems: list[Problem] = []

    def add(file: str, line: int, column: int, path: str, message: str, got: str = "") -> None:
        problems.append(Problem(file, line, column, path, message, got=got, rule="output"))

    for path, page in parsed.items():
        for refused in page.refused:
            add(path, *refused)
        for line, column, name, link in page.links:
            wrong = _wrong(path, link, files, parsed)
            if wrong:
                add(path, line, column, name, wrong, link)
        for line, column, name in page.modules:
            if f"js/ui/{name}.js" not in files:
                add(path, line, column, "data-module", f"there is no js/ui/{name}.js")
    for path, body in files.items():
        if path.endswith(".js"):
            for _, link in IMPORT.findall(NOTE.sub("", body.decode())):
                if resolve(path, link) not in files:
                    add(path, 0, 0, "import", "leads to nothing in the site", link)
    if MARKER not in files:
        add(MARKER, 0, 0, "", "the site has no service worker")
    return sorted(problems)


def resolve(page: str, link: str) -> str:
    """Return the output file that `link` (relative, no query or hash) on `page` leads to."""
    target = normpath(join(dirname(page), link)) if link else page
    target = "" if target == "." else target
    if link.endswith("/") or link in (".", "..") or link.endswith("/..") or not target:
        return f"{target}/index.html".lstrip("/")
    return target


def _wrong(page: str, link: str, files: dict[str, bytes], parsed: dict[str, _Page]) -> str:
    parts = urlsplit(link)
    if parts.scheme or parts.netloc:
        return "request to another host; only a link out, `<a href>`, may name one"
    if parts.path.startswith("/"):
        return "absolute address: it breaks where the site is not at the root of its host"
    target = resolve(page, unquote(parts.path))
    if parts.path.split("/")[-1] == "index.html":
        return "not the page's own address: end it with the folder's slash"
    if target.startswith("../"):
        return "leads out of the site"
    if target not in files:
        return "leads to nothing in the site"
    if parts.fragment and target in parsed and unquote(parts.fragment) not in parsed[target].ids:
        return f"no element with this id in {target}"
    return ""


@lru_cache(maxsize=2000)
def _read(body: bytes) -> _Page:
    """Return a page read once for as long as it stays the same: an edit touches few."""
    return _Page(body.decode())


class _Page(HTMLParser):
    """The links, ids and refused things of one page; positions count from 1."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[tuple[int, int, str, str]] = []
        self.modules: list[tuple[int, int, str]] = []
        self.refused: list[tuple[int, int, str, str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        line, column = self.getpos()
        for name, value in attrs:
            if name == "id":
                if value in self.ids:
                    self._refuse("id", f"id stands twice in the page: {value}")
                self.ids.add(value or "")
            elif name == "style" or name.startswith("on"):
                self._refuse(name, f"the page's policy refuses the attribute `{name}` on <{tag}>")
            elif name in ("href", "src", "action", "poster", "data", "xlink:href"):
                if not _leaves(tag, value or ""):
                    self.links.append((line, column + 1, name, value or ""))
            elif name == "data-module":  # js/main.js imports it from js/ui/
                self.modules.append((line, column + 1, value or ""))
            elif name == "srcset":
                self._refuse(name, "srcset is not used here: its addresses would go unchecked")
        if tag == "style" or (tag == "script" and "src" not in dict(attrs)):
            self._refuse(tag, f"the page's policy refuses an inline <{tag}>")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def _refuse(self, path: str, message: str) -> None:
        line, column = self.getpos()
        self.refused.append((line, column + 1, path, message))



def _leaves(tag: str, value: str) -> bool:
    """Say if the address is a link out, or data within the page, which the page's policy allows for pictures."""
    scheme = urlsplit(value).scheme
    return (tag == "a" and scheme in ("http", "https", "mailto")) or (tag == "img" and scheme == "data")
