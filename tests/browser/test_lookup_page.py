"""Look up: type two words, see capacity rows and torque tags at once; one typing error is forgiven."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect


def found(page: Page, query: str) -> list[str]:
    page.locator("#q").fill(query)
    expect(page.locator(".count")).to_contain_text(re.compile("found", re.IGNORECASE))
    return page.locator(".entry:visible h2").all_inner_texts()


@pytest.mark.parametrize("query", ["thornback rear", "Thornback REAR", "thornbakc rear", "rear thornback"])
def test_thornback_rear(page: Page, query: str) -> None:
    page.goto("look-up/")
    assert found(page, query)[0].startswith("HR-225C rear axle")
    entry = page.locator(".entry:visible").first
    expect(entry.locator(".cap")).to_contain_text("2.35 L")
    expect(entry.locator(".tag").first).to_contain_text("26 N·m")
    expect(entry.locator(".tag").first.locator("svg")).to_be_visible()


@pytest.mark.parametrize("query", ["drystone wheel", "drystome wheel", "drystone wheels"])
def test_drystone_wheel(page: Page, query: str) -> None:
    page.goto("look-up/")
    assert "wheels" in found(page, query)[0]
    expect(page.locator(".entry:visible .tag").first).to_contain_text("113 N·m")


def test_nothing_found_is_said_and_clearing_brings_all_back(page: Page) -> None:
    page.goto("look-up/")
    everything = page.locator(".entry:visible").count()
    assert found(page, "zeppelin") == []
    expect(page.locator(".count")).to_contain_text("Nothing found for “zeppelin”")
    page.locator("#q").fill("")
    assert page.locator(".entry:visible").count() == everything


def test_a_link_may_carry_the_words(page: Page) -> None:
    page.goto("look-up/?q=wicket%20rear")
    expect(page.locator(".entry:visible h2").first).to_contain_text("SR-160D")


def test_without_a_script_the_numbers_are_all_there(page: Page) -> None:
    html = page.request.get("look-up/").text()
    for text in ("2.35 L", "26 <small>N·m</small>", "2.2 imp pt", "113 <small>N·m</small>"):
        assert text in html
