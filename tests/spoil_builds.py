"""Builds of spoilt content, and what each must hold to: Problems with their place and nothing written, or pages in
which a hostile text stands as text only."""

from __future__ import annotations

import json
import re
import signal
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from urllib.parse import urlsplit

from fillmark import pipeline, problem
from harness import ROOT
from spoil_content import MARK, Files, spoilt

SECONDS = 20  # for one build, on a machine that does something else as well: it takes less than one
SCHEMES = {"", "http", "https", "mailto"}
# A page has as many of these as its template says, whatever the content is.
COUNTED = ("script", "style", "link", "meta", "base", "iframe", "object", "embed", "form", "title", "html", "body",
           "template")
STRING = re.compile(r'"(?:[^"\\\n]|\\.)*"')


class Page(HTMLParser):
    """The tags of a page and all in it that would run, lead astray or is named by a hostile text."""

    def __init__(self, body: bytes) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.wrong: list[str] = []
        self.feed(body.decode())
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        for name, value in attrs:
            scheme = urlsplit(re.sub(r"[\x00-\x20]", "", value or "")).scheme.lower()
            if name.startswith("on") or name in ("style", "srcdoc") or MARK in name + tag:
                self.wrong.append(f"<{tag} {name}>")
            if name in ("href", "src", "action", "formaction", "xlink:href", "data") and (
                    scheme not in SCHEMES and not (tag == "img" and scheme == "data")):
                self.wrong.append(f"<{tag} {name}={value}>")

    def handle_decl(self, decl: str) -> None:
        if decl != "doctype html":
            self.wrong.append(f"<!{decl}>")

    def handle_comment(self, data: str) -> None:
        self.wrong.append(f"<!--{data}-->")

    def handle_pi(self, data: str) -> None:
        self.wrong.append(f"<?{data}>")


def wrong_in(files: dict[str, bytes], most: Counter[str], own: dict[str, bytes]) -> Iterator[str]:
    """Yield what a site has that no site may have; `most`: of each tag, what a clean page has; `own`: a clean site."""
    for path, body in files.items():
        if PurePosixPath(path).is_absolute() or ".." in path.split("/") or "\\" in path:
            yield f"{path} is no place for a file"
        elif body == own.get(path):
            continue
        elif path.endswith(".html"):
            page = Page(body)
            yield from (f"{path}: {one}" for one in page.wrong)
            yield from (f"{path}: {page.tags[tag]} × <{tag}>" for tag in COUNTED if page.tags[tag] > most[tag])
        elif path.endswith((".json", ".webmanifest")):
            json.loads(body, parse_constant=no_json)
        elif path.startswith("js/data/"):  # made from content
            code = STRING.sub('""', body.decode())
            if MARK in code or "__proto__" in code or any(code.count(a) != code.count(b) for a, b in ("{}", "[]",
                "()")):
                yield f"{path}: a text of the content is code"


def no_json(said: str) -> None:
    raise ValueError(f"{said} is no JSON")


@contextmanager
def limit(seconds: int) -> Iterator[None]:
    """Raise TimeoutError within, after that time."""
    def ring(*_: object) -> None:
        raise TimeoutError(f"a build took more than {seconds} s")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


class Spoiler:
    """Builds one content folder again and again, spoilt each time in another way, and mended after it."""

    def __init__(self, content: Path) -> None:
        self.content, self.dist = content, content.with_name("dist")
        self.good: Files = {path.relative_to(content).as_posix(): path.read_bytes()
                            for path in sorted(content.rglob("*")) if path.is_file()}
        outcome = pipeline.run(content, ROOT / "site_src", None)
        assert not outcome.problems, problem.render(outcome.problems, outcome.files_read)
        self.clean = outcome.files
        self.most: Counter[str] = Counter()
        for path, body in self.clean.items():
            if path.endswith(".html"):
                self.most |= Page(body).tags
        self.kinds: Counter[tuple[str, str]] = Counter()
        self.slowest = 0.0, ""
        self.faults: list[str] = []

    def build(self, seed: int) -> None:
        """Spoil in the way that the seed says, build, and count what came of it."""
        said, changed = spoilt(self.good, seed)
        self._write(changed)
        start = time.monotonic()
        try:
            with limit(SECONDS):
                outcome = pipeline.run(self.content, ROOT / "site_src", self.dist)
            faults = list(self._judge(outcome))
            came = "refused" if outcome.problems else "built"
        except Exception:  # whatever it is, it is what must not happen
            faults, came = [traceback.format_exc(limit=-12)], "crashed"
        took = time.monotonic() - start
        self.slowest = max(self.slowest, (took, f"{said} ({seed})"))
        self.kinds[said.split()[0], came] += 1
        self.faults += [f"{seed} {said}: {one}" for one in faults[:3]]
        self._write({name: self.good.get(name) for name in changed})
        if self.dist.exists():
            pipeline.write.swap({"sw.js": b""}, self.dist)

    def _judge(self, outcome: pipeline.Outcome) -> Iterator[str]:
        if not outcome.problems:
            yield from wrong_in(outcome.files, self.most, self.clean)
            return
        if outcome.files or (self.dist / "index.html").exists():
            yield "something was written although there are problems"
        report = problem.render(outcome.problems, outcome.files_read)
        if re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]", report):
            yield "the report would work on the screen it is printed on"
        for one in outcome.problems:
            placed = one.line or one.rule in ("files", "ceiling")
            if not (one.file.startswith("content/") or one.file in self.clean) or not one.message or not placed:
                yield f"a problem without its place: {one.file}:{one.line} {one.message}"

    def _write(self, files: dict[str, bytes | None]) -> None:
        for name, body in files.items():
            path = self.content / name
            if body is None:
                path.unlink(missing_ok=True)
            else:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(body)
