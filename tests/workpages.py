"""What the tests of the pages of Work out that are more than one formula share: open one, read its answers."""

from __future__ import annotations

import datetime as dt
from urllib.parse import quote, urlencode

from playwright.sync_api import Page, expect

IDS = ("buy-list", "job-clock", "tightening-order", "next-due")
NOON = dt.datetime(2026, 4, 18, 12, 0, tzinfo=dt.UTC)  # the day of the worked example


def open_(page: Page, name: str, **fields: str) -> None:
    page.clock.install(time=NOON)
    page.goto(f"work-out/{name}/" + (f"?{urlencode(fields, quote_via=quote)}" if fields else ""))
    expect(page.locator("[data-value]").first).not_to_have_text("–")


def value(page: Page, output: str) -> str:
    return page.locator(f"[data-output={output}] [data-value]").inner_text().replace("\u00a0", " ")


def also(page: Page, output: str) -> str:
    return page.locator(f"[data-output={output}] [data-also]").inner_text()


def say(page: Page, field: str) -> str:
    return page.locator(f'[data-input="{field}"] [data-say]').inner_text()


def line(page: Page) -> str:
    return page.locator("#line").input_value()


def fill_bottle(page: Page, at: int, size: str, price: str = "", shelf: str = "") -> None:
    row = page.locator("[data-bottles] > fieldset").nth(at)
    for name, text in (("size", size), ("price", price), ("shelf", shelf)):
        row.locator(f"[data-input={name}] input").fill(text)
