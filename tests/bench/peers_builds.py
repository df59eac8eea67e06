"""The build beside Pelican (Python) and Hugo (compiled), which make as many pages with as much text from Markdown.

Ours reads a garage grown to the size; theirs read pages of seeded words in sections, lists and tables that come to the
visible text of our pages, spread evenly. Theirs have a bare template and no checks. Whole processes, output removed
first, caches off. Then the time from saving one file to the changed page from each one's own server.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from peers_kit import BIN, ROOT, Ratio, interleaved

from garages import grow

SIZES = (500, 5_000)
ROUNDS = {500: 5, 5_000: 3}
NAMES = {"pelican": "Pelican", "hugo": "Hugo"}
ALONE = """import sys; from pathlib import Path; sys.path[0] = sys.argv[1]; from fillmark import pipeline
assert not pipeline.run(*map(Path, sys.argv[2:])).problems"""
TAG = re.compile(r"<[^>]+>")
SYLLABLES = ("ar", "bel", "con", "dor", "el", "fan", "gor", "hal", "im", "jun", "ker", "lo", "men", "nor", "pa", "ric",
             "sol", "tan", "ul", "ver", "wis", "yar")
HUGO = {
    "hugo.toml": 'baseURL = "/"\ntitle = "Pages"\ndisableKinds = ["taxonomy", "term", "RSS", "sitemap"]\n',
    "layouts/_default/baseof.html": "<!doctype html><html lang=en><head><meta charset=utf-8><title>{{ .Title }}</title>"
    "</head><body><nav><a href=/>Home</a></nav><main><h1>{{ .Title }}</h1>{{ block \"main\" . }}{{ end }}</main>"
    "</body></html>",
    "layouts/_default/single.html": '{{ define "main" }}{{ .Content }}{{ end }}',
    "layouts/_default/list.html":
        '{{ define "main" }}<ul>{{ range .Pages }}<li><a href="{{ .RelPermalink }}">{{ .Title }}</a></li>{{ end }}'
        "</ul>{{ end }}",
}
BARE = ("<!doctype html><html lang=en><head><meta charset=utf-8><title>{{ TITLE }}</title></head><body><nav>"
        "<a href=/>Home</a></nav><main><h1>{{ TITLE }}</h1>BODY</main></body></html>")
PELICAN = {
    "pelicanconf.py": "SITENAME = 'Pages'\nSITEURL = ''\nTIMEZONE = 'UTC'\nPATH = 'content'\nARTICLE_PATHS = []\n"
    "PAGE_PATHS = ['pages']\nPAGE_URL = '{slug}/'\nPAGE_SAVE_AS = '{slug}/index.html'\nTHEME = 'theme'\n"
    "DIRECT_TEMPLATES = ['index']\nFEED_ALL_ATOM = CATEGORY_FEED_ATOM = TRANSLATION_FEED_ATOM = None\n"
    "AUTHOR_FEED_ATOM = AUTHOR_FEED_RSS = None\nDELETE_OUTPUT_DIRECTORY = False\n"
    "MARKDOWN = {'extensions': ['tables'], 'output_format': 'html5'}\n",
    "theme/static/.keep": "",
    "theme/templates/page.html": BARE.replace("TITLE", "page.title").replace("BODY", "{{ page.content }}"),
    "theme/templates/index.html": BARE.replace("TITLE", "SITENAME").replace(
        "BODY", '<ul>{% for p in pages %}<li><a href="/{{ p.url }}">{{ p.title }}</a></li>{% endfor %}</ul>'),
}
MARK = "Quillonar"  # no word of the pages


def visible(html: str) -> int:
    """Return the bytes of a page's text as it is read, spaces folded."""
    body = html[html.index("<body"):]
    return len(" ".join(TAG.sub(" ", body).split()).encode())


def markdown(number: int, size: int) -> str:
    """Return a page of about `size` bytes: sections, each with a paragraph, a list and a table."""
    dice = random.Random(number)
    words = ["".join(dice.choices(SYLLABLES, k=dice.randint(1, 3))) for _ in range(400)]

    def some(count: int) -> str:
        return " ".join(dice.choices(words, k=count))

    out, held = [], 0
    while held < size:
        rows = [f"| {some(2)} | {dice.randint(1, 99)} {some(1)} | {some(2)} |" for _ in range(6)]
        part = [f"## {some(3)}", "", some(40).capitalize() + ".", "", *(f"- {some(6)}" for _ in range(6)), "",
                f"| {some(1)} | {some(1)} | {some(1)} |", "|---|---|---|", *rows, ""]
        held += sum(len(line.replace("|", "").encode()) for line in part)
        out += part
    return "\n".join(out) + "\n"


def peers(folder: Path, pages: int, size: int) -> None:
    """Write the same pages for both, with each one's own head."""
    for name, files in (("pelican", PELICAN), ("hugo", HUGO)):
        for path, text in files.items():
            (folder / name / path).parent.mkdir(parents=True, exist_ok=True)
            (folder / name / path).write_text(text)
    for number in range(pages - 1):  # and the list of them is one more
        title, text = f"Page {number}", markdown(number, size)
        for name, head in (("pelican/content/pages", f"Title: {title}\nSlug: p{number}\n\n"),
                           ("hugo/content", f"---\ntitle: {title}\n---\n\n")):
            target = folder / name / f"p{number}.md"
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(head + text)


def command(name: str, folder: Path) -> list[str]:
    """Return the command that builds all of it."""
    if name == "pelican":
        return [str(BIN / "pelican"), "content", "-s", "pelicanconf.py", "-o", "out", "-q"]
    if name == "hugo":
        return [str(BIN / "hugo"), "--quiet", "--destination", "out", "--ignoreCache"]
    return [sys.executable, "-c", ALONE, str(ROOT / "build"), str(folder / "content"), str(ROOT / "site_src"),
            str(folder / "ours" / "out")]


def whole(name: str, folder: Path) -> float:
    """Return the seconds of one build from nothing, in a process of its own."""
    shutil.rmtree(folder / name / "out", ignore_errors=True)
    start = time.perf_counter()
    subprocess.run(command(name, folder), cwd=folder / name, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def prepared(folder: Path, pages: int) -> int:
    """Fill the folder for all three, about `pages` pages each, and return how many pages ours are."""
    (folder / "ours").mkdir(parents=True)
    whole_site = grow(folder / "content", 0)
    whole("ours", folder)
    few = len(list((folder / "ours" / "out").rglob("*.html")))
    shutil.rmtree(whole_site)
    grow(whole_site, pages - few)
    whole("ours", folder)
    texts = [visible(path.read_text("utf-8")) for path in (folder / "ours" / "out").rglob("*.html")]
    peers(folder, len(texts), sum(texts) // len(texts))
    return len(texts)


def checked(folder: Path, pages: int) -> None:
    """Stop unless each tool wrote so many pages, with about as much text."""
    found = {}
    for name in ("ours", *NAMES):
        texts = [visible(path.read_text("utf-8")) for path in (folder / name / "out").rglob("*.html")]
        assert len(texts) == pages, f"{name} wrote {len(texts)} pages, not {pages}"
        found[name] = sum(texts)
    for name in NAMES:
        assert 0.8 < found[name] / found["ours"] < 1.25, found


def rows(folder: Path) -> Iterator[Ratio]:
    """Yield seconds a page at both sizes, the growth between, and the time from an edit to the page."""
    took: dict[int, dict[str, float]] = {}
    for size in SIZES:
        here = folder / str(size)
        pages = prepared(here, size)
        works = {name: partial(whole, name, here) for name in ("ours", *NAMES)}
        took[size] = {name: taken / pages for name, taken in interleaved(works, ROUNDS[size]).items()}
        checked(here, pages)
        for name, words in NAMES.items():
            yield Ratio(f"whole build, a page of {pages}", took[size]["ours"] * 1000, words, took[size][name] * 1000,
                        "ms")
        if size == SIZES[0]:
            yield from warm(here, pages)
    few, many = SIZES
    for name, words in NAMES.items():
        growth = {one: took[many][one] * many / (took[few][one] * few) for one in ("ours", name)}
        yield Ratio(f"time of {many} pages over {few}", growth["ours"], words, growth[name], "times")


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def serving(name: str, folder: Path) -> Iterator[Callable[[], float]]:
    """Start a tool's own server that builds again on a change; give what edits one file, waits for it, and times."""
    port = free_port()
    if name == "ours":
        source, page = folder / "content" / "pages" / "about.md", "about/"
        started = [sys.executable, str(ROOT / "build"), "serve", "--port", str(port), "--content",
                   str(folder / "content"), "--out", str(folder / "ours" / "out")]
    elif name == "hugo":
        source, page = folder / "hugo" / "content" / "p7.md", "p7/"
        started = [str(BIN / "hugo"), "server", "--port", str(port), "--bind", "127.0.0.1", "--disableLiveReload"]
    else:
        source, page = folder / "pelican" / "content" / "pages" / "p7.md", "p7/"
        started = [*command(name, folder), "--autoreload", "--listen", "--port", str(port), "--bind", "127.0.0.1"]
    process = subprocess.Popen(started, cwd=folder / name, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                               start_new_session=True)
    address, turn = f"http://127.0.0.1:{port}/{page}", 0

    def shows(word: str, patience: float = 600) -> float:
        start = time.perf_counter()
        while time.perf_counter() - start < patience:
            assert process.poll() is None, f"{name} ended"
            try:
                with urllib.request.urlopen(address, timeout=30) as got:
                    if word in got.read().decode():
                        return time.perf_counter() - start
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                pass  # not up yet, or the folder is just being changed
            time.sleep(0.005)
        raise AssertionError(f"{name} does not show the edit at {address}")

    def edit() -> float:
        nonlocal turn
        turn += 1
        with source.open("a") as file:
            file.write(f"\n{MARK} {turn}.\n")
        return shows(f"{MARK} {turn}.")

    try:
        shows("</html>")
        time.sleep(2)  # the watcher is up a moment after the server
        edit()  # the first edit fills what a tool keeps between builds
        yield edit
    finally:
        os.killpg(process.pid, signal.SIGTERM)  # one of them starts others
        process.wait(30)


def warm(folder: Path, pages: int) -> Iterator[Ratio]:
    with serving("ours", folder) as ours, serving("pelican", folder) as pelican, serving("hugo", folder) as hugo:
        works = {"ours": ours, "pelican": pelican, "hugo": hugo}
        took = interleaved({name: rested(work) for name, work in works.items()}, 5)
    for name, words in NAMES.items():
        yield Ratio(f"one edit to its page, {pages} pages, by server", took["ours"], words, took[name], "s")


def rested(work: Callable[[], float]) -> Callable[[], float]:
    def run() -> float:
        time.sleep(0.5)  # nothing of the one before may still be at work
        return work()
    return run
