"""The phone check: every file read again, a record written, the phone's own means tried, each in words."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from harness import Handsets, SiteServer, Stored, open_profile, watch

SPOIL = """async (path) => {
  const [name] = (await caches.keys()).filter((one) => one.startsWith('fillmark '))
  await (await caches.open(name)).put(new URL(path, document.baseURI), new Response('not what was built'))
}"""


@pytest.fixture
def phone(
    playwright: Playwright, chromium_path: str, stored_site: Stored, tmp_path: Path
) -> Iterator[tuple[Page, SiteServer]]:
    """A phone with the site stored and no signal, at the check page."""
    context = open_profile(playwright, stored_site.copy(tmp_path), chromium_path, base_url=stored_site.server.url)
    page = context.new_page()
    faults = watch(page, stored_site.server.origin, quiet=("/sw.js",))
    page.goto("this-phone/")
    yield page, stored_site.server
    assert faults == []
    context.close()
    stored_site.server.stop()


def row(page: Page, what: str, word: str) -> str:
    """Wait until the row of that name says the word; return the row."""
    line = page.locator(f"[data-module=this-phone] p:has(b:text-is('{what}.'))")
    expect(line.locator(".word")).to_have_text(word)
    return line.inner_text()


def test_without_signal_every_file_is_read_again_and_a_spoilt_one_is_told_and_mended(
    phone: tuple[Page, SiteServer]
) -> None:
    page, server = phone
    told = page.locator("[data-module=this-phone] > [role=status]").first
    count = re.search(r"All (\d+) files are on this phone, each read again", row(page, "No signal", "in order"))
    assert count and int(count[1]) > 300
    expect(told).to_have_text("Ready to go under without signal. Read what is not in order.")
    for what in ("Address", "Storage"):
        row(page, what, "in order")
    for what in ("Sound", "Shake", "Camera"):
        row(page, what, "not known")

    page.evaluate(SPOIL, "../cards/p01/")
    page.get_by_role("button", name="Check all again").click()
    assert "1 of" in row(page, "No signal", "NOT") and "cards/p01/" in row(page, "No signal", "NOT")
    expect(told).to_have_text("Not ready: no signal. Read what to do.")

    server.start()
    page.get_by_role("button", name="Check all again").click()
    assert "1 of them had to be fetched again" in row(page, "No signal", "in order")
    server.stop()
    page.goto("cards/p01/")
    expect(page.locator("h1")).to_contain_text("Axle oil change")


def test_the_buttons_try_the_phone(phone: tuple[Page, SiteServer]) -> None:
    page, _ = phone
    row(page, "No signal", "in order")
    page.get_by_role("button", name="Ring").click()
    said = page.locator("[data-module=this-phone] > [role=status]").last
    expect(said).to_have_text(re.compile("^Alarm "))
    page.get_by_role("button", name="Ask the browser to keep it").click()
    expect(said).to_have_text(re.compile("^(It will|It said no)"))
    picture = page.evaluate("""() => {
      const canvas = Object.assign(document.createElement('canvas'), { width: 2000, height: 900 })
      canvas.getContext('2d').fillRect(0, 0, 900, 900)
      return canvas.toDataURL('image/png')
    }""")
    page.locator("#try-photo").set_input_files(
        {"name": "sill.png", "mimeType": "image/png", "buffer": base64.b64decode(picture.partition(",")[2])})
    expect(said).to_have_text(re.compile("^Photo ready: 1600 × 720 px.* It was not kept."))


def test_on_a_page_that_nothing_kept_it_never_says_ready(handsets: Handsets, served: SiteServer) -> None:
    """The worker is kept out here."""
    page = handsets.take().new_page()
    page.goto("this-phone/")
    assert "again yet" in row(page, "No signal", "not known")
    row(page, "Storage", "in order")
    told = page.locator("[data-module=this-phone] > [role=status]").first
    expect(told).to_have_text(re.compile("^The site is not kept on this phone yet"))
    page.close()
