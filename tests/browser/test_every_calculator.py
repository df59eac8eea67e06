"""Every calculator, one page load each: on a narrow phone, by keyboard alone, with a decimal comma, out of range,
empty, backwards, in the dark and on paper.

The page is opened by an address with the figures of its first worked example, so every output of it must be answered.
"""

from __future__ import annotations

from importlib import resources
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from playwright.sync_api import Page, expect

from answers import SITE
from browser.test_access import CONTRAST, RULES, SMALL, SMALL_TEXT, WIDE
from fillmark.model.amount import Amount
from fillmark.model.calculator import Calculator
from fillmark.worked import program

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


def text(got: Any) -> str:
    return got.text.removesuffix(" 1") if isinstance(got, Amount) else str(got)


def typed(narrow: Page, name: str, value: str) -> dict[str, Any]:
    return dict(narrow.evaluate(TYPED, [name, value]))


def must(one: Calculator) -> str:
    """Return a typed input that may not stay empty, '' where there is none."""
    given = one.examples[0].inputs
    return next((name for name, shape in one.typed().items() if not shape.optional and name in given), "")


def axe_finds(narrow: Page, rules: dict[str, Any]) -> list[str]:
    told = narrow.evaluate("rules => axe.run(document, rules)", rules)
    assert told["testEngine"]["name"] == "axe-core"
    return [f"{one['id']}: {node['html'][:120]}" for one in told["violations"] for node in one["nodes"]]


@pytest.mark.parametrize("name", IDS)
def test_a_calculator_in_every_hand(narrow: Page, axe: str, name: str) -> None:
    one = SITE.calculators[name]
    example = one.examples[0]
    narrow.emulate_media(media="screen", color_scheme="light")
    narrow.set_viewport_size({"width": 320, "height": 800})
    asks = urlencode({key: text(got) for key, got in example.inputs.items()}, quote_via=quote)
    narrow.goto(f"work-out/{name}/?{asks}")
    expect(narrow.locator("[data-example]")).to_be_hidden()
    expect(narrow.locator("#line")).not_to_have_value("")
    expect(narrow.locator(".calc[data-there]")).to_be_visible()
    shown = narrow.evaluate("() => [...document.querySelectorAll('[data-output]')].filter((one) => "
                           "one.querySelector('[data-value]').textContent !== '–').map((one) => one.dataset.output)")
    assert set(shown) >= {*example.outputs, *example.words}, "the example's own outputs are answered"
    assert narrow.locator("#line").input_value().startswith(one.title)
    by_keyboard(narrow, one)
    numbers(narrow, one)
    assert narrow.evaluate(WIDE) == [], "wider than 320 px"
    assert narrow.evaluate(SMALL, 48) == [], "under 48 px high"
    assert narrow.evaluate(SMALL_TEXT, 13.9) == []
    narrow.evaluate(axe)
    fifth = one.no[-1] in "05"  # no calculator has a colour of its own, and the frame is every page's
    assert axe_finds(narrow, RULES if fifth else PLAIN) == []
    if fifth:
        narrow.emulate_media(color_scheme="dark")
        assert axe_finds(narrow, CONTRAST) == []
    printed(narrow)


def by_keyboard(narrow: Page, one: Calculator) -> None:
    """From the first field to the last button by Tab alone, each with a ring; Enter opens what works backwards."""
    back = narrow.locator("[data-backwards] summary")
    if back.count():
        back.focus()
        narrow.keyboard.press("Enter")
        expect(narrow.locator("#back-free")).to_be_visible()
    wanted = narrow.evaluate(REACHED)
    reached = [wanted[0]]
    for _ in wanted[1:]:
        narrow.keyboard.press("Tab")
        where, ring = narrow.evaluate(ACTIVE)
        assert ring, f"{where}: it must be seen where one is"
        reached.append(where)
    assert reached == wanted
    if not back.count():
        return
    # Typed in by keys: what it shows now is asked for, so a figure, or words about it, must come.
    output, value = narrow.evaluate("""() => { const id = document.getElementById('back-out').value;
      return [id, document.querySelector(`[data-output="${id}"] [data-value]`).textContent] }""")
    number = value.split()[0].replace("\u202f", "") if value[:1] in "-−0123456789" else "1"
    narrow.locator("#back-want").press_sequentially(number)
    says = narrow.locator("#back-says").inner_text()
    label = narrow.locator("#back-free option").first.inner_text()
    assert says.startswith((f"{label}: ", "Needs: ")), (output, number, says)
    tap = narrow.locator("[data-back] button")
    if value[:1] in "-−0123456789" and tap.count() == 1:
        tap.press("Enter")
        again = narrow.locator(f'[data-output="{output}"] [data-value]').inner_text()
        assert again == value, "forwards again it is the same"


def numbers(narrow: Page, one: Calculator) -> None:
    """Empty, with a comma, and far too much: each is said beneath the field and taken out of the answers."""
    name = must(one)
    if not name:
        return
    box = narrow.locator(f"#in-{name}")
    before = box.input_value()
    usual = typed(narrow, name, before)
    formulas = program(SITE.units, one)
    rests = [key for key in one.outputs if name in formulas.needs(key) and usual["shown"][key][0] != "–"]
    empty = typed(narrow, name, "")
    assert (empty["say"], empty["invalid"]) == ("Type a number.", "false")
    for key in rests:
        assert empty["shown"][key][0] == "–" and one.inputs[name].label in empty["shown"][key][1]
        assert f"{one.outputs[key].label}: " not in empty["line"]
    much = typed(narrow, name, "99999999999")
    assert much["say"].startswith("Not used. 99999999999") and one.typed()[name].why in much["say"]
    assert much["invalid"] == "true"
    assert {key: much["shown"][key] for key in rests} == {key: empty["shown"][key] for key in rests}
    comma = typed(narrow, name, f"{before}0000".replace(".", ",") if "." in before else f"{before},0")
    assert comma["say"].startswith("reads as ") and comma["shown"] == usual["shown"] and comma["line"] == usual["line"]
    assert typed(narrow, name, before) == usual


def printed(narrow: Page) -> None:
    """From a dark screen: black on white, no buttons, nothing beyond the edge of A4 (718 px between 10 mm margins)."""
    narrow.set_viewport_size({"width": 718, "height": 1000})
    narrow.emulate_media(media="print", color_scheme="dark")
    paper = narrow.evaluate(PRINTED)
    assert paper["pale"] == [] and paper["ground"] in {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    assert (paper["cut"], paper["wide"], paper["buttons"]) == ([], [], 0)
