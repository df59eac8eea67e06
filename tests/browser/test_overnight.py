"""A page left open overnight says what is due today, not what was due yesterday; a form is left alone."""

from __future__ import annotations

import datetime as dt

import pytest
from playwright.sync_api import Page, expect

LATE = dt.datetime(2026, 6, 10, 22, 50, tzinfo=dt.UTC)


@pytest.mark.parametrize(("path", "loads"), [("", 1), ("due/", 1), ("log/add/", 0)])
def test_looked_at_again_in_the_morning(page: Page, path: str, loads: int) -> None:
    page.clock.install(time=LATE)
    page.goto(path)
    expect(page.locator("main a, main button").first).to_be_attached()
    seen: list[str] = []
    page.on("framenavigated", lambda frame: seen.append(frame.url))
    look = "document.dispatchEvent(new Event('visibilitychange'))"
    page.evaluate(look)
    page.wait_for_timeout(300)
    assert seen == [], "nothing happens on the same day"
    page.clock.set_system_time(LATE + dt.timedelta(hours=9))
    page.evaluate(look)
    page.wait_for_timeout(700)
    assert len(seen) == loads
