"""The same four pages by keyboard, from a unit, on a small phone, on paper, and without a script."""

from __future__ import annotations

import gzip
import io
import re
from pathlib import Path

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from harness import SiteServer
from workpages import IDS, also, open_, value


def test_rows_are_added_and_taken_away_by_keyboard(page: Page) -> None:
    open_(page, "buy-list")
    add = page.get_by_role("button", name="Add a size")
    add.focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.closest('fieldset').querySelector('legend').textContent") == "Bottle 3"
    page.keyboard.type("2,5")
    page.keyboard.press("Tab")  # the unit
    page.keyboard.press("Tab")
    page.keyboard.type("20")
    assert (value(page, "buy"), value(page, "cost")) == ("1 × 2.5 L", "20.00")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Take this size away"
    page.keyboard.press("Enter")
    assert page.locator("[data-bottles] > fieldset").count() == 2
    assert page.evaluate("document.activeElement.closest('fieldset').querySelector('legend').textContent") == "Bottle 2"
    assert value(page, "cost") == "31.90"
    for _ in range(6):
        add.click()
    expect(add).to_be_hidden()


def test_opened_from_a_unit_nothing_of_an_example_is_left(page: Page) -> None:
    open_(page, "buy-list", **{"for": "thornback/rear-axle"})
    expect(page.locator("[data-from]")).to_contain_text("Filled from")
    assert (value(page, "need"), value(page, "buy")) == ("2.31 L", "2 × 1 L + 1 × 0.5 L")
    # Sizes of bottles and the spill are no unit's.
    expect(page.locator("[data-example]")).to_have_text("What was not given are example figures. Type your own.")
    assert page.locator("#line").input_value().startswith("Example figures in part. Buy list")
    open_(page, "tightening-order", **{"for": "thornback/rear-axle", "group": "cover"})
    expect(page.locator("[data-example]")).to_be_hidden()
    assert (value(page, "order"), value(page, "third")) == ("1-6-3-8-5-10-2-7-4-9", "26.0 N·m")
    open_(page, "tightening-order", **{"for": "thornback/auto-box", "group": "pan"})
    assert page.locator("#in-pattern").input_value() == "rail", "as the sheet has it"
    assert [page.locator(f"#in-stage{at}").input_value() for at in (1, 2)] == ["50", "75"]
    open_(page, "tightening-order", **{"for": "thornback/rear-axle", "group": "fill-plug"})
    assert (value(page, "order"), also(page, "lap")) == ("1", "A single bolt needs no lap.")
    page.goto("work-out/next-due/?for=drystone/rear-axle")
    expect(page.locator("#in-now")).to_have_value("214600")
    assert page.locator("[data-input=last] select").input_value() == "km"
    assert [page.locator(f"#in-{one}").input_value() for one in ("last", "lastdate", "interval", "months")] == [""] * 4
    assert also(page, "state") == "Needs: Odometer at the last one, Day of the last one"
    page.goto("work-out/buy-list/?for=nobody/rear-axle")
    expect(page.locator("[data-from]")).to_contain_text("Not filled from a unit. ")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", IDS)
def test_no_barrier_on_a_small_phone(page: Page, name: str, scheme: str) -> None:
    page.set_viewport_size({"width": 320, "height": 700})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    open_(page, name)
    boxes = page.locator(".field input[type=text]")
    if boxes.count():
        boxes.last.fill("x")  # one that is told to be wrong, in its colour
    rules = {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}
    found = Axe().run(page, options={"rules": rules})
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    sizes = page.evaluate("""[...document.querySelectorAll('main input, main select, main button, main textarea')]
      .filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect())
      .map(({ width, height }) => [width, height])""")
    assert sizes and all(width >= 48 and height >= 48 for width, height in sizes)


@pytest.mark.parametrize(("name", "answers"), [
    ("buy-list", ("2 × 1 L", "31.90", "12.40")), ("job-clock", ("18:54", "17:43", "1:00")),
    ("tightening-order", ("1-6-3-8-5-10-2-7-4-9", "19.5 N·m")), ("next-due", ("104 320 mi", "2024-10-23"))])
def test_prints_black_on_white(page: Page, name: str, answers: tuple[str, ...]) -> None:
    page.emulate_media(color_scheme="dark")
    open_(page, name)
    text = "\n".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(page.pdf(format="A4"))).pages)
    text = re.sub(r"[\u00a0\u202f]", " ", text)
    assert all(one in text for one in answers), text
    assert "Copy line" not in text and "Add a size" not in text
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.querySelector('[data-value]')).color") == "rgb(0, 0, 0)"
    assert page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--paper').trim()") == "#fff"


def test_the_line_is_copied_and_the_answer_spoken(page: Page) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.goto("work-out/buy-list/?need=3%20L&size=1%20L&price=12.40")
    expect(page.locator("[data-said]")).to_have_text("Buy: 3 × 1 L")
    page.get_by_role("button", name="Copy line").click()
    expect(page.locator("[data-copied]")).to_have_text("Copied.")
    assert page.evaluate("navigator.clipboard.readText()") == (
        "Buy list · Buy: 3 × 1 L; Cost, in the money of your prices: 37.20; Left over: 0 L; "
        "Oil needed: 3.00 L (3.17 US qt · 5.28 imp pt) · from bottle 1 L at 12.40, Amount needed, if you know it 3 L "
        "· source: Common practice, no source · unverified")


@pytest.mark.parametrize(("name", "words"), [
    ("buy-list", ("Needed = (refill − additive + flush) × (1 + spill)", "3.36 L needed", "Common practice")),
    ("job-clock", ("critical path", "done at 18:54", "a pair of hands does one step at a time")),
    ("tightening-order", ("the order is ours", "1-5-3-7-2-6-4-8", "ASME PCC-1")),
    ("next-due", ("True distance is what the odometer shows", "8 833 mi over", "Never logged is unknown"))])
def test_reads_without_a_script(chromium: Browser, served: SiteServer, name: str, words: tuple[str, ...]) -> None:
    context = chromium.new_context(base_url=served.url, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"work-out/{name}/")
    main = page.locator("main").inner_text()
    assert "Without scripts nothing is worked out here." in main
    for one in words:
        assert one in main
    context.close()


@pytest.mark.parametrize("name", IDS)
def test_a_page_is_light(dist: Path, name: str) -> None:
    html = (dist / "work-out" / name / "index.html").read_bytes()
    listed = re.search(rb'data-scripts="([^"]+)"', html)
    assert listed, "the page lists its scripts"
    scripts = [f"{path}.js" for path in (*listed[1].decode().split(), "main", "ui/offline", "store/early")]
    weight = sum(len(gzip.compress((dist / "js" / path).read_bytes())) for path in scripts)
    assert weight <= 25_000 and len(gzip.compress(html)) <= 5_000
