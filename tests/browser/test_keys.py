"""The keys walked by tapping, without signal: to a unit, to none of yours, to an oil; readable in every state."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib import resources

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from browser.test_access import ALL_LAID_OUT, look
from harness import Handsets, SiteServer, watch
from jobs import Worker
from own import add_marten, own_tab, press, typed

FOUND = "main .results .v"


@pytest.fixture
def tab(handsets: Handsets) -> Iterator[Page]:
    yield from own_tab(handsets)


def left(page: Page) -> Locator:
    """The drawings of what is left, of one's own units and of kinds."""
    return page.locator("[data-candidate]")


def another(page: Page, short: str) -> None:
    page.get_by_label("Another question, in any order").select_option(label=short)


def test_a_unit_is_found_by_tapping_without_signal(worker: Worker) -> None:
    page = worker.page
    page.goto("cards/")
    page.get_by_role("link", name="Which final drive is it").click()
    expect(page.locator(FOUND)).to_have_text("Nothing answered yet")
    another(page, "Face of the housing")
    expect(page.locator("main h2").first).to_be_focused()
    press(page, "A cover held by a ring of bolts")
    expect(page.locator(FOUND)).to_have_text("Not enough to tell")
    another(page, "Bolts")
    page.get_by_label("Bolts", exact=True).fill("ten")
    press(page, "Use it")
    expect(page.locator("main form [role=alert]")).to_contain_text("whole number from 3 to 48")
    page.get_by_label("Bolts", exact=True).fill("10")
    press(page, "Use it")
    # Four may still be it: two say so, two do not say.
    expect(left(page).filter(has_text="Agrees: face of the housing, bolts.")).to_have_count(2)
    another(page, "Outline")
    press(page, "Oval, wider than it is high")
    another(page, "Where it sits")
    press(page, "At the rear")
    expect(page.locator(FOUND)).to_have_text("It is Thornback HR-225C rear axle")
    expect(page.locator("main .results")).to_contain_text("As far as these answers go.")
    drawing = left(page).first.locator("svg")
    told = "oval, wider than high, 10 bolts, fill hole at 3 o’clock"
    expect(drawing).to_have_attribute("aria-label", re.compile(told))
    # Face, fill plug and ten bolts; the key of the plug is a square.
    assert drawing.locator("circle").count() == 11 and drawing.locator("rect").count() == 1
    settle = page.locator("section", has=page.get_by_role("heading", name="What would settle it"))
    expect(settle).to_contain_text("The record says 41 on 11.")
    # A tag that reads otherwise, and none of them is left; the page names the answers that may be off.
    expect(page.locator("main h2").first).to_have_text("Which letters and figures can you read on the tag or stamp?")
    page.get_by_label("What the tag says").fill("37-10")
    press(page, "Use it")
    expect(page.locator(FOUND)).to_have_text("None of yours")
    settle.get_by_role("button", name="Take back What the tag says").click()
    expect(page.locator(FOUND)).to_contain_text("It is Thornback")
    # The link holds the answers, and so does the phone that comes back to the page.
    page.reload()
    expect(page.locator(FOUND)).to_contain_text("It is Thornback")
    press(page, "Start again")
    expect(page.locator(FOUND)).to_have_text("Nothing answered yet")
    assert "?" not in page.url


def test_a_count_of_turns_waits_for_which_wheels_turned(page: Page) -> None:
    page.goto("keys/which-unit/")
    another(page, "Ratio by turns")
    # The danger stands before the way to do it.
    text = page.locator("main section").first.inner_text()
    assert text.index("DANGER") < text.index("Chalk the tyre")
    page.get_by_label("Turns of the propshaft, P").fill("37,3")
    page.get_by_label("Turns of the wheel or wheels, N").fill("20")
    press(page, "Use it")
    expect(page.locator("main form [role=alert]")).to_contain_text("Say first whether one wheel turned")
    page.get_by_label("What turned").select_option("one")
    press(page, "Use it")
    expect(left(page).filter(has_text="Agrees: ratio by turns.")).to_have_count(2)
    another(page, "Turn test")
    press(page, "The same way")
    expect(page.locator("main")).to_contain_text("Not used. The wheels of this axle turn together")


def test_a_unit_typed_on_the_phone_is_found_by_what_was_written_down(tab: Page) -> None:
    name = add_marten(tab)
    section = tab.locator("#rear-axle")
    section.get_by_text("Change", exact=True).click()
    press(section, "What it looks like: outline, bolts, plugs")
    typed(tab, shape="cornered", bolts="12", fill="9 o'clock", marks="K 447")
    expect(section).to_contain_text("Saved")
    tab.goto("keys/which-unit/?face=cover&bolts=12&fill=left")
    expect(tab.locator(FOUND)).to_have_text("Not enough to tell")  # two that say nothing of it are left beside
    another(tab, "Casting marks")
    tab.get_by_label("Casting marks").fill("447")
    press(tab, "Use it")
    another(tab, "Where it sits")
    press(tab, "At the rear")
    expect(tab.locator(FOUND)).to_have_text("It is Marten Rear axle")
    tab.get_by_role("link", name="Its record, with all its numbers").click()
    tab.wait_for_url(f"**/garage/vehicle/?id={name}#rear-axle")
    tab.locator("#rear-axle").get_by_role("link", name="Which oil goes in").click()
    expect(tab.locator("main")).to_contain_text("Its record names no oil.")


def test_the_oil_of_a_record_stands_before_every_rule(worker: Worker) -> None:
    page = worker.page
    page.goto("vehicles/thornback/")
    page.locator("#thornback-rear-axle").get_by_role("link", name="Which oil goes in").click()
    expect(page.locator(FOUND).first).to_have_text("75W-110, GL-5 LS")
    turn = page.locator("[data-turn=category]")
    turn.get_by_label("What does the service manual name for it?").select_option("gl-4")
    expect(turn.locator(".v")).to_have_text("Buy nothing yet")
    expect(page.locator("[data-turn=grade] .v")).to_have_text("No grade yet")
    page.reload()
    expect(turn.locator(".v")).to_have_text("Buy nothing yet")


def test_an_oil_is_reached_turn_by_turn(page: Page) -> None:
    page.goto("keys/which-fluid/")
    expect(page.locator("[data-turn=grade]")).to_contain_text("No grade without a category")
    expect(page.get_by_label("How cold is the coldest morning")).to_be_hidden()
    page.get_by_label("What is the unit?").select_option("hypoid")
    page.get_by_label("How hard does it work?").select_option("normal")
    cold = page.get_by_label("How cold is the coldest morning")
    cold.fill("-300")
    expect(page.locator("#say-key-cold")).to_contain_text("Check the unit")
    cold.fill("−18")
    expect(page.locator(FOUND).first).to_have_text("70W-90 or 75W-90 or 80W-90, GL-5")
    page.get_by_label("Unit: Coldest start").select_option("°F")
    expect(page.locator("[data-turn=grade]")).to_contain_text("flow at −27.8 °C")  # (−18 − 32) / 1.8
    page.get_by_label("Which grade does the manual name?").fill("10 cSt")
    expect(page.locator("#say-key-grade")).to_contain_text("Type a gear oil grade")
    page.get_by_label("Which grade does the manual name?").fill("80w-90")
    expect(page.locator(FOUND).first).to_have_text("80W-90, GL-5")
    expect(page.locator("[data-turn=grade] .warn")).to_contain_text("80W is good down to −26 °C only")


def test_the_keys_are_walked_by_keyboard_alone(page: Page) -> None:
    page.goto("keys/which-diff/")
    expect(page.get_by_role("button", name="Freely")).to_be_visible()
    page.get_by_role("button", name="Freely").focus()
    page.keyboard.press("Enter")
    expect(page.locator("main h2").first).to_be_focused()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.tagName") == "BUTTON"
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Answered: 2")).to_be_visible()


@pytest.mark.parametrize("path", [
    "keys/which-unit/?face=cover&bolts=10&turn=same&ratio=37.3/20/one",
    "keys/which-unit/?bolts=14&seat=rear&face=smooth",
    "keys/which-diff/?turn=opposite", "keys/which-fluid/?for=drystone/gearbox&names=gl-5",
    "keys/which-fluid/?unit=hypoid&cold=-18 °C&load=heavy&hot=130 °C&diff=clutch-ls&inside=pag&seals=epdm",
])
def test_every_state_is_readable_and_fits_the_phone(chromium: Browser, served: SiteServer, path: str) -> None:
    context = chromium.new_context(base_url=served.url, service_workers="block", has_touch=True)
    page = context.new_page()
    faults = watch(page, served.origin)
    page.goto(path)
    expect(page.locator("main .results").first).to_be_visible()
    page.evaluate("for (const one of document.querySelectorAll('main details')) one.open = true")
    page.evaluate(ALL_LAID_OUT)
    page.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text())
    look(page, path)
    context.close()
    assert faults == []


def test_without_scripts_the_questions_kinds_and_rules_stand_there(chromium: Browser, served: SiteServer) -> None:
    context = chromium.new_context(base_url=served.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("keys/which-unit/")
    page.get_by_text("All kinds").click()
    expect(page.locator("main")).to_contain_text("Beam axle with a drop-out carrier")
    page.goto("keys/which-fluid/")
    page.get_by_text("Rules: category").click()
    expect(page.get_by_text("Unit: Hypoid axle", exact=True)).to_be_visible()
    context.close()
