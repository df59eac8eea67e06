"""The list of what can be worked out, whole and for one unit, and that every page of it is led to."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from answers import SITE
from fillmark.model import tools


def test_the_list_narrows_as_one_types(page: Page) -> None:
    page.goto("work-out/")
    rows = page.locator("a[data-words]")
    every = rows.count()
    assert every == len(tools.every(SITE))
    page.fill("#q", "coolant")
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"^\d found$"))
    assert page.locator("a[data-words]:visible b").all_inner_texts()[0].lower().count("coolant")
    expect(page.locator(".group:visible h2")).to_have_text(["Other fluids"])
    page.fill("#q", "zzzz")
    expect(page.locator("[data-count]")).to_have_text("Nothing found for “zzzz”. Try one word less.")
    page.fill("#q", "")
    expect(page.locator("a[data-words]:visible")).to_have_count(every)


def test_the_list_of_a_unit_keeps_the_unit(page: Page) -> None:
    page.goto("vehicles/thornback/")
    page.locator("#thornback-cooling").get_by_role("link", name="Work out for this unit").click()
    expect(page.locator("[data-from]")).to_contain_text("For Ardmoor Thornback, TB coolant cooling system.")
    shown = page.locator("a[data-words]:visible")
    titles = shown.locator("b").all_inner_texts()
    assert SITE.calculators["coolant-share"].title in titles
    assert SITE.calculators["axle-ratio"].title not in titles
    page.get_by_role("button", name="Show all").click()
    expect(shown).to_have_count(len(tools.every(SITE)))
    page.locator("a[data-words]", has_text=SITE.calculators["coolant-share"].title).click()
    expect(page.locator("[data-from]")).to_contain_text("Filled from Ardmoor Thornback, TB coolant cooling system.")


def test_no_page_of_work_out_is_an_orphan(dist: Path) -> None:
    """Each is on the list, for some kind of unit whose page leads there, and no card asks for what is not there."""
    listed = (dist / "work-out/index.html").read_text("utf-8")
    rows = dict[str, set[str]]()
    for common, group in re.findall(r'<section class="group" data-kinds="([^"]*)">(.*?)</section>', listed, flags=re.S):
        found = re.findall(r'href="\.\./work-out/([^/]+)/" (?:data-kinds="([^"]*)" )?data-words=', group)
        rows |= {name: set((own or common).split()) for name, own in found}
    there = {path.parent.name for path in dist.glob("work-out/*/index.html")}
    assert set(rows) == there == set(tools.every(SITE))
    kinds = {unit.kind for vehicle in SITE.vehicles.values() for unit in vehicle.units.values()}
    on_cards = {name for card in SITE.cards.values() for name in card.work_out}
    assert [name for name, fits in rows.items() if not fits & kinds and name not in on_cards] == []
    for name in SITE.vehicles:
        page = (dist / f"vehicles/{name}/index.html").read_text("utf-8")
        for unit in SITE.vehicles[name].units:
            assert f"work-out/?for={name}/{unit}" in page
    for card in SITE.cards.values():
        page = (dist / f"cards/{card.no.lower()}/index.html").read_text("utf-8")
        assert card.work_out and all(f"work-out/{one}/" in page for one in card.work_out), card.no
