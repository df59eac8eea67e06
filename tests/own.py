"""Hands on the pages of one's own vehicles: a form filled by the ids of its fields, the vehicle that tests add."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from playwright.sync_api import Locator, Page, expect

from harness import LONDON, Handsets, watch

Json = dict[str, Any]
AT = "(path) => import(new URL(document.documentElement.dataset.base + path, location.href).href)"
STORED = f"async () => (await ({AT})('js/store.js')).vehicles()"
# What a card says, without the boxes of the sheet, and with one space where the page lays out several lines.
TEXT = "node => node.innerText.replace(/\\s+/g, ' ').trim()"


def own_tab(handsets: Handsets) -> Iterator[Page]:
    """A page of 360 px in London with nothing kept yet; any fault of it fails the test."""
    page = handsets.take(**LONDON).new_page()
    faults = watch(page, handsets.served.origin)
    yield page
    page.close()
    assert faults == []


def press(where: Page | Locator, name: str) -> None:
    where.get_by_role("button", name=name).first.click()


def typed(on: Page, save: str = "Save", /, **fields: str) -> None:
    """Fill the open form by the ids of its fields, and save it."""
    form = on.locator("form.own-form")
    for name, value in fields.items():
        box = form.locator(f"[id$='-{name}']")
        kind = box.evaluate("box => box.type")
        if kind == "checkbox":
            box.check()
        elif kind == "select-one":
            box.select_option(value)
        else:
            box.fill(value)
    form.get_by_role("button", name=save, exact=True).click()


def add_marten(page: Page) -> str:
    """Add the Corrie Marten with three units by its form; return its id."""
    page.goto("garage/")
    press(page, "Add a vehicle")
    form = page.locator("form.own-form")
    for name in ("Rear axle with a cover", "Transfer case", "Wheels"):
        form.get_by_label(name, exact=True).check()
    typed(page, "Save the vehicle", name="Corrie Marten", unit="mi", reading="98765", coldest="-12", tyre="235/75R15")
    page.wait_for_url("**/garage/vehicle/?id=marten-*")
    expect(page.locator("section.entry h2")).to_have_text(["Rear axle", "Transfer case", "Wheels", "Whole vehicle"])
    return page.url.split("id=")[1].split("#")[0]


def record(page: Page, name: str) -> Json:
    return next(dict(one) for one in page.evaluate(STORED) if one["id"] == name)
