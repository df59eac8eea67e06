"""README's "Put it on a phone", followed to the letter: its commands are run as they stand, and what they serve below
/repo/ is stored; then the host is stopped and every page is there."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

import facts
from harness import ROOT, open_profile, site_pages, watch

pytestmark = pytest.mark.apart

WRITTEN = "http://127.0.0.1:8080/repo/"


def commands() -> str:
    """Return the first fenced block of the section, and hold its address to what the steps say."""
    section = (ROOT / "README.md").read_text("utf-8").partition("## Put it on a phone\n")[2].partition("\n## ")[0]
    assert WRITTEN in section and "*Ready for no signal*" in section
    block = re.search(r"```sh\n(.*?)```", section, re.S)
    assert block, "the section has a block of commands"
    return block[1]


def free_port() -> int:
    with closing(socket.socket()) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def test_the_readme_followed_to_the_letter_gives_a_site_that_needs_no_host(
    playwright: Playwright, chromium_path: str, tmp_path: Path
) -> None:
    project = tmp_path / "fillmark"
    for name in ("build", "content", "site_src"):
        shutil.copytree(ROOT / name, project / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", project)
    (tmp_path / "bin").mkdir()
    launcher = tmp_path / "bin/python3"  # `python3` is the one that runs the tests, which has what the build needs
    launcher.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n')
    launcher.chmod(0o755)

    port = free_port()  # the only thing changed: on this machine another may have 8080
    script = commands().replace("8080", str(port))
    env = {**os.environ, "PATH": f"{launcher.parent}:{os.environ['PATH']}"}
    host = subprocess.Popen(["sh", "-e", "-c", script], cwd=project, env=env, stdout=subprocess.DEVNULL,
                            stderr=subprocess.DEVNULL, start_new_session=True)
    context = None
    try:
        for _ in range(400):
            with closing(socket.socket()) as tried:
                if tried.connect_ex(("127.0.0.1", port)) == 0:
                    break
            assert host.poll() is None, "a command of the block failed"
            time.sleep(0.05)
        url = WRITTEN.replace("8080", str(port))
        context = open_profile(playwright, tmp_path / "profile", chromium_path)
        page = context.new_page()
        faults = watch(page, url.removesuffix("/repo/"), quiet=("/sw.js",))
        page.goto(url)
        expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=30_000)
        assert page.evaluate("fetch('manifest.webmanifest').then(got => got.json()).then(said => said.display)") == (
            "standalone")

        os.killpg(host.pid, signal.SIGTERM)
        host.wait()
        paths = site_pages(project / "dist")
        page.goto(url)
        bodies = page.evaluate(
            "(all) => Promise.all(all.map(async (path) => { const got = await fetch(path);"
            " return got.status === 200 && await got.text() }))", paths)
        for path, body in zip(paths, bodies, strict=True):
            assert body == (project / "dist" / path / "index.html").read_text("utf-8"), path
        for path in paths[::3]:  # all are there to the letter; to open each takes a fifth of a second
            answer = page.goto(url + path, wait_until="domcontentloaded")
            assert answer is not None and answer.from_service_worker and answer.status == 200, path
            assert page.locator("h1").count() == 1, path
        page.goto(url + facts.CARD)
        facts.card_shows_its_numbers(page)
        assert faults == []
    finally:
        if context:
            context.close()
        if host.poll() is None:
            os.killpg(host.pid, signal.SIGTERM)
            host.wait()
