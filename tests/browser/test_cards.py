"""A job card on the phone: one unit's numbers in its slots, blanks for what is not known, holds that hold."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

P01 = "cards/p01/?for=thornback/rear-axle"


def step(page: Page, number: int) -> Locator:
    return page.locator(f"[data-step='{number}']")


def test_the_bound_card_shows_this_units_numbers(page: Page) -> None:
    page.goto(P01)
    expect(page.locator("h1")).to_contain_text("Axle oil change, housing with removable cover")
    head = page.locator(".head")
    expect(head).to_contain_text("Ardmoor Thornback")
    expect(head).to_contain_text("HR-225C rear axle")
    expect(head).to_contain_text("75W-110 GL-5 LS")
    expect(page.locator(".cap")).to_contain_text("2.35 L")
    # 1 US qt = 0.946352946 L exactly (NIST SP 811): 2.35 / 0.946352946 = 2.483.
    expect(page.locator(".cap")).to_contain_text("2.48 US qt")
    tag = page.locator(".tag").first
    expect(tag).to_contain_text("26 N·m")
    # 26 N·m × 0.73756215 = 19.18 lb·ft (NIST SP 811).
    expect(tag).to_contain_text("19 lb·ft")
    expect(tag).to_contain_text("13 → 19.5 → 26")
    expect(tag.locator("svg")).to_have_attribute("aria-label", re.compile("1, 6, 3, 8, 5, 10, 2, 7, 4, 9"))
    expect(tag).to_contain_text("Our order, not a standard")


def test_a_value_that_is_not_verified_says_so(page: Page) -> None:
    page.goto(P01)
    expect(step(page, 17)).to_contain_text("45 N·m / 33 lb·ft unverified")
    expect(step(page, 14)).not_to_contain_text("verified")


def test_a_conflict_shows_both_values_and_fills_to_level(page: Page) -> None:
    page.goto("cards/p02/?for=drystone/front-axle")
    row = page.locator(".cap tr").first
    expect(row).to_contain_text("1.35 L")
    expect(row.locator("s").first).to_have_text("1.10 L")
    expect(row).to_contain_text("conflict")
    expect(page.locator(".to-level")).to_have_text("Not verified: fill to level, not to volume.")


def test_the_card_without_a_unit_has_blanks_and_no_number(page: Page) -> None:
    page.goto("cards/p01/")
    assert page.locator(".steps [data-slot='fill.refill'].blank").count() >= 1
    assert not re.search(r"\d\s*(?:L|N·m)\b", page.locator(".card").inner_text())
    expect(page.locator(".demo")).to_contain_text("Blank card.")


def test_imperial_pints_stay_as_typed_with_litres_beneath(page: Page) -> None:
    page.goto("cards/p02/?for=wicket/rear-axle")
    # 1 imperial pint = 0.56826125 L exactly: 2.2 imp pt = 1.25 L; read as US pints it would be 1.04 L.
    expect(page.locator(".cap tr").first).to_contain_text("2.2 imp pt")
    expect(page.locator(".cap tr").first).to_contain_text("1.25 L")


def test_a_hold_stands_before_the_first_step_it_blocks(page: Page) -> None:
    page.goto(P01)
    order = page.locator(".steps > .hold, .steps > .step").evaluate_all(
        "all => all.map(one => one.dataset.step ?? one.querySelector('b').textContent)")
    for hold, first in ((1, "4"), (2, "6"), (3, "7"), (6, "16"), (7, "19")):
        assert order[order.index(f"HOLD {hold}") + 1] == first
    assert order[order.index("HOLD 4"):][:3] == ["HOLD 4", "HOLD 5", "13"]


def test_the_card_is_for_reading_and_starts_the_job(page: Page) -> None:
    page.goto(P01)
    expect(page.locator("html.first-frame")).to_have_count(0)
    assert page.locator(".card :is(input, select, textarea, [contenteditable])").count() == 0
    for box in page.locator(".card .paper").all():
        expect(box).to_be_hidden()
    expect(page.locator(".card")).not_to_contain_text("NOT saved")
    start = page.get_by_role("link", name="Start this job")
    expect(start).to_be_in_viewport()
    assert start.bounding_box()["height"] >= 72  # type: ignore[index]
    start.click()
    expect(page).to_have_url(re.compile(r"/job/\?start=p01/thornback/rear-axle$"))
    expect(page.locator("h1")).to_be_visible()


def test_the_card_without_a_unit_asks_for_one(page: Page) -> None:
    page.goto("cards/p01/")
    expect(page.get_by_role("link", name="Start this job")).to_have_count(0)
    page.get_by_role("link", name="Pick a unit to start").click()
    page.get_by_role("link", name="Thornback HR-225C rear axle").click()
    expect(page).to_have_url(re.compile(re.escape(P01) + "$"))
    expect(page.get_by_role("link", name="Start this job")).to_be_visible()


def test_the_crush_danger_stands_before_the_lift(page: Page) -> None:
    for card, lift in (("cards/p01/", 3), ("cards/p02/", 3), ("cards/p11/", 4)):
        page.goto(card)
        danger = page.locator(".steps .warn.danger", has_text="jack").first
        assert danger.bounding_box()["y"] < step(page, lift).bounding_box()["y"], card  # type: ignore[index]


@pytest.mark.parametrize("pattern", ["ring", "rail"])
def test_the_diagram_is_drawn_from_data(page: Page, pattern: str) -> None:
    page.goto("vehicles/thornback/")
    figure = page.locator(f"figure[data-pattern='{pattern}']").first
    count = int(figure.get_attribute("data-count") or 0)
    expect(figure.locator("svg")).to_be_visible()
    assert sorted(int(one) for one in figure.locator("text").all_text_contents()) == list(range(1, count + 1))


def test_the_links_to_its_parts_lead_there(page: Page) -> None:
    """The first frame lays out the first screen only, with guessed heights below it."""
    page.goto(P01)
    for part in ("Before", "Steps", "Print"):
        page.goto("about:blank")
        page.goto(f"{P01}#{part.lower()}")
        expect(page.locator("html:not(.first-frame) .card[data-filled]")).to_be_visible()
        top = page.locator(f"h2#{part.lower()}").evaluate("h2 => h2.getBoundingClientRect().top")
        end = page.evaluate("document.documentElement.scrollHeight - innerHeight - scrollY")
        assert -1 <= top <= 60 or end < 2, part


def test_a_reload_and_the_way_back_return_to_the_same_step(page: Page) -> None:
    page.goto(P01)
    ninth = step(page, 9)
    expect(page.locator("html.first-frame")).to_have_count(0)
    expect(page.locator(".tag svg").first).to_be_attached()
    ninth.evaluate("step => scrollTo({top: step.getBoundingClientRect().top + scrollY - 50, behavior: 'instant'})")
    at = "step => Math.round(step.getBoundingClientRect().top)"
    page.wait_for_timeout(400)  # the place is noted at rest
    assert ninth.evaluate(at) == 50
    page.reload()
    expect(ninth).to_be_in_viewport()
    page.wait_for_timeout(300)
    assert ninth.evaluate(at) == 50
    page.goto("about/")
    page.go_back()
    expect(ninth).to_be_in_viewport()
    page.wait_for_timeout(300)
    assert ninth.evaluate(at) == 50
