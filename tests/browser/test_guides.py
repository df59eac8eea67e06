"""The two guides on the phone: reached from the cards, readable without scripts and without signal."""

from __future__ import annotations

import re
from importlib import resources
from itertools import pairwise

import pytest
from playwright.sync_api import Browser, Page, expect

from answers import SITE
from browser.test_access import ALL_LAID_OUT, look
from harness import SiteServer, watch
from jobs import Worker

PATHS = ("guides/what-came-out/", "guides/when-it-is-stuck/")


@pytest.mark.parametrize("path", PATHS)
def test_a_guide_is_readable_and_big_enough(chromium: Browser, served: SiteServer, path: str) -> None:
    context = chromium.new_context(viewport={"width": 320, "height": 800}, base_url=served.url, service_workers="block")
    page = context.new_page()
    faults = watch(page, served.origin)
    page.goto(path)
    assert page.locator("h1").count() == 1
    levels = page.locator("main :is(h1, h2, h3, h4)").evaluate_all("all => all.map(one => Number(one.tagName[1]))")
    assert all(after <= one + 1 for one, after in pairwise(levels)), "no level is left out"
    page.evaluate(ALL_LAID_OUT)
    page.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text())
    look(page, path)
    assert faults == []
    context.close()


def test_the_ladder_to_a_broken_bolt_without_signal(worker: Worker) -> None:
    page = worker.page
    page.goto("cards/")
    page.get_by_role("link", name=re.compile("^When it is stuck")).click()
    page.get_by_role("navigation", name="On this page").get_by_role("link", name="Broken bolt").click()
    ladder = page.locator("section", has=page.locator("#bolt"))
    expect(ladder.locator("#bolt")).to_be_in_viewport()
    # What can hurt and what ends it stand before what to do.
    drill = ladder.locator("li.step", has_text="left-hand drill")
    text = drill.inner_text()
    assert text.index("STOP if the hole has run off centre") < text.index("Drill it with a greased")
    before = ladder.inner_text()
    assert before.index("Do not drill until the opening is stopped") < before.index("Drill it with a greased")
    row = ladder.locator("tbody tr", has_text="M10×1.5")
    assert row.locator("td").all_inner_texts() == ["8.5"]
    ladder.get_by_role("link", name="Thread repair").click()
    expect(page.locator("h1")).to_have_text("Thread repair")
    page.go_back()
    page.locator("section", has=page.locator("#chatter")).get_by_role("link", name=re.compile("^P21")).click()
    page.wait_for_url("**/cards/p21/")


def test_sizes_stand_as_in_the_tables_with_unit_source_and_state(page: Page) -> None:
    page.goto("guides/when-it-is-stuck/")
    for name, ladder in SITE.guides["when-it-is-stuck"].ladders.items():
        shown = page.locator("section", has=page.locator(f"#{name}")).locator("table")
        assert shown.count() == len(ladder.sizes)
        for at, sizes in enumerate(ladder.sizes):
            table = SITE.tables[sizes.table]
            rows = [[str(row.cells[column]) for column in sizes.columns] for row in table.rows
                    if row.cells["thread"] in sizes.rows]
            cells = shown.nth(at).locator("tbody tr").evaluate_all(
                "all => all.map(row => [...row.cells].map(cell => cell.textContent.replace('‑', '-')))")
            assert cells == rows
            heads = shown.nth(at).locator("thead th").all_inner_texts()
            units = {one.id: one.unit for one in table.columns}
            assert all((units[column] or "") in head for column, head in zip(sizes.columns, heads, strict=True))
            below = page.locator("section", has=page.locator(f"#{name}")).locator(".scroll + p").nth(at)
            expect(below).to_contain_text(f"{table.state} {SITE.sources[table.source].title}")


@pytest.mark.parametrize("scripts", [True, False])
def test_every_word_with_what_the_card_says_of_it(chromium: Browser, served: SiteServer, scripts: bool) -> None:
    context = chromium.new_context(base_url=served.url, java_script_enabled=scripts, service_workers="block")
    page = context.new_page()
    page.goto("guides/what-came-out/")
    cards = {card.no: card for card in SITE.cards.values()}
    for name, sign in SITE.guides["what-came-out"].signs.items():
        section = page.locator("section", has=page.locator(f"#{name}"))
        words = section.locator(".sign")
        assert words.locator("h4").all_text_contents() == list(sign.words)
        assert section.locator("svg[aria-hidden=true]").count() == sum(bool(word.draw) for word in sign.words.values())
        texts = words.evaluate_all("all => all.map(one => one.textContent.replace(/\\s+/g, ' '))")
        stops = words.evaluate_all("all => all.map(one => one.querySelector('.stop') !== null)")
        if sign.field:
            field = next(one for one in cards[sign.card].record if one.id == sign.field)
            assert stops == [option.stop for option in field.options]
            for text, option in zip(texts, field.options, strict=True):
                assert (option.means or sign.words[option.word].means or "").removeprefix("Stop. ") in text
            for card in cards.values():
                same = any(one.id == field.id and one.words == field.words for one in card.record)
                assert (section.locator(f"a[href$='cards/{card.no.lower()}/']").count() == 1) == same, card.no
        elif sign.table:
            for text, row in zip(texts, SITE.tables[sign.table].rows, strict=True):
                assert all(str(cell) in text for cell in row.cells.values())
                assert (row.source is None) or SITE.sources[row.source].title in text
    context.close()


def test_a_guide_prints_with_its_drawings(page: Page) -> None:
    page.goto("guides/what-came-out/")
    page.emulate_media(media="print")
    expect(page.locator("#magnet")).to_be_visible()
    assert page.locator(".sign svg").first.is_visible()
    assert page.locator(".nav").is_hidden()
