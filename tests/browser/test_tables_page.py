"""A reference table on the phone: put in order, narrowed, printed; and its rows found by the look-up."""

from __future__ import annotations

import re

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from harness import ROOT

TABLES = sorted(path.stem for path in (ROOT / "content" / "tables").glob("*.yaml"))
CEILING = "tables/bolt-torque-ceiling/"


def firsts(page: Page) -> list[str]:
    heads = page.locator("tbody tr:visible th")
    texts: list[str] = heads.evaluate_all("all => all.map(one => one.firstChild.data.trim())")
    return texts


def test_a_tap_on_a_head_puts_the_rows_in_order_turns_them_and_lets_go(page: Page) -> None:
    page.goto(CEILING)
    written = firsts(page)
    head = page.get_by_role("button", name=re.compile("^Stress area"))
    head.click()
    areas = [float(text) for text in page.locator("tbody tr td:last-child").all_inner_texts()]
    assert areas == sorted(areas) and len(areas) == len(written)
    expect(page.locator("th[aria-sort=ascending]")).to_have_count(1)
    head.press("Enter")  # a keyboard does it too
    areas = [float(text) for text in page.locator("tbody tr td:last-child").all_inner_texts()]
    assert areas == sorted(areas, reverse=True)
    head.click()
    assert firsts(page) == written
    expect(page.locator("th[aria-sort=none]")).to_have_count(5)


def test_sizes_stand_in_the_order_a_person_counts(page: Page) -> None:
    page.goto(CEILING)
    page.get_by_role("button", name="Thread", exact=True).click()
    metric = [name for name in firsts(page) if name.startswith("M")]
    assert metric.index("M8×1.25") < metric.index("M10×1.5") < metric.index("M12×1.75")


def test_only_rows_with_all_the_words_are_left_and_print_so(page: Page) -> None:
    page.goto(CEILING)
    page.fill("#narrow", "m8 10.9")
    assert firsts(page) == ["M8×1.25", "M8×1"]
    expect(page.get_by_role("status").filter(has_text="rows")).to_contain_text("2 of")
    page.emulate_media(media="print")
    assert firsts(page) == ["M8×1.25", "M8×1"]
    expect(page.get_by_text("those with “m8 10.9”")).to_be_visible()
    page.emulate_media(media="screen")
    page.fill("#narrow", "m9")
    assert firsts(page) == []
    expect(page.get_by_text("No row has “m9”")).to_be_visible()
    page.fill("#narrow", "")
    assert len(firsts(page)) > 20


def test_a_figure_is_taken_as_it_is_written(page: Page) -> None:
    page.goto(CEILING)
    page.fill("#narrow", "8.8")
    assert all("8.8" in text for text in page.locator("tbody tr:visible").all_inner_texts())
    page.fill("#narrow", "8")
    assert not [text for text in page.locator("tbody tr:visible td:nth-child(2)").all_inner_texts() if text == "8.8"]


def test_the_look_up_finds_rows_and_leads_to_them(page: Page) -> None:
    page.goto("look-up/")
    page.fill("#q", "m8 ceiling 10.9")
    rows = page.locator("[data-rows] a")
    expect(rows.first).to_contain_text("36.5 N·m")
    expect(rows.nth(1)).to_contain_text("unverified")  # a number from memory says so here too
    rows.first.click()
    expect(page.locator("h1")).to_contain_text("Bolt torque ceiling")
    expect(page.get_by_text("those with “M8×1.25”")).to_be_visible()
    assert set(firsts(page)) == {"M8×1.25"}
    page.go_back()
    page.fill("#q", "zeppelin")
    expect(page.locator(".count")).to_contain_text("Nothing found for “zeppelin”")
    expect(page.locator("[data-rows] a")).to_have_count(0)


def test_every_table_on_a_narrow_phone(page: Page) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    for place, name in enumerate(TABLES):
        page.goto(f"tables/{name}/")
        expect(page.locator("thead button").first).to_be_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, name
        if place % 4 == 0:  # one template makes them all
            found = Axe().run(page, options={"rules": {"color-contrast": {"enabled": False}}})
            assert found.response["violations"] == [], found.generate_report()
