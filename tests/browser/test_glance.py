"""The first frame shows what a list last showed, and never anything old: not of another day, not after a change."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from harness import LONDON, Handsets, SiteServer, watch

SPRING = dt.datetime(2026, 4, 18, 10, tzinfo=dt.UTC)
# What stands in the list before any script but the first has run: until then the page has the class `first-frame`.
FIRST = """new MutationObserver(() => {
  const list = document.querySelector('[data-glance=today]')
  if (list && document.documentElement.matches('.first-frame')) window.first = list.textContent
}).observe(document, { childList: true, subtree: true })"""
LOAD = "on => import('./js/garage.js').then((garage) => garage.loadDemoLog(on))"


@pytest.fixture
def page(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    page = handsets.take("with a clock", **LONDON).new_page()
    faults = watch(page, served.origin)
    page.clock.install(time=SPRING)
    page.add_init_script(FIRST)
    page.goto("")
    page.evaluate(LOAD, True)
    yield page
    page.close()
    assert faults == []


def first(page: Page) -> str:
    """Open Today and return what its list said in the first frame, once all has come."""
    page.goto("")
    expect(page.locator("html.first-frame")).to_have_count(0)
    expect(page.locator("[data-module=today] .sums")).to_be_visible()
    page.wait_for_timeout(300)  # the list is kept for the next visit
    return str(page.evaluate("window.first"))


def test_the_list_is_there_in_the_first_frame_of_the_next_visit(page: Page) -> None:
    assert "until the log on this phone is read" in first(page)
    assert "due, do not drive on" in first(page)
    now = page.locator("[data-module=today]").inner_text()
    assert "Drystone wheels: re-torque" in now


@pytest.mark.parametrize("change", ["day", "demo log", "log"])
def test_nothing_old_is_shown(page: Page, change: str) -> None:
    first(page)
    assert "due, do not drive on" in first(page)
    if change == "day":
        page.clock.set_system_time(SPRING + dt.timedelta(days=1))
    elif change == "demo log":
        page.evaluate(LOAD, False)
    else:
        page.evaluate("""async () => {
          const store = await import('./js/store.js')
          const [one] = await (await fetch('data/logs/demo.json')).json()
          one.entry.demo = false
          await store.addToLog({ ...one, id: 'x', entry: { ...one.entry, id: 'x' } })
        }""")
    assert "until the log on this phone is read" in first(page)


def test_a_glance_holds_text_as_text(page: Page) -> None:
    """What was stored is grown by element and attribute; nothing in it is ever read as markup."""
    first(page)
    kept: dict[str, Any] = page.evaluate(
        "Object.fromEntries(Object.entries(localStorage).filter(([key]) => key.endsWith('glance:today')))")
    [(key, text)] = kept.items()
    page.evaluate("([key, text]) => localStorage.setItem(key, text)",
                  [key, text.replace("re-torque", "<img src=x onerror=alert(1)>")])
    assert "<img src=x onerror=alert(1)>" in first(page)
    assert page.locator("img").count() == 0
    page.evaluate("key => localStorage.setItem(key, '{\"of\": 1')", key)
    assert "until the log on this phone is read" in first(page)
