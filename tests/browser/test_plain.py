"""Where there is no https: a page opened as a file reads and prints and says what it cannot do; over plain http, under
a name that no browser takes for safe, a job is kept as it is over https, and the page says what is missing."""

from __future__ import annotations

import io
import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

import chromium as browsers
from backuppage import pick
from harness import LONDON, SiteServer, watch
from jobs import Worker

ELSEWHERE = "shed.test"  # a top-level name that is never given out (RFC 6761, 6.2)
ABSENT = """() => [isSecureContext, 'serviceWorker' in navigator, 'caches' in window, crypto.subtle !== undefined,
    'randomUUID' in crypto, 'locks' in navigator, 'wakeLock' in navigator, 'share' in navigator]"""


@pytest.fixture(scope="module")
def mapped(playwright: Playwright, chromium_path: str) -> Iterator[Browser]:
    """A browser that finds this machine under another name, as a phone does."""
    flags = [*browsers.FLAGS, f"--host-resolver-rules=MAP {ELSEWHERE} 127.0.0.1"]
    browser = playwright.chromium.launch(executable_path=chromium_path, args=flags)
    yield browser
    browser.close()


@pytest.fixture
def plain(mapped: Browser, served: SiteServer) -> Iterator[Page]:
    base = f"http://{ELSEWHERE}:{served.port}"
    context = mapped.new_context(base_url=base + "/", **LONDON)
    context.set_default_timeout(10_000)
    page = context.new_page()
    faults = watch(page, base)
    yield page
    assert faults == []
    context.close()


def test_over_plain_http_a_job_is_kept_and_the_line_says_what_is_missing(plain: Page) -> None:
    worker = Worker(plain)
    worker.begin("p01/thornback/rear-axle", "112410", "sealant", {13: "50", 14: "70"})
    assert plain.evaluate(ABSENT) == [False] * 8, "else this is not what it is about"
    expect(plain.locator("[data-module=offline]")).to_have_text(
        "Not saved for no signal, screen not kept on, no sharing: all that needs https")
    worker.read("tag-text", "HR225")
    worker.done(1, 2)
    plain.reload()
    expect(worker.step(2)).to_have_class(re.compile(r"\bdone\b"))
    worker.done(3)
    events = worker.events()
    assert [one["kind"] for one in events].count("done") == 3 and "HR225" in json.dumps(events)


def test_over_plain_http_the_backup_goes_out_says_that_it_has_no_digest_and_comes_in(plain: Page) -> None:
    """Browsers reckon a digest on https only."""
    Worker(plain).begin("p01/thornback/rear-axle", "112410", "gasket")
    plain.goto("backup/")
    with plain.expect_download() as caught:
        plain.get_by_role("button", name=re.compile("^Give out the backup, ")).click()
    text = Path(caught.value.path()).read_text("utf-8")
    assert "No digest could be made on this page" in text
    pick(plain, text)
    expect(plain.locator("section .sums")).to_contain_text("Adds")


@pytest.mark.parametrize("path", ["", "cards/p01/", "work-out/", "look-up/", "this-phone/", "log/", "due/", "plan/"])
def test_no_page_breaks_over_plain_http(plain: Page, path: str) -> None:
    plain.goto(path)
    expect(plain.locator("[data-module=offline]")).to_contain_text("needs https")
    expect(plain.locator(".still")).to_be_hidden()


def test_a_card_from_a_file_reads_and_prints_and_says_what_it_does_not(
    chromium: Browser, dist: Path, tmp_path: Path
) -> None:
    shutil.copytree(dist, tmp_path / "stick")
    page = chromium.new_page(viewport={"width": 360, "height": 760})
    page.goto((tmp_path / "stick/cards/p01/index.html").as_uri())
    assert page.locator(".nav").evaluate("nav => getComputedStyle(nav).position") == "fixed", "the stylesheet came"
    still = page.locator(".still")
    assert still.evaluate("line => line.clientHeight") == 0, "nothing moves while scripts may still come"
    expect(page.locator("#main")).to_contain_text("Oil stands blank")
    page.wait_for_timeout(3_100)
    assert still.evaluate("line => line.clientHeight") > 10
    expect(still).to_have_text(
        "Scripts do not run here, as in a page opened as a file: it reads and prints. No jobs, log, plan or sums.")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    sheet = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4", print_background=False)))
    text = "\n".join(one.extract_text() for one in sheet.pages)
    assert "P01" in text and "Scripts do not run" not in text and len(sheet.pages) == 1
    page.close()


def test_with_scripts_that_line_never_shows(page: Page) -> None:
    page.goto("cards/p01/")
    expect(page.locator("html.first-frame")).to_have_count(0)
    expect(page.locator(".still")).to_be_hidden()
