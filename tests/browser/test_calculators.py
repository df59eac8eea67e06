"""The page of a calculator: how numbers are read, units, ranges, refusals, the line to copy, the curve, no script."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from answers import SITE
from harness import SiteServer


def open_(page: Page, name: str) -> None:
    page.goto(f"work-out/{name}/")
    expect(page.locator("[data-example]")).to_be_visible()  # the page's script has worked everything out once


def say(page: Page, field: str) -> str:
    return page.locator(f'[data-input="{field}"] [data-say]').inner_text()


def value(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-value]').inner_text()


def also(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-also]').inner_text()


def test_a_minus_counts_only_where_the_range_allows_it(page: Page) -> None:
    open_(page, "torque-adapter")
    page.fill("#in-torque", "-26")
    assert say(page, "torque") == "Not used. It cannot be less than zero."
    open_(page, "cold-start")
    page.fill("#in-coldest", "−18")
    assert say(page, "coldest") == "reads as −18 °C"


def test_story_14_a_comma_is_read_and_echoed_and_what_is_no_number_is_refused(page: Page) -> None:
    open_(page, "volumes")
    page.select_option('[data-input="volume"] select', "L")
    for text in ("5,7", "5.7"):
        page.fill("#in-volume", text)
        assert say(page, "volume") == "reads as 5.7 L"
        assert value(page, "litres") == "5.700 L"
    for text, why in {
        "1,234": "Not used. 1,234 may be 1234 or 1.234. Type one of the two.", "": "Type a number.",
        "-": "Not used. Type digits after the sign.", "1e3": "Not used. Write the number out, without e.",
        "٢٦": "Not used. Use the digits 0 to 9.", "۲۶": "Not used. Use the digits 0 to 9.",
    }.items():
        page.fill("#in-volume", text)
        assert say(page, "volume") == why
        assert page.locator("#in-volume").get_attribute("aria-invalid") == str(bool(text)).lower()
        assert (value(page, "litres"), also(page, "litres")) == ("–", "Needs: Volume"), text


def test_switching_the_unit_reads_the_same_number_anew(page: Page) -> None:
    open_(page, "torque-units")
    page.fill("#in-target", "26")
    page.select_option('[data-input="target"] select', "lb·ft")
    assert page.locator("#in-target").input_value() == "26"
    assert say(page, "target") == "reads as 26 lb·ft = 35.25 N·m"
    assert value(page, "torque") == "35.3 N·m"
    assert also(page, "torque") == "26.0 lb·ft · 312 lb·in · 3.59 kgf·m"


def test_out_of_range_is_refused_with_the_range_and_why(page: Page) -> None:
    open_(page, "torque-adapter")
    page.fill("#in-lever", "2")
    assert say(page, "lever") == (
        "Not used. 2 mm is less than 80 mm. Torque wrenches are between a hand and an arm long."
    )
    assert also(page, "setting") == "Needs: Wrench, middle of grip to drive"
    page.select_option('[data-input="lever"] select', "in")
    page.fill("#in-lever", "90")
    assert say(page, "lever").startswith("Not used. 90 in is more than 1500 mm.")
    page.fill("#in-lever", "16")
    assert value(page, "setting") != "–"


def test_the_edge_of_a_range_holds_in_every_unit(page: Page) -> None:
    open_(page, "cold-start")
    page.select_option('[data-input="coldest"] select', "°F")
    page.fill("#in-coldest", "-67")  # -55 °C, missed by the conversion in the last digit
    assert say(page, "coldest") == "reads as −67 °F = −55.00 °C"
    page.fill("#in-coldest", "-67.1")
    assert say(page, "coldest").startswith("Not used. −67.1 °F is less than −55 °C.")


def test_all_four_grades_stand_at_once(page: Page) -> None:
    open_(page, "cold-start")
    page.fill("#in-coldest", "-26")
    assert [value(page, grade) for grade in ("w70", "w75", "w80", "w85")] == ["passes", "passes", "passes", "fails"]
    page.fill("#in-coldest", "-26,1")
    assert [value(page, grade) for grade in ("w70", "w75", "w80", "w85")] == ["passes", "passes", "fails", "fails"]


def test_axle_ratio_waits_for_what_turned(page: Page) -> None:
    open_(page, "axle-ratio")
    assert (value(page, "counted"), also(page, "counted")) == ("–", "Needs: What turned")
    assert say(page, "held") == "Choose one."
    page.select_option("#in-held", "one")
    assert value(page, "counted") == "3.73"
    page.select_option("#in-held", "both")
    page.fill("#in-shaft", "74,6")
    assert value(page, "counted") == "3.73"
    page.fill("#in-shaft", "37.4")
    assert value(page, "counted") == "1.87"
    assert also(page, "differ") == "Type for this: Teeth on the ring gear, Teeth on the pinion"
    assert say(page, "ring") == "", "what may stay empty is no complaint"
    assert "differ" not in page.locator("#line").input_value()
    page.fill("#in-ring", "41")
    page.fill("#in-pinion", "11")
    assert value(page, "teeth") == "3.727"
    assert value(page, "differ").startswith("they differ")


def test_refuses_figures_that_contradict_each_other(page: Page) -> None:
    open_(page, "viscosity")
    page.fill("#in-kv100", "100")
    page.fill("#in-kv40", "90")
    expect(page.get_by_role("alert")).to_have_text(
        "An oil thins as it warms. The figure at 100 °C must be below the one at 40 °C."
    )
    assert value(page, "nu") == "–"
    assert page.locator("#line").input_value() == ""
    page.fill("#in-kv40", "900")
    expect(page.get_by_role("alert")).to_be_hidden()
    assert value(page, "nu") != "–"


def test_example_figures_are_called_so_until_one_types(page: Page) -> None:
    open_(page, "torque-ceiling")
    expect(page.get_by_text("Example figures. Type your own.")).to_be_visible()
    assert page.locator("#line").input_value().startswith("Example figures. ")
    assert "no vehicle data" in page.locator('[data-output="torque"]').inner_text()
    page.select_option("#in-thread", "m10")
    expect(page.get_by_text("Example figures. Type your own.")).to_be_hidden()
    assert value(page, "torque") == "50.5 N·m"


def test_a_result_is_no_better_than_the_poorest_number_it_rests_on(page: Page) -> None:
    open_(page, "thread-condition")
    expect(page.locator("[data-state]")).to_have_text("plausible")
    page.select_option("#in-actual", "anti-seize")  # factor 0.13: common practice, no source
    expect(page.locator("[data-state]")).to_have_text("unverified")
    assert page.locator("#line").input_value().endswith(" · unverified")
    open_(page, "volumes")
    expect(page.locator("[data-state]")).to_have_text("verified")


LINE = (
    "Torque wrench with an adapter · Set the wrench to: 22.6 N·m (16.7 lb·ft, 200 lb·in); "
    "Against the torque at the bolt: 87.0 % · from Torque at the bolt 26 N·m, Wrench, middle of grip to drive 400 mm, "
    "Adapter, drive to bolt 60 mm, Angle, 0 straight on, 180 turned back 0 ° · "
    "source: TM 9-254, general maintenance procedures · plausible"
)


def test_copies_the_line(page: Page) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    open_(page, "torque-adapter")
    page.fill("#in-torque", "26")
    assert page.locator("#line").input_value() == LINE
    page.get_by_role("button", name="Copy line").click()
    expect(page.locator("[data-copied]")).to_have_text("Copied.")
    assert page.evaluate("navigator.clipboard.readText()") == LINE
    page.fill("#in-torque", "27")
    expect(page.locator("[data-copied]")).to_have_text("")


def test_says_when_it_could_not_copy_and_selects_the_line(page: Page) -> None:
    # What plain http does: no clipboard at all.
    page.add_init_script("Object.defineProperty(navigator, 'clipboard', {value: undefined})")
    open_(page, "torque-adapter")
    page.fill("#in-torque", "26")
    page.get_by_role("button", name="Copy line").click()
    expect(page.locator("[data-copied]")).to_have_text("Not copied. The line is selected: copy it by hand.")
    assert page.evaluate("document.activeElement.value.slice(document.activeElement.selectionStart, "
                         "document.activeElement.selectionEnd)") == LINE


def test_an_answer_is_spoken_once_typing_rests(page: Page) -> None:
    open_(page, "torque-adapter")
    page.fill("#in-torque", "30")
    expect(page.locator("[data-said]")).to_have_text(re.compile(r"^Set the wrench to: 26\.1 N·m"))


def test_reads_without_a_script(chromium: Browser, served: SiteServer) -> None:
    context = chromium.new_context(base_url=served.url, java_script_enabled=False)
    page = context.new_page()
    page.goto("work-out/viscosity/")
    main = page.locator("main").inner_text()
    one = SITE.calculators["viscosity"]
    assert page.locator("math[display=block]").count() == len(one.steps) + len(one.outputs)
    for words in ("Without scripts nothing is worked out here", "0 to 150 °C", "ASTM D341", "8.5 mm²/s", "where",
                  "addend of the equation"):
        assert words in main
    context.close()


def test_generated_modules_are_small_and_need_no_eval(dist: Path) -> None:
    for name in ("units", *(f"calc/{one}" for one in SITE.calculators)):
        body = (dist / "js" / "data" / f"{name}.js").read_text("utf-8")
        assert "export const " in body and "eval" not in body and "Function(" not in body
