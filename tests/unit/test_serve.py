"""The local server answers as a plain static host does, and keeps the last good build while a file is wrong."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from pathlib import Path

import pytest

from fillmark import serve
from harness import ROOT


@pytest.fixture
def site(tmp_path: Path) -> Path:
    for path, text in {"index.html": "today", "404.html": "lost", "cards/p01/index.html": "card", "a.css": "css",
                       "js/main.js": "js", "manifest.webmanifest": "{}", "icons/x.svg": "<svg/>"}.items():
        (tmp_path / "dist" / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "dist" / path).write_text(text)
    (tmp_path / "secret.txt").write_text("not ours to serve")
    return tmp_path / "dist"


@pytest.mark.parametrize(
    ("target", "status", "kind", "body"),
    [
        ("/", 200, "text/html; charset=utf-8", b"today"),
        ("/?x=1", 200, "text/html; charset=utf-8", b"today"),
        ("/cards/p01/", 200, "text/html; charset=utf-8", b"card"),
        ("/cards/p01/index.html", 200, "text/html; charset=utf-8", b"card"),
        ("/js/main.js", 200, "text/javascript; charset=utf-8", b"js"),
        ("/manifest.webmanifest", 200, "application/manifest+json", b"{}"),
        ("/icons/x.svg", 200, "image/svg+xml", b"<svg/>"),
        ("/cards/", 404, "text/html; charset=utf-8", b"lost"),
        ("/a.css/", 404, "text/html; charset=utf-8", b"lost"),
        ("/none", 404, "text/html; charset=utf-8", b"lost"),
        ("/../secret.txt", 404, "text/html; charset=utf-8", b"lost"),
        ("/%2e%2e/secret.txt", 404, "text/html; charset=utf-8", b"lost"),
        ("/cards/..%2f..%2fsecret.txt", 404, "text/html; charset=utf-8", b"lost"),
    ],
)
def test_answer(site: Path, target: str, status: int, kind: str, body: bytes) -> None:
    said = serve.answer(site, target)
    assert (said.status, said.content_type, said.body) == (status, kind, body)


def test_a_folder_without_its_slash_is_a_redirect_that_keeps_the_query(site: Path) -> None:
    assert serve.answer(site, "/cards/p01?x=1").location == "/cards/p01/?x=1"
    assert serve.answer(site, "/cards/p01").status == 301


def test_a_link_that_leads_out_of_the_folder_is_not_followed(site: Path) -> None:
    (site / "out.txt").symlink_to(site.parent / "secret.txt")
    assert serve.answer(site, "/out.txt").status == 404


def wait_for(answers: Callable[[], bool], said: str) -> None:
    for _ in range(400):
        if answers():
            return
        time.sleep(0.05)
    pytest.fail(f"not within 20 s: {said}")


def test_serve_rebuilds_on_change_and_keeps_the_last_good_build(tmp_path: Path) -> None:
    source, dist = tmp_path / "source", tmp_path / "dist"
    source.mkdir()
    (source / "page.txt").write_text("one")
    script = tmp_path / "run.py"
    script.write_text(
        "from pathlib import Path\n"
        "from fillmark import serve, write\n"
        f"source, dist = Path({str(source)!r}), Path({str(dist)!r})\n"
        "def build():\n"
        "    text = (source / 'page.txt').read_text()\n"
        "    if 'bad' in text: return 'page.txt:1:1: bad text'\n"
        "    write.swap({'index.html': text.encode(), 'sw.js': b''}, dist)\n"
        "    return ''\n"
        "raise SystemExit(serve.serve(build, dist, [source], port=0))\n"
    )
    log = tmp_path / "log"
    with log.open("w") as out:
        env = {**os.environ, "PYTHONPATH": str(ROOT / "build")}
        process = subprocess.Popen([sys.executable, str(script)], stdout=out, stderr=out, env=env)
        try:
            wait_for(lambda: "Ctrl-C stops it" in log.read_text(), "the address")
            address = next(word for word in log.read_text().split() if word.startswith("http://127.0.0.1:"))

            def body() -> str:
                try:
                    with urllib.request.urlopen(address, timeout=5) as answer:
                        assert answer.headers["Cache-Control"] == "no-cache"
                        return str(answer.read().decode())
                except urllib.error.HTTPError:
                    return ""  # in the instant between the two renames of the swap

            assert body() == "one"
            time.sleep(0.3)  # the watcher takes a moment to look at the folder for the first time
            (source / "page.txt").write_text("bad")
            wait_for(lambda: "bad text" in log.read_text(), "the problem")
            assert body() == "one"
            (source / "page.txt").write_text("two")
            wait_for(lambda: body() == "two", "the rebuilt page")
            assert "last good build is still served" in log.read_text()
        finally:
            process.terminate()
            process.wait()


def test_a_port_in_use_is_one_clear_line(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert serve.serve(lambda: "", site, [], port=port) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"Cannot serve at 127.0.0.1:{port}: ") and f"--port {port + 1}" in said
    assert len(said.splitlines()) == 1
