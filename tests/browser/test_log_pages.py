"""The log, the quick form and the printed history: readable, big enough for a glove, black on white on paper."""

from __future__ import annotations

import datetime as dt
import io
import unicodedata
from collections.abc import Iterator

import pypdf
import pytest
from playwright.sync_api import Page, expect

from browser.test_access import SMALL_TEXT
from browser.test_access_job import look as look_at
from browser.test_print import PAPER, picture, text
from harness import LONDON, Handsets, SiteServer, watch

DAY = dt.datetime(2026, 4, 18, 8, 0, tzinfo=dt.UTC)
OPEN = "() => document.querySelectorAll('details').forEach((one) => (one.open = true))"


@pytest.fixture(scope="module")
def page(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    """A phone with the demo log loaded."""
    page = handsets.take("with a clock", has_touch=True, **LONDON).new_page()
    faults = watch(page, served.origin)
    page.clock.install(time=DAY)
    page.goto("log/")
    page.get_by_role("button", name="Load the demo log").click()
    expect(page.locator(".entry-of")).to_have_count(28)
    yield page
    page.close()
    assert faults == []


def look(page: Page, state: str) -> None:
    look_at(page, state, "h1")


def test_the_log_with_entries_open(page: Page) -> None:
    page.goto("log/?vehicle=drystone")
    expect(page.locator(".entry-of")).to_have_count(7)
    page.evaluate(OPEN)
    expect(page.get_by_role("link", name="Correct this")).to_have_count(6)  # seven, of which one is corrected
    look(page, "log")


def test_the_quick_form_at_its_longest(page: Page) -> None:
    page.goto("log/add/?vehicle=thornback")
    page.locator("summary", has_text="Breathers").or_(page.locator("[data-pick=rear-axle]")).first.wait_for()
    look(page, "picks")
    page.goto("log/add/?replaces=L15")
    page.locator("[data-field=odometer] input").fill("12")
    page.locator("[data-field=water] select").select_option("free water")
    page.locator("[data-field=in] input").fill("1.5")
    expect(page.locator(".odd")).to_be_visible()
    expect(page.locator(".stop b")).to_be_visible()
    page.get_by_role("button", name="Save the correction").click()
    page.evaluate(OPEN)
    look(page, "form")


def test_the_history_on_the_screen(page: Page) -> None:
    page.goto("log/history/?vehicle=drystone")
    expect(page.locator(".entry")).to_have_count(7)
    look(page, "history")
    page.goto("log/history/?vehicle=nobody")
    expect(page.locator("main")).to_contain_text("No vehicle ‘nobody’ is kept here.")


@pytest.mark.parametrize("paper", PAPER)
def test_the_printed_history_has_the_figures(page: Page, paper: str) -> None:
    page.emulate_media(color_scheme="dark")
    page.goto("log/history/?vehicle=drystone")
    expect(page.locator(".entry")).to_have_count(7)
    data = page.pdf(format=paper, print_background=False)
    reader = pypdf.PdfReader(io.BytesIO(data))
    width, height = (float(side) for side in reader.pages[0].mediabox[2:])
    assert [round(side / 72 * 25.4) for side in (width, height)] == [round(side) for side in PAPER[paper]]
    said = " ".join(unicodedata.normalize("NFKC", text(data)).split())  # the paper's font joins f and i
    for words in (
        "Pellister Drystone: service history", "214 600 km, 2026-04-18", "6 digits, km", "215/80R16",
        "2.60 L / 2.75 US qt verified Service manual page",
        "1.35 L / 1.43 US qt conflict Measured by the owner", "other value 1.10 L Note of a previous owner",
        "1 · 2021-03-06 · 148 200 km · true 148 200 km · P02",
        "Replaced by entry 3, 2021-03-20", "Corrects entry 2.", "75W-90 GL-5", "75W-90 GL-4",
        "out 1.05 L, in 1.35 L, 80W-90 GL-5", "Level seen at the rule: no", "Re-torque", "open",
        "Demo, invented.", "Planning help only", f"page 1 of {len(reader.pages)}",
    ):
        assert words in said, f"{words}\n{said}"
    image = picture(data)
    colours = {colour: count for count, colour in image.getcolors(1 << 24) or []}
    assert max(colours, key=lambda one: colours[one]) == (255, 255, 255), "the ground is white"
    assert all(max(colour) - min(colour) <= 8 for colour in colours), "nothing is printed in colour"


def test_true_distance_follows_the_tyres_and_the_rollover(page: Page) -> None:
    def line(vehicle: str, entry: str) -> str:
        page.goto(f"log/history/?vehicle={vehicle}")
        return page.locator(f"[data-entry={entry}] h3").inner_text().replace("\u202f", " ").replace("\xa0", " ")

    # 91 340 mi of true tyres and then 1.0960 each: (91 340 + (92 250 - 91 340) x 1.0960) x 1.609344 = 148 602.5 km.
    assert "92 250 mi · true 148 603 km" in line("thornback", "L12")
    # Rolled over once: (100 000 + 310) x 1.609344 = 161 433.3 km, while the clock shows 310 mi.
    assert "310 mi · true 161 433 km" in line("wicket", "L23")


def test_print_is_nowhere_small(page: Page) -> None:
    page.goto("log/history/?vehicle=thornback")
    expect(page.locator(".entry")).to_have_count(17)
    page.emulate_media(media="print")
    small = page.evaluate(SMALL_TEXT, 11.99)  # CSS px; 9 pt is 12 px
    page.emulate_media(media="screen")
    assert small == []
