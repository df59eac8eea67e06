"""Every calculator, one page load each: on a narrow phone, by keyboard alone, with a decimal comma, out of range,
empty, backwards, in the dark and on paper.

The page is opened by an address with the figures of its first worked example, so every output of it must be answered.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from playwright.sync_api import Browser, Page, expect

from answers import SITE
from browser.test_access import CONTRAST, RULES, SMALL, SMALL_TEXT, WIDE
from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator
from fillmark.worked import program
from harness import SiteServer, watch

IDS = sorted(SITE.calculators)
NO_CONTRAST = {name: {"enabled": False} for name in ("color-contrast", "color-contrast-enhanced")}
PLAIN = {**RULES, "rules": {**RULES.get("rules", {}), **NO_CONTRAST}}
# What can be reached by the key Tab, in the order of the page.
REACHED = """() => { const all = [...document.querySelectorAll(
    '.calc :is(a[href], input, select, textarea, button, summary)')]
  .filter((one) => one.checkVisibility() && !one.disabled);
  all[0].focus();
  return all.map((one) => one.id || one.closest('[data-input]')?.dataset.input || one.textContent.trim()) }"""
ACTIVE = """() => {
  const one = document.activeElement;
  const ring = getComputedStyle(one);
  return [one.id || one.closest('[data-input]')?.dataset.input || one.textContent.trim(), ring.outlineStyle !== 'none'];
}"""
# Sets a field as typing does, and says what the page then shows.
TYPED = """([id, text]) => {
  const box = document.getElementById(`in-${id}`);
  box.value = text;
  box.dispatchEvent(new Event('input', {bubbles: true}));
  const field = box.closest('[data-input]');
  return {
    say: field.querySelector('[data-say]').textContent,
    invalid: box.getAttribute('aria-invalid'),
    line: document.getElementById('line').value,
    shown: Object.fromEntries([...document.querySelectorAll('[data-output]')].map((one) => [one.dataset.output,
      [one.querySelector('[data-value]').textContent, one.querySelector('[data-also]').textContent]])),
  };
}"""
# Colours that print, and what would be cut at the edge of the sheet.
PRINTED = """() => {
  const seen = [...document.querySelectorAll('main *')]
    .filter((one) => one.checkVisibility() && !one.closest('svg, .sr'));
  const parts = (colour) => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
  const grey = (colour) => Math.max(...parts(colour)) - Math.min(...parts(colour));
  const dark = (colour) => Math.max(...parts(colour));
  return {
    pale: seen.filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim()))
      .filter((one) => dark(getComputedStyle(one).color) > 80 || grey(getComputedStyle(one).color) > 8)
      .map((one) => `${one.tagName} ${one.className} ${getComputedStyle(one).color}`).slice(0, 5),
    ground: getComputedStyle(document.body).backgroundColor,
    cut: [document.documentElement, ...seen].filter((one) => one.scrollWidth > one.clientWidth + 1
      && one.clientWidth > 0 && getComputedStyle(one).overflowX !== 'visible')
      .map((one) => `${one.tagName} ${one.className}`).slice(0, 5),
    wide: seen.filter((one) => one.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .map((one) => `${one.tagName} ${one.className}`).slice(0, 5),
    buttons: [...document.querySelectorAll('main button, nav, details[data-backwards]')]
      .filter((one) => one.checkVisibility()).length,
  };
}"""


@pytest.fixture(scope="module")
def axe() -> str:
    return (resources.files("axe_playwright_python") / "axe.min.js").read_text()


@pytest.fixture(scope="module")
def phone(chromium: Browser, served: SiteServer) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 320, "height": 800}, base_url=served.url, service_workers="block")
    context.set_default_timeout(10_000)
    page = context.new_page()
    faults = watch(page, served.origin)
    yield page
    context.close()
    assert not faults, "\n".join(faults)


def text(got: Any) -> str:
    return got.text.removesuffix(" 1") if isinstance(got, Amount) else str(got)


def typed(phone: Page, name: str, value: str) -> dict[str, Any]:
    return dict(phone.evaluate(TYPED, [name, value]))


def must(one: Calculator) -> str:
    """Return a typed input that may not stay empty, '' where there is none."""
    given = one.examples[0].inputs
    return next((name for name, shape in one.typed().items() if not shape.optional and name in given), "")


def axe_finds(phone: Page, rules: dict[str, Any]) -> list[str]:
    told = phone.evaluate("rules => axe.run(document, rules)", rules)
    assert told["testEngine"]["name"] == "axe-core"
    return [f"{one['id']}: {node['html'][:120]}" for one in told["violations"] for node in one["nodes"]]


@pytest.mark.parametrize("name", IDS)
def test_a_calculator_in_every_hand(phone: Page, axe: str, name: str) -> None:
    one = SITE.calculators[name]
    example = one.examples[0]
    phone.emulate_media(media="screen", color_scheme="light")
    phone.set_viewport_size({"width": 320, "height": 800})
    asks = urlencode({key: text(got) for key, got in example.inputs.items()}, quote_via=quote)
    phone.goto(f"work-out/{name}/?{asks}")
    expect(phone.locator("[data-example]")).to_be_hidden()
    expect(phone.locator("#line")).not_to_have_value("")
    shown = phone.evaluate("() => [...document.querySelectorAll('[data-output]')].filter((one) => "
                           "one.querySelector('[data-value]').textContent !== '–').map((one) => one.dataset.output)")
    assert set(shown) >= {*example.outputs, *example.words}, "the example's own outputs are answered"
    assert phone.locator("#line").input_value().startswith(one.title)
    by_keyboard(phone, one)
    numbers(phone, one)
    assert phone.evaluate(WIDE) == [], "wider than 320 px"
    assert phone.evaluate(SMALL, 48) == [], "under 48 px high"
    assert phone.evaluate(SMALL_TEXT, 13.9) == []
    phone.evaluate(axe)
    fifth = one.no[-1] in "05"  # no calculator has a colour of its own, and the frame is every page's
    assert axe_finds(phone, RULES if fifth else PLAIN) == []
    if fifth:
        phone.emulate_media(color_scheme="dark")
        assert axe_finds(phone, CONTRAST) == []
    printed(phone)


def by_keyboard(phone: Page, one: Calculator) -> None:
    """From the first field to the last button by Tab alone, each with a ring; Enter opens what works backwards."""
    back = phone.locator("[data-backwards] summary")
    if back.count():
        back.focus()
        phone.keyboard.press("Enter")
        expect(phone.locator("#back-free")).to_be_visible()
    wanted = phone.evaluate(REACHED)
    reached = [wanted[0]]
    for _ in wanted[1:]:
        phone.keyboard.press("Tab")
        where, ring = phone.evaluate(ACTIVE)
        assert ring, f"{where}: it must be seen where one is"
        reached.append(where)
    assert reached == wanted
    if not back.count():
        return
    # Typed in by keys: what it shows now is asked for, so a figure, or words about it, must come.
    output, value = phone.evaluate("""() => { const id = document.getElementById('back-out').value;
      return [id, document.querySelector(`[data-output="${id}"] [data-value]`).textContent] }""")
    number = value.split()[0].replace("\u202f", "") if value[:1] in "-−0123456789" else "1"
    phone.locator("#back-want").press_sequentially(number)
    says = phone.locator("#back-says").inner_text()
    label = phone.locator("#back-free option").first.inner_text()
    assert says.startswith((f"{label}: ", "Needs: ")), (output, number, says)
    tap = phone.locator("[data-back] button")
    if value[:1] in "-−0123456789" and tap.count() == 1:
        tap.press("Enter")
        again = phone.locator(f'[data-output="{output}"] [data-value]').inner_text()
        assert again == value, "forwards again it is the same"


def numbers(phone: Page, one: Calculator) -> None:
    """Empty, with a comma, and far too much: each is said beneath the field and taken out of the answers."""
    name = must(one)
    if not name:
        return
    box = phone.locator(f"#in-{name}")
    before = box.input_value()
    usual = typed(phone, name, before)
    formulas = program(SITE.units, one)
    rests = [key for key in one.outputs if name in formulas.needs(key) and usual["shown"][key][0] != "–"]
    empty = typed(phone, name, "")
    assert (empty["say"], empty["invalid"]) == ("Type a number.", "false")
    for key in rests:
        assert empty["shown"][key][0] == "–" and one.inputs[name].label in empty["shown"][key][1]
        assert f"{one.outputs[key].label}: " not in empty["line"]
    much = typed(phone, name, "99999999999")
    assert much["say"].startswith("Not used. 99999999999") and one.typed()[name].why in much["say"]
    assert much["invalid"] == "true"
    assert {key: much["shown"][key] for key in rests} == {key: empty["shown"][key] for key in rests}
    comma = typed(phone, name, f"{before}0000".replace(".", ",") if "." in before else f"{before},0")
    assert comma["say"].startswith("reads as ") and comma["shown"] == usual["shown"] and comma["line"] == usual["line"]
    assert typed(phone, name, before) == usual


def printed(phone: Page) -> None:
    """From a dark screen: black on white, no buttons, nothing beyond the edge of A4 (718 px between 10 mm margins)."""
    phone.set_viewport_size({"width": 718, "height": 1000})
    phone.emulate_media(media="print", color_scheme="dark")
    paper = phone.evaluate(PRINTED)
    assert paper["pale"] == [] and paper["ground"] in {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    assert (paper["cut"], paper["wide"], paper["buttons"]) == ([], [], 0)
