"""The printed card: one sheet, black on white from a dark screen, boxes and blanks for a pen, a code that reads."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Page, expect

from harness import Handsets
from own import add_marten, own_tab

PAPER = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # ISO 216, ANSI/ASME Y14.1
P01 = "cards/p01/?for=thornback/rear-axle"


@pytest.fixture
def dark(handsets: Handsets) -> Page:
    return handsets.take(color_scheme="dark").new_page()


def pdf(page: Page, path: str, paper: str) -> bytes:
    page.goto(path)
    started(page)
    return page.pdf(format=paper, print_background=False)


def started(page: Page) -> None:
    """Wait until the page's scripts have filled and drawn what they fill and draw."""
    expect(page.locator("[data-printed]")).not_to_be_empty()
    if "?for=" in page.url:
        expect(page.get_by_role("link", name="Start this job")).to_be_attached()
    expect(page.locator(".code svg.qr")).to_have_count(1)
    expect(page.locator("[data-module=diagram]:not(:has(svg))")).to_have_count(0)


def picture(data: bytes, page: int = 0, dpi: int = 150) -> Image.Image:
    return pypdfium2.PdfDocument(data)[page].render(scale=dpi / 72).to_pil().convert("RGB")


def text(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages)


def cards(dist: Path) -> list[str]:
    """Return the address of every card filled for one unit, another one of several at each card; P01 also blank.

    All cards for all of their units are printed by `tests/bench/sheets.py`.
    """
    found = ["cards/p01/"]
    for number, page in enumerate(sorted(dist.glob("cards/*/index.html"))):
        units = re.findall(r'href="(\?for=[^"]+)"', page.read_text("utf-8"))
        found.append(page.parent.relative_to(dist).as_posix() + "/" + units[number % len(units)])
    return found


@pytest.mark.apart
def test_every_card_is_one_sheet_and_its_code_leads_to_it(dark: Page, dist: Path) -> None:
    sheets = {}
    for path in cards(dist):
        both = [pdf(dark, path, "A4"), dark.pdf(format="Letter")]
        sheets[path] = [len(pypdf.PdfReader(io.BytesIO(data)).pages) for data in both]
        assert read(both[len(sheets) % 2]) == ["https://fillmark.example/" + path]  # the same code on both papers
    assert len(sheets) == 26
    assert sheets == {path: [1, 1] for path in sheets}


@pytest.mark.parametrize("paper", PAPER)
def test_story_20_black_on_white_from_a_dark_screen(dark: Page, paper: str) -> None:
    data = pdf(dark, P01, paper)
    width, height = (float(side) for side in pypdf.PdfReader(io.BytesIO(data)).pages[0].mediabox[2:])
    assert [round(side / 72 * 25.4) for side in (width, height)] == [round(side) for side in PAPER[paper]]
    image = picture(data)
    colours = {colour: count for count, colour in image.getcolors(1 << 24) or []}
    assert max(colours, key=lambda one: colours[one]) == (255, 255, 255), "the ground is white"
    assert (0, 0, 0) in colours, "the ink is black"
    assert all(max(colour) - min(colour) <= 8 for colour in colours), "nothing is printed in colour"


def test_the_sheet_holds_the_numbers_the_holds_and_the_notice(dark: Page) -> None:
    said = " ".join(text(pdf(dark, P01, "A4")).split())
    for words in ("2.35 L", "2.48 US qt", "75W-110 GL-5 LS", "26 N·m", "19 lb·ft", "HOLD 2", "DANGER", "unverified",
                  "Planning help only", "values as of 2026-04-18", "page 1 of 1", "Our order, not a standard",
                  "demo vehicle, invented", "https://fillmark.example/cards/p01/?for=thornback/rear-axle"):
        assert words in said, words


def test_holds_are_black_bars_even_without_background_graphics(dark: Page) -> None:
    image = picture(pdf(dark, P01, "A4"))
    black = [sum(image.getpixel((x, y)) == (0, 0, 0) for x in range(0, image.width, 4)) for y in range(image.height)]
    assert sum(count > image.width // 4 * 0.3 for count in black) > 40, "bars a good part of the sheet wide"


def read(data: bytes) -> list[str]:
    """Return what a reader of codes finds on the first sheet at 150 dots an inch."""
    return [code.text for code in zxingcpp.read_barcodes(picture(data, dpi=150))]


@pytest.fixture
def own(handsets: Handsets) -> Iterator[Page]:
    yield from own_tab(handsets)


def test_the_code_of_ones_own_vehicle_leads_to_its_card(own: Page) -> None:
    path = f"cards/p01/?for={add_marten(own)}/rear-axle"
    data = pdf(own, path, "A4")
    assert read(data) == ["https://fillmark.example/" + path]
    assert "https://fillmark.example/" + path in " ".join(text(data).split())
    own.emulate_media(media="print")
    code = own.get_by_role("img", name="Code for this card's address")
    expect(code).to_be_visible()
    # 23 mm at 96 px an inch are 87 px: a code of 45 modules and its quiet zone still has modules of 0.4 mm.
    assert code.bounding_box()["width"] == pytest.approx(87, abs=1)  # type: ignore[index]
    own.emulate_media(media="null")


def test_reading_a_card_waits_for_no_code(own: Page) -> None:
    """The maker of the code comes last, when the card is filled; a card with no unit's numbers needs none."""
    asked: list[str] = []
    own.on("request", lambda request: asked.append(request.url.rpartition("/js/")[2]))
    own.goto("cards/p01/")
    started(own)
    own.wait_for_timeout(1500)
    assert "own/fill.js" in asked and "lib/qr.js" not in asked
    own.goto(P01)
    started(own)
    assert asked.index("lib/qr.js") > asked.index("job/code.js") > asked.index("own/fill.js")


def test_an_address_too_long_for_a_code_stands_in_letters_only(own: Page) -> None:
    marten = add_marten(own)
    long = "rear-axle-" + "-".join(["of-the-second-pair"] * 12)
    own.evaluate("""async ([id, long]) => {
        const at = (path) => import(new URL(document.documentElement.dataset.base + path, location.href).href)
        const [garage, store] = await Promise.all([at('js/garage.js'), at('js/store.js')])
        const { sheet } = await garage.sheet(id)
        sheet.units[long] = sheet.units['rear-axle']
        delete sheet.units['rear-axle']
        sheet.rev += 1
        await store.putVehicle({ id, rev: sheet.rev, at: Date.now(), sheet })
    }""", [marten, long])
    own.goto(f"cards/p01/?for={marten}/{long}")
    expect(own.get_by_role("link", name="Start this job")).to_be_attached()
    own.wait_for_timeout(1500)
    data = own.pdf(format="A4")
    assert read(data) == [], "neither a code nor the one of the blank card"
    assert f"?for={marten}/{long}" in "".join(text(data).split())


def test_a_blank_is_there_to_write_on(dark: Page) -> None:
    said = " ".join(text(_unbound(dark)).split())
    assert "not known: write it here" in said
    assert "2.35" not in said


def test_not_verified_is_filled_to_level_on_paper_too(dark: Page) -> None:
    said = " ".join(text(pdf(dark, "cards/p02/?for=drystone/front-axle", "A4")).split())
    assert "Not verified: fill to level" in said


def _unbound(page: Page) -> bytes:
    page.goto("cards/p01/")
    return page.pdf(format="A4")


def test_every_step_hold_part_and_tool_has_a_box_for_the_pen(dark: Page, dist: Path) -> None:
    dark.goto(P01)
    started(dark)
    dark.emulate_media(media="print")
    drawn = dark.locator(".pen").evaluate_all(
        "all => all.map(one => [one.checkVisibility(), one.getBoundingClientRect().width,"
        " getComputedStyle(one).borderTopColor])")
    assert all(visible and width >= 8 for visible, width, _ in drawn), "seen, and wide enough for a tick"
    data = json.loads((dist / "data/cards/p01.json").read_bytes())
    wanted = sum(len(data[name]) for name in ("steps", "holds", "parts", "tools", "followUps"))
    assert len(drawn) == wanted
    # White on the black bar of a hold, black elsewhere.
    assert [colour for *_, colour in drawn].count("rgb(255, 255, 255)") == len(data["holds"])


def test_the_record_has_a_blank_or_words_for_every_field_of_the_sheet(dark: Page) -> None:
    dark.goto(P01)
    started(dark)
    dark.emulate_media(media="print")
    fields = dark.locator(".card-record .fields p")
    assert fields.count() > 20
    for field in fields.all():
        expect(field.locator(".write, .words")).to_be_visible()
    said = " ".join(text(dark.pdf(format="A4")).split())
    for words in ("As found", "As left", "Oil below the hole as found", "none seen · hazy · milky · free water",
                  "0 · 1 · 2 · 3 · 4", "Waste drop"):
        assert words in said, words
    # The blank of these stands in the bar of their hold.
    for words in ("cloths in and cloths out:", "air, humidity and metal:", "clock time:", "litres in:"):
        assert words in said, words


def test_the_button_prints_and_the_sheet_says_when(page: Page) -> None:
    page.goto(P01)
    started(page)
    page.evaluate("window.print = () => { document.title = 'asked to print' }")  # its dialog cannot be answered here
    page.get_by_role("button", name="Print blank card").click()
    expect(page).to_have_title("asked to print")
    day = page.evaluate("new Date().toLocaleDateString('en-CA')")
    assert f"blank card, printed {day}" in " ".join(text(page.pdf(format="A4")).split())
