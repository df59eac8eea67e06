"""A calculator opened by an address that fills its fields: `work-out/torque-units/?target=26%20N·m`."""

from __future__ import annotations

from urllib.parse import quote, urlencode

import pytest
from playwright.sync_api import Page, expect


def say(page: Page, field: str) -> str:
    return page.locator(f'[data-input="{field}"] [data-say]').inner_text()


def value(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-value]').inner_text()


def asked(page: Page, name: str, **fields: str) -> None:
    """Open a calculator by an address that fills its fields."""
    page.goto(f"work-out/{name}/?{urlencode(fields, quote_via=quote)}")
    expect(page.locator(".calc[data-there]")).to_be_visible()


def test_the_address_fills_the_fields_with_their_units(page: Page) -> None:
    # 0.4 m is no unit of the field, so it becomes 400 mm; 26 N·m at 400 + 60 mm is 22.6 (26 · 400/460).
    asked(page, "torque-adapter", torque="26 N·m", lever="0.4 m", adapter="6 cm", angle="0")
    fields = [page.locator(f"#in-{name}").input_value() for name in ("torque", "lever", "adapter", "angle")]
    assert fields == ["26", "400", "6", "0"]
    assert page.locator('[data-input="adapter"] select').input_value() == "cm"
    assert say(page, "lever") == "reads as 400 mm"
    assert value(page, "setting") == "22.6 N·m"
    expect(page.locator("[data-example]")).to_be_hidden()
    assert not page.locator("#line").input_value().startswith("Example")


def test_the_address_picks_a_choice_and_another_unit(page: Page) -> None:
    asked(page, "thread-condition", target="19,2 lb·ft", stated="dry", actual="lubricated")
    assert page.locator("#in-actual").input_value() == "lubricated"
    assert page.locator('[data-input="target"] select').input_value() == "lb·ft"
    assert say(page, "target").startswith("reads as 19.2 lb·ft")
    asked(page, "dew-gate", air="−5 °C", humidity="85 %", metal="50 °F")
    assert say(page, "air") == "reads as −5 °C"
    assert say(page, "metal") == "reads as 50 °F = 10.00 °C"


@pytest.mark.parametrize(("typed", "shown", "said"), [
    ("1,234 N·m", "1,234", "Not used. 1,234 may be 1234 or 1.234. Type one of the two."),
    ("26 furlongs", "26 furlongs", "Not used. Leave out the space. Type 1234.5 and pick the unit beside it."),
    ("26 mm", "26 mm", "Not used. Leave out the space. Type 1234.5 and pick the unit beside it."),
    ("a lot", "a lot", "Not used. Leave out the space. Type 1234.5 and pick the unit beside it."),
    ("-26 N·m", "-26", "Not used. It cannot be less than zero."),
    ("9000 N·m", "9000",
     "Not used. 9000 N·m is more than 1500 N·m. Below and above this no common torque wrench reads."),
    ("<b>26</b>", "<b>26</b>", "Not used. Only digits and one point or comma. Pick the unit beside it."),
])
def test_what_the_address_has_wrong_is_shown_as_written_and_refused(
    page: Page, typed: str, shown: str, said: str
) -> None:
    asked(page, "torque-adapter", torque=typed)
    assert page.locator("#in-torque").input_value() == shown
    assert say(page, "torque") == said
    assert value(page, "setting") == "–"


def test_a_choice_that_is_none_is_refused_until_one_is_picked(page: Page) -> None:
    asked(page, "thread-condition", stated="soapy", nothing="1")
    assert say(page, "stated") == "Not used. “soapy” is none of the choices. Choose one."
    assert value(page, "torque") == "–"
    page.select_option("#in-stated", "dry")
    page.select_option("#in-actual", "lubricated")
    assert say(page, "stated") == ""
    assert value(page, "torque") == "19.5 N·m"
