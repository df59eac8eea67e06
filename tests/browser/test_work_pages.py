"""Buy list, job clock, tightening order, next due: what each works out, and what it does with what cannot be used."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from workpages import NOON, also, fill_bottle, line, open_, say, value

# ---- what each works out: the worked examples that stand on the page, own working of the project


def test_the_buy_list_of_the_worked_example(page: Page) -> None:
    open_(page, "buy-list")
    assert (value(page, "buy"), value(page, "cost")) == ("2 × 1 L + 1 × 0.5 L", "31.90")
    assert (value(page, "over"), value(page, "need")) == ("0.190 L", "2.31 L")
    assert line(page).startswith("Example figures. Buy list · Buy: 2 × 1 L + 1 × 0.5 L; ")
    page.fill("#in-flush", "1,0")
    assert (value(page, "buy"), value(page, "cost")) == ("3 × 1 L + 1 × 0.5 L", "44.30")
    assert (value(page, "over"), value(page, "need")) == ("0.140 L", "3.36 L")
    assert not line(page).startswith("Example")
    shown = page.locator("main").inner_text()
    assert "2 × 1 L and 1 × 0.5 L, 31.90, 0.190 L over" in shown and "44.30, 0.140 L over" in shown


def test_bottles_of_both_countries_from_the_address(page: Page) -> None:
    page.clock.install(time=NOON)
    page.goto("work-out/buy-list/?need=2.31%20L&size=1%20US%20qt&price=9.50&shelf=1&size=1%20imp%20pt&price=6&shelf=")
    expect(page.locator("[data-output=need] [data-value]")).to_have_text("2.31 L")
    # 1 US qt from the shelf leaves 1.364 L: 2 qt are 19.00, 1 qt with 1 imp pt (1.515 L) 15.50, 3 imp pt 18.00.
    assert (value(page, "buy"), value(page, "cost")) == ("1 × 1 US qt + 1 × 1 imp pt", "15.50")
    assert also(page, "buy").replace("\u00a0", " ") == "from the shelf 1 × 1 US qt"
    assert say(page, "refill") == "Not counted: the amount needed is given above."
    assert "Drain-and-refill" not in line(page) and "Amount needed, if you know it 2.31 L" in line(page)
    expect(page.locator("[data-example]")).to_be_hidden()


def test_an_amount_of_ones_own_never_stands_beside_prices_of_an_example(page: Page) -> None:
    open_(page, "buy-list", need="2.31 L")
    assert value(page, "buy") == "2 × 1 L + 1 × 0.5 L"
    assert (value(page, "cost"), also(page, "cost")) == ("–", "No prices typed: the least is bought.")
    expect(page.locator("[data-example]")).to_have_text("What was not given are example figures. Type your own.")
    page.fill("#in-need", "2")
    expect(page.locator("[data-example]")).to_be_hidden()


def test_the_job_clock_of_the_worked_example(page: Page) -> None:
    open_(page, "job-clock")
    assert (value(page, "done"), value(page, "label"), value(page, "work")) == ("18:54", "17:43", "3 h 39 min")
    assert also(page, "done") == "5 h 54 min from the start. No order is shorter."
    fill = page.locator("tr[data-step='16']")
    assert fill.locator("th").inner_text().split() == ["17:43", "to", "17:53"]
    assert page.locator("tr[data-step='20'] th small").inner_text() == "to 18:44"
    page.select_option("#in-option", "gasket")
    assert value(page, "done") == "17:00" and also(page, "label") == "No label time on this card."
    assert page.locator("tr[data-step='16'] th").inner_text().startswith("15:49")
    assert page.locator("tr[data-step]").count() == 21
    page.select_option("#in-hands", "2")
    assert value(page, "done") == "16:45"
    assert page.get_by_text("Second pair of hands").count() > 0


def test_another_card_and_a_label_of_a_day(page: Page) -> None:
    open_(page, "job-clock")
    page.fill("#in-label-14", "24")
    page.locator("[data-label='14'] select").select_option("h")
    # 24 h in place of 70 min: 22 h 50 min later than 18:54.
    assert value(page, "done") == "17:44 next day"
    assert "A wait is slept over: plan two sittings." in also(page, "done")
    page.fill("#in-label-13", "0")
    assert page.locator("#say-in-label-13").inner_text() == (
        "Not used. 0 min is less than 1 min. Read it off the tube. It is never shortened.")
    assert also(page, "done") == "Needs: label after step 13"
    page.select_option("#in-card", "p02")
    expect(page.locator("[data-output=done] [data-value]")).to_have_text("15:16")  # 136 min after 13:00
    expect(page.locator("[data-input=option]")).to_be_hidden()
    assert page.locator("[data-label]").count() == 0 and line(page).startswith("Job clock · Done at: 15:16")


def test_a_card_that_cannot_be_read_is_named(page: Page) -> None:
    open_(page, "job-clock")
    page.route("**/data/cards/p11.json", lambda route: route.fulfill(status=200, body="<!doctype html>"))
    page.select_option("#in-card", "p11")
    expect(page.get_by_role("alert")).to_have_text(
        "Card P11 cannot be read. Open the page once more while there is a network, so that it is saved.")
    assert value(page, "done") == "–" and line(page) == ""


def test_the_tightening_order_of_the_worked_example(page: Page) -> None:
    open_(page, "tightening-order")
    assert (value(page, "order"), also(page, "order")) == ("1-6-3-8-5-10-2-7-4-9", "Our order, no published pattern.")
    assert [value(page, one) for one in ("first", "second", "third", "lap")] == [
        "13.0 N·m", "19.5 N·m", "26.0 N·m", "26.0 N·m"]
    assert also(page, "lap") == "19.2 lb·ft · 230 lb·in; once round by the numbers, 1 to 10"
    expect(page.locator("[data-more] svg")).to_have_attribute("aria-label", re.compile("1, 6, 3, 8, 5, 10, 2, 7, 4, 9"))
    page.fill("#in-count", "14")
    assert also(page, "order") == "Our order, no published pattern."
    page.fill("#in-count", "8")  # ASME PCC-1 legacy cross pattern
    assert (value(page, "order"), also(page, "order")) == ("1-5-3-7-2-6-4-8", "Cross pattern as published.")
    assert "ASME PCC-1" in line(page)
    page.select_option("#in-pattern", "rail")
    assert also(page, "order") == "Common practice."
    assert page.locator("[data-more] svg g").count() == 8
    page.fill("#in-stage1", "30")
    page.fill("#in-stage2", "")
    assert (value(page, "first"), also(page, "second")) == ("7.80 N·m", "Not wanted.")
    assert also(page, "first").endswith("; 30 %, in the order above") and value(page, "third") == "26.0 N·m"
    page.fill("#in-stage2", "20")
    expect(page.get_by_role("alert")).to_have_text("Each stage is tighter than the one before it. Check both stages.")
    assert value(page, "order") == "–" and line(page) == ""
    page.fill("#in-stage2", "75")
    page.fill("#in-count", "7.5")
    assert say(page, "count") == "Not used. Type a whole number."
    assert value(page, "order") == "–" and page.locator("[data-more] svg").count() == 0
    page.fill("#in-count", "1")
    assert also(page, "first") == "A single bolt is tightened in one go." and value(page, "third") == "26.0 N·m"


def test_the_next_due_of_the_worked_example(page: Page) -> None:
    open_(page, "next-due")
    assert (value(page, "state"), also(page, "state")) == ("due", "Date comes first.")
    grouped = {one: value(page, one).replace("\u202f", " ") for one in ("distance", "date", "driven")}
    assert grouped == {"distance": "104 320 mi", "date": "2024-10-23", "driven": "21 333 mi"}
    assert also(page, "distance").replace("\u202f", " ") == "8 833 mi true over"
    assert also(page, "date") == "542 days over"
    page.fill("#in-since", "")
    page.fill("#in-factor", "")
    assert value(page, "driven").replace("\u202f", " ") == "19 465 mi"  # 112 380 - 92 915, as it shows
    page.fill("#in-months", "")
    assert also(page, "state") == "Distance decides." and also(page, "date") == "No interval in months."


def test_one_odometer_has_one_unit(page: Page) -> None:
    open_(page, "next-due")
    page.locator("[data-input=now] select").select_option("km")
    assert [page.locator(f"[data-input={one}] select").input_value() for one in ("last", "now", "since")] == ["km"] * 3
    assert say(page, "now").replace("\u202f", " ") == "reads as 112 380 km"
    assert value(page, "driven").endswith(" km")


# ---- what cannot be used


def test_contradictions_say_what_to_do(page: Page) -> None:
    open_(page, "next-due")
    page.fill("#in-now", "90000")
    expect(page.get_by_role("alert")).to_contain_text("If it has rolled over, type it with the lap counted in.")
    assert value(page, "state") == "–" and line(page) == ""
    page.fill("#in-now", "112380")
    page.fill("#in-today", "2022-01-01")
    expect(page.get_by_role("alert")).to_have_text(
        "Today, 2022-01-01, lies before the last one, 2022-10-23. Check both days.")
    page.fill("#in-today", "")
    expect(page.get_by_role("alert")).to_be_hidden()
    assert also(page, "state") == "Needs: Today"
    page.fill("#in-today", "2026-04-18")
    page.fill("#in-factor", "")
    assert say(page, "factor") == "Not used. Type this one too, or leave both empty."
    assert also(page, "state") == "Needs: Factor of those tyres"
    page.fill("#in-since", "")
    page.fill("#in-interval", "")
    page.fill("#in-months", "")
    expect(page.get_by_role("alert")).to_have_text("Type an interval by distance, in months, or both.")
    open_(page, "buy-list")
    page.fill("#in-refill", "0.3")
    page.fill("#in-additive", "400")
    expect(page.get_by_role("alert")).to_have_text("The additive is more than the refill. Check both, and their units.")


def test_a_bottle_that_cannot_be_used_is_said_at_its_field(page: Page) -> None:
    open_(page, "buy-list")
    fill_bottle(page, 0, "1,234", "12,40")
    row = page.locator("[data-bottles] > fieldset").first
    assert row.locator("[data-input=size] [data-say]").inner_text() == (
        "Not used. 1,234 may be 1234 or 1.234. Type one of the two.")
    assert row.locator("[data-input=price] [data-say]").inner_text() == "reads as 12.4"
    assert also(page, "buy") == "Needs: a bottle above put right"
    fill_bottle(page, 0, "1", "")
    assert row.locator("[data-input=price] [data-say]").inner_text() == (
        "Not used. Type its price, or leave all prices out. It is not counted now.")
    assert value(page, "buy") == "5 × 0.5 L"
    fill_bottle(page, 0, "1", "", "2.5")
    assert row.locator("[data-input=shelf] [data-say]").inner_text() == "Not used. Type a whole number."
    fill_bottle(page, 0, "", "")
    assert value(page, "buy") == "5 × 0.5 L"
    fill_bottle(page, 1, "", "")
    assert also(page, "buy") == "Needs: the size of a bottle"


@pytest.mark.parametrize(("name", "field", "output"), [
    ("buy-list", "refill", "need"), ("tightening-order", "torque", "first"), ("next-due", "last", "state")])
def test_empty_out_of_range_and_comma(page: Page, name: str, field: str, output: str) -> None:
    open_(page, name)
    box = page.locator(f"#in-{field}")
    before = box.input_value()
    box.fill("9999999")
    assert re.match(r"Not used\. 9999999 \S+ is more than ", say(page, field))
    assert value(page, output) == "–" and also(page, output).startswith("Needs: ")
    assert box.get_attribute("aria-invalid") == "true"
    box.fill("")
    assert say(page, field) == "Type a number." and value(page, output) == "–"
    box.fill(before.replace(".", ","))
    assert value(page, output) != "–" and say(page, field).startswith("reads as ")


def test_what_the_address_has_wrong_is_said(page: Page) -> None:
    page.clock.install(time=NOON)
    page.goto("work-out/tightening-order/?pattern=star&count=8&torque=26%20mm")
    expect(page.locator("[data-input=pattern] [data-say]")).to_have_text(
        "Not used. “star” is none that can be chosen here. Choose one.")
    assert say(page, "torque").startswith("Not used. ") and page.locator("#in-torque").input_value() == "26 mm"
    assert also(page, "order") == "Needs: Shape of the group, Target torque"
    page.goto("work-out/job-clock/?start=noon")
    expect(page.locator("[data-input=start] [data-say]")).to_have_text(
        "Not used. “noon” is none that can be chosen here. Choose one.")
    assert also(page, "done") == "Needs: Begin at"
