"""A Saturday planned without signal: two jobs on one vehicle, shopped for, begun from the plan; plans that go wrong."""

from __future__ import annotations

import datetime as dt
import re
from importlib import resources
from pathlib import Path

import pytest
from icalendar import Calendar
from playwright.sync_api import Page, expect

from browser.test_access import CONTRAST, RULES, SMALL, WIDE
from harness import LONDON, Handsets, SiteServer, watch
from jobs import Worker


def kept(page: Page) -> None:
    expect(page.locator("[data-part=saved]")).to_have_text(re.compile(r"^Saved \d\d:\d\d$"))


def put(page: Page, label: str, value: str, at: int = 0) -> None:
    """Type into a field and leave it, and wait until it is kept and drawn."""
    box = page.get_by_label(label, exact=True).nth(at)
    box.fill(value)
    box.blur()
    kept(page)
    expect(page.get_by_label(label, exact=True).nth(at)).to_have_value(value)


def downloaded(page: Page, button: str) -> tuple[str, str]:
    with page.expect_download() as caught:
        page.get_by_role("button", name=button).click()
    return caught.value.suggested_filename, Path(caught.value.path()).read_text("utf-8")


def test_a_saturday_on_the_thornback(worker: Worker) -> None:
    page = worker.page
    page.goto("cards/p01/?for=thornback/rear-axle")
    page.get_by_role("link", name="Plan it first").click()
    expect(page.locator("[data-job='0'] h3")).to_have_text("P01 Axle oil change, housing with removable cover")
    page.get_by_label("Add a job for").select_option(label="Thornback: AM39 engine")
    page.get_by_role("button", name="Add P07").click()
    expect(page.locator("[data-job='1'] h3")).to_have_text("P07 Engine oil and filter")
    kept(page)
    put(page, "Day", "2026-06-13")  # a Saturday
    put(page, "Begin at", "13:00")
    result = page.locator("[data-part=clock] .result")
    expect(result).to_contain_text("Done 19:17, 6 h 17 min from the start")
    expect(result).to_contain_text("No order is shorter.")
    expect(page.locator("[data-part=clock]")).to_contain_text("Dry gasket, no wait: done 17:29")
    rows = page.locator(".clock-rows tbody tr")
    expect(rows.locator("b", has_text="P01·3 + P07·2")).to_have_count(1)
    bead = rows.filter(has=page.locator("b", has_text="P01·13"))
    expect(bead).to_contain_text("By the label ready at")

    # The tube asks for a day, and it is dark at nine: two sittings, the first up to the closed cover.
    put(page, "Label, set time after step 14 min", "1440")
    put(page, "Dark, or needed again, at", "21:00")
    expect(page.locator("[data-part=clock] .odd")).to_contain_text("Does not fit today: split here.")
    expect(page.locator("[data-part=clock] .odd")).to_contain_text("P01·14 goes on setting until")
    put(page, "Label, set time after step 14 min", "70")
    expect(page.locator("[data-part=clock]")).to_contain_text("Fits: 1 h 43 min to spare before 21:00.")

    # 2.35 L with 150 mL of it additive and 5 % to spill is 2.31 L: two of 1.0 and one of 0.5 for 31.90.
    oil = page.locator(".plan-fluid", has=page.get_by_role("heading", name="75W-110 GL-5 LS", exact=True))
    expect(oil).to_contain_text("2.31 L")
    for at, (size, price) in enumerate((("1 L", "12.40"), ("0.5 L", "7.10"))):
        oil.get_by_role("button", name="Add a size").click()
        for label, value in (("Size", size), ("Price of one", price), ("Shop", "Corner")):
            box = oil.locator(".bottle").nth(at).get_by_label(label)
            box.fill(value)
            box.blur()
            kept(page)
    expect(oil.locator(".result")).to_have_text(re.compile("Buy 2 × 1 L \\+ 1 × 0.5 L, 31.90, "))
    expect(page.locator("[data-part=list] h3").first).to_have_text("Corner, 31.90")
    page.get_by_label("2 × 1 L 75W-110 GL-5 LS, 24.80").check()
    kept(page)
    name, text = downloaded(page, "Share the list as text")
    assert name == "to-buy-2026-06-13.txt" and "[x] 2 × 1 L 75W-110 GL-5 LS, 24.80" in text
    assert "[ ] 1 × 0.5 L 75W-110 GL-5 LS, 7.10" in text
    assert "fill plug: M18×1.5" in text and "cover: 10 × M8×1.25" in text

    name, text = downloaded(page, "Calendar file")
    events = list(Calendar.from_ical(text).walk("VEVENT"))
    assert name == "plan-2026-06-13.ics" and len({str(one["UID"]) for one in events}) == len(events)
    by = {str(one["SUMMARY"]): one for one in events}
    # 13:00 in London in summer is 12:00 UTC.
    assert by["P01 Thornback, P07 Thornback"].decoded("DTSTART") == dt.datetime(2026, 6, 13, 12, 0, tzinfo=dt.UTC)
    shown = rows.filter(has=page.locator("b", has_text="P01·14")).inner_text()
    ready = re.search(r"By the label ready at (\d\d):(\d\d)", shown)
    assert ready
    at = by["Ready: P01·14"].decoded("DTSTART")
    assert (at.hour + 1, at.minute) == (int(ready[1]), int(ready[2])) and "label" in by["Ready: P01·14"]["DESCRIPTION"]
    assert any("leak" in summary for summary in by), "the looks after the job"
    assert all(one.walk("VALARM") for one in events)

    page.goto("")
    page.get_by_role("link", name="Plan of 2026-06-13: P01, P07").click()

    # Kept over a reload, and the job begins with the choices made.
    page.reload()
    expect(page.locator("[data-part=clock] .result")).to_contain_text("Done 19:17")
    page.locator("[data-job='0']").get_by_role("link", name="Start this job").click()
    expect(page.locator("input[name=choice][value=sealant]")).to_be_checked()
    expect(page.locator("#label-13")).to_have_value("50")
    expect(page.locator("#label-14")).to_have_value("70")
    page.locator("#f-begin-odometer").fill("112410")
    page.get_by_role("button", name="Start the job").click()
    worker.saved()
    assert worker.events()[0]["data"]["copy"]["label"] == {"13": 50, "14": 70}

    # Two steps on, the plan goes from where the job stands, and from now.
    worker.read("tag-text", "HR225 41-11 LS")
    worker.done(1, 2)
    page.goto("plan/")
    expect(page.locator("[data-job='0']")).to_contain_text("2 of 21 steps done.")
    expect(rows.first).to_contain_text("P01·2 + P07·1")  # the other job has not warmed its oil
    expect(rows.locator("b", has_text=re.compile(r"^P01·1$"))).to_have_count(0)
    expect(result).to_contain_text(re.compile(r"Done 1[56]:\d\d"))  # it is ten o'clock, and the warm drive is done
    page.locator("[data-job='0']").get_by_role("link", name="Open this job").click()
    expect(page).to_have_url(re.compile(f"open={worker.job}|open=[0-9a-f]{{32}}"))


@pytest.fixture
def tab(handsets: Handsets, served: SiteServer) -> Page:
    page = handsets.take(**LONDON).new_page()
    watch(page, served.origin)
    return page


def test_place_and_weather_stretch_the_label_and_never_shorten_it(tab: Page) -> None:
    tab.goto("plan/?add=p01/thornback/rear-axle")
    result = tab.locator("[data-part=clock] .result")
    expect(result).to_contain_text("5 h 54 min from the start")
    verdicts = tab.locator("[data-part=verdicts]")
    expect(verdicts.locator("li", has_text="Unknown.")).to_have_count(5)
    tab.get_by_text("What was measured").click()
    for label, value in (("Air °C", "8"), ("Humidity %", "45"), ("Metal of the joint °C", "8"),
                         ("Slope of the ground %", "1.5"), ("Rating of one stand kg", "1500")):
        put(tab, label, value)
    # C12: 2.91 times. 120 min of labels become 350: 50 → 146 and 70 → 204.
    expect(verdicts).to_contain_text("stretched 2.91 times")
    expect(result).to_contain_text("9 h 44 min from the start")
    expect(verdicts.locator("li", has_text="Unknown.")).to_have_count(1)  # how fast cleaner dries at 8 °C
    put(tab, "Air °C", "35")
    put(tab, "Humidity %", "90")
    expect(verdicts).to_contain_text("never shortened")
    expect(verdicts).to_contain_text("HOLD. Dew:")
    expect(result).to_contain_text("5 h 54 min from the start")


def test_what_cannot_be_planned_or_kept_is_said(tab: Page) -> None:
    tab.goto("plan/?add=p01/nobody/rear-axle")
    expect(tab.locator("[data-part=lost]")).to_contain_text("Not planned: P01, nobody rear-axle")
    expect(tab.locator("[data-part=jobs]")).to_have_text("No job yet.")
    tab.goto("plan/?add=p09/drystone/brakes")
    expect(tab.locator("[data-job='1'], [data-job='0']")).to_have_count(1)
    fluid = tab.locator(".plan-fluid")
    expect(fluid).to_contain_text("Fluid not known")
    expect(fluid.locator(".odd", has_text="Unknown.")).to_have_count(2)
    tab.evaluate("""() => {
      IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError') }
    }""")
    box = tab.get_by_label("Begin at", exact=True)
    box.fill("07:00")
    box.blur()
    expect(tab.locator("[data-part=saved]")).to_contain_text("NOT saved.")


def test_the_plan_is_readable_and_big_enough(tab: Page) -> None:
    tab.goto("plan/?add=p01/thornback/rear-axle")
    tab.goto("plan/?add=p07/thornback/engine")
    expect(tab.locator(".clock-rows tbody tr").first).to_be_visible()
    expect(tab.locator(".plan-tool").first).to_be_visible()
    for one in tab.locator("details").all():
        one.evaluate("one => { one.open = true }")
    tab.set_viewport_size({"width": 320, "height": 800})
    assert tab.evaluate(WIDE) == [] and tab.evaluate(SMALL, 48) == []
    tab.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text())
    for scheme, rules in (("light", RULES), ("dark", CONTRAST)):
        tab.emulate_media(color_scheme=scheme)
        found = tab.evaluate("rules => axe.run(document, rules)", rules)["violations"]
        assert [(one["id"], one["nodes"][0]["html"][:100]) for one in found] == []
