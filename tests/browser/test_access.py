"""Every kind of page, at three widths and in both themes: readable, big enough for a gloved thumb, never too wide."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources

import pytest
from playwright.sync_api import Page, expect

import facts
from harness import Handsets, SiteServer, watch

# One page of every template.
PAGES = ["", "cards/", facts.CARD, "cards/p01/", "look-up/", "work-out/", "work-out/viscosity/", "work-out/axle-ratio/",
         "log/", "job/", "keys/which-unit/", "keys/which-fluid/", "vehicles/drystone/", "tables/",
         "tables/gear-oil-grades/", "safety/", "sources/", "404.html", "this-phone/"]

RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    # Both are off by default: 24 px targets (ours are 48, below), and 7:1 contrast.
    "rules": {"target-size": {"enabled": True}, "color-contrast-enhanced": {"enabled": True}},
    "resultTypes": ["violations"],
}
# Contrast follows the theme, never the width (no width rule of the stylesheet sets a colour), and in the dark only the
# colours are others. What else axe looks at, names and roles, no width changes: it runs at the narrow one.
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast", "color-contrast-enhanced"]},
            "resultTypes": ["violations"]}
LOOKS = ((320, "light", RULES), (320, "dark", CONTRAST), (360, "light", None), (412, "light", None))
# Far sections wait with their layout until they come near; here every part must be looked at.
ALL_LAID_OUT = """() => document.querySelectorAll('section').forEach(
  (section) => (section.style.contentVisibility = 'visible'))"""
SMALL = """least => {
  const inSentence = (element) => element.matches('a') && !element.matches('.btn, .row, nav *')
    && element.parentElement.matches('p, li, dd, td, th, h1, h2, h3, span, b, i, label')
    && element.parentElement.textContent.trim() !== element.textContent.trim();
  const found = [];
  for (const element of document.querySelectorAll('a[href], button, input, select, textarea, summary')) {
    // A box inside its label is pressed by the label.
    const ticked = element.matches('input[type=checkbox], input[type=radio]');
    const box = ((ticked && element.closest('label')) || element).getBoundingClientRect();
    if (!element.checkVisibility() || box.width <= 1 || inSentence(element)) continue;
    if (box.height < least - 0.5) {
      found.push(`${element.tagName.toLowerCase()}.${element.className} '${element.textContent.trim().slice(0, 30)}'`
        + ` ${Math.round(box.width)} x ${Math.round(box.height)}`);
    }
  }
  return found;
}"""
WIDE = """() => {
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= width) return [];
  return [...document.querySelectorAll('body *')]
    .filter((element) => element.getBoundingClientRect().right > width + 0.5 && !element.closest('.scroll'))
    .map((element) => `${element.tagName.toLowerCase()}.${element.className}`).slice(0, 8);
}"""
SMALL_TEXT = """least => [...document.querySelectorAll('main *')]
  .filter((element) => element.checkVisibility() && !element.closest('svg, math, .sr')
    && [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())
    && parseFloat(getComputedStyle(element).fontSize) < least)
  .map((element) => `${element.tagName.toLowerCase()}.${element.className} ${getComputedStyle(element).fontSize}`)"""


@pytest.fixture(scope="module")
def axe() -> str:
    return (resources.files("axe_playwright_python") / "axe.min.js").read_text()


@pytest.fixture(scope="module")
def phone(handsets: Handsets) -> Iterator[Page]:
    page = handsets.take("of a file", device_scale_factor=2, has_touch=True).new_page()
    yield page
    page.close()


def look(page: Page, where: str) -> None:
    """Look at the page as it stands, at three widths and in both themes; axe must be loaded."""
    for width, scheme, rules in LOOKS:
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        at = f"{where}, {width} px, {scheme}"
        if rules:
            told = page.evaluate("rules => axe.run(document, rules)", rules)
            assert told["testEngine"]["name"] == "axe-core"
            said = [f"{one['id']}: {node['html'][:120]} | {node['failureSummary'][:300]}"
                    for one in told["violations"] for node in one["nodes"]]
            assert said == [], f"{at}\n" + "\n".join(said)
        if scheme == "light":
            assert page.evaluate(SMALL, 48) == [], f"{at}: under 48 px high"
            assert page.evaluate(WIDE) == [], f"{at}: wider than the screen"
            assert page.evaluate(SMALL_TEXT, 13.9) == [], f"{at}: text under 14 px"


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path or "today")
def test_a_page_is_readable_and_big_enough(phone: Page, served: SiteServer, axe: str, path: str) -> None:
    faults = watch(phone, served.origin)
    phone.goto(path)
    assert phone.locator("h1").count() == 1
    phone.evaluate(ALL_LAID_OUT)
    phone.evaluate(axe)
    look(phone, path)
    assert phone.evaluate("parseFloat(getComputedStyle(document.body).fontSize)") >= 17
    assert faults == []


def test_the_rules_find_what_they_look_for(phone: Page, axe: str) -> None:
    """A check that finds nothing because it looks at nothing would pass for ever."""
    phone.goto("about/")
    phone.evaluate(axe)
    phone.evaluate(
        "() => { const p = document.createElement('p'); const b = document.createElement('button');"
        " p.textContent = 'pale'; p.style.color = '#666'; p.style.background = '#fff';"
        " p.style.fontSize = '11px'; p.style.width = '900px';"
        " b.style.height = '20px'; b.style.minHeight = '0'; b.style.padding = '0';"
        " document.querySelector('main').append(p, b) }")
    told = phone.evaluate("rules => axe.run(document, rules)", RULES)
    assert {"color-contrast-enhanced", "button-name"} <= {one["id"] for one in told["violations"]}
    assert phone.evaluate(SMALL, 48)
    assert phone.evaluate(WIDE)
    assert phone.evaluate(SMALL_TEXT, 13.9)


def test_the_card_leads_to_its_job_by_keyboard_alone(phone: Page) -> None:
    phone.goto(facts.CARD)
    expect(phone.get_by_role("link", name="Start this job")).to_be_visible()
    phone.keyboard.press("Tab")
    assert phone.evaluate("document.activeElement.textContent") == "Skip to the page"
    phone.keyboard.press("Enter")
    phone.keyboard.press("Tab")
    assert phone.evaluate("document.activeElement.textContent") == "Start this job"
    assert phone.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none", "it must be seen"
    phone.keyboard.press("Enter")
    phone.wait_for_url("**/job/?start=p01/thornback/rear-axle")
