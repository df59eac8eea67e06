"""Nothing of the site asks another host for anything: no page, no worker, no step of a job, no file that leaves.

`watch` tells it of every page that other tests open; this one holds the whole browser to it. Jobs to their end are held
to it by the phone of `conftest.py`.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Playwright, Request, expect

from elsewhere import BROWSERS_OWN, Elsewhere
from harness import LONDON, SiteServer, open_profile, site_pages, watch
from jobs import Worker, photo

# A page, its worker and a link that goes ahead, each with a host of its own.
ASKING = """<!doctype html><title>x</title><link rel=preconnect href="https://ahead.example/"><script>
fetch('https://page.example/').catch(() => {})
navigator.serviceWorker.register('asking.js')
</script>"""
ASKING_WORKER = "self.oninstall = (event) => event.waitUntil(fetch('https://worker.example/').catch(() => {}))"


@pytest.fixture
def elsewhere() -> Iterator[Elsewhere]:
    with Elsewhere() as hosts:
        yield hosts


@pytest.fixture
def context(
    playwright: Playwright, chromium_path: str, elsewhere: Elsewhere, served: SiteServer, tmp_path: Path,
) -> Iterator[BrowserContext]:
    """A phone that reaches this machine, and nobody else."""
    context = open_profile(playwright, tmp_path / "profile", chromium_path, flags=[elsewhere.flag],
                           base_url=served.url, **LONDON)
    yield context
    context.close()


def test_the_watch_sees_a_page_its_worker_and_a_link_ahead(context: BrowserContext, elsewhere: Elsewhere,
                                                           served: SiteServer) -> None:
    served.extra = {"/asking.html": ("text/html", ASKING.encode()),
                    "/asking.js": ("text/javascript", ASKING_WORKER.encode())}
    try:
        context.new_page().goto(served.origin + "/asking.html")
        wanted = {f"CONNECT {name}.example:443 HTTP/1.1" for name in ("ahead", "page", "worker")}
        end = time.monotonic() + 10
        while not wanted <= set(elsewhere.asked) and time.monotonic() < end:
            time.sleep(0.05)
        assert wanted <= set(elsewhere.asked)
    finally:
        served.extra = {}


@pytest.mark.apart
def test_no_page_worker_job_or_file_asks_another_host(
    context: BrowserContext, elsewhere: Elsewhere, served: SiteServer, dist: Path, tmp_path: Path,
) -> None:
    foreign: list[str] = []

    def asked(request: Request) -> None:
        if not request.url.startswith((served.url, "data:", "blob:")):
            foreign.append(request.url)

    context.on("request", asked)  # other ports of this machine, which no proxy is asked for
    page = context.new_page()
    faults = watch(page, served.origin)
    page.goto("")
    expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=30_000)
    for path in [*site_pages(dist), "404.html", "cards/p01/?for=thornback/rear-axle"]:
        page.goto(path)
        page.evaluate("() => new Promise((done) => requestIdleCallback(done))")
    worker = Worker(page)
    worker.begin("p01/thornback/rear-axle", "112410", "gasket")
    worker.done(1)
    page.locator("[data-step='1'] .more summary").click()
    page.locator("[data-step='1'] input[type=file]").set_input_files(photo(tmp_path))
    expect(page.locator("[data-step='1'] .kept-with img")).to_be_visible()
    page.goto("backup/")
    with page.expect_download():
        page.get_by_role("button", name=re.compile("^Give out the backup, ")).click()
    page.goto("this-phone/")
    page.evaluate("() => new Promise((done) => requestIdleCallback(done))")
    assert faults == [] and foreign == []
    assert elsewhere.asked == []


def test_no_file_names_a_host_that_the_browser_asks_for_itself(dist: Path) -> None:
    for path in dist.rglob("*"):
        assert path.is_dir() or not BROWSERS_OWN.search(path.read_bytes().decode("latin-1")), path
