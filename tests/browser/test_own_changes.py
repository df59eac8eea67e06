"""What changes with time on one's own vehicle, slips put right, things taken away, and what goes wrong in storage."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from harness import Handsets
from own import AT, STORED, Json, add_marten, own_tab, press, record, typed


@pytest.fixture
def tab(handsets: Handsets) -> Iterator[Page]:
    yield from own_tab(handsets)


def put(page: Page, name: str, sheet: Json) -> None:
    """Store a sheet as it is, as another tab or another version of the site may."""
    store = f"(await ({AT})('js/store.js'))"
    page.evaluate(f"async ([id, sheet]) => {store}.putVehicle({{id, rev: sheet.rev, at: 1, sheet}})", [name, sheet])


def test_what_changes_with_time_and_what_was_a_slip(tab: Page) -> None:
    name = add_marten(tab)
    vehicle = tab.locator("details.more", has_text="Change the vehicle").first
    vehicle.locator("summary").click()

    def say(what: str, **fields: str) -> Json:
        press(vehicle, what)
        typed(tab, **fields)
        expect(tab.locator(".going")).to_contain_text("Saved")
        expect(tab.locator("form.own-form")).to_have_count(0)
        vehicle.locator("summary").click()
        return dict(record(tab, name)["sheet"])

    # 235/75R15 is 733.5 mm outside and 265/75R16 is 803.9 mm: 803.9 / 733.5 = 1.0960.
    sheet = say("Tyres", size="265/75R16", since="91340", on="2022-06-11")
    assert [(one["size"], one["since"], one["factor"], one["state"]) for one in sheet["tyre_eras"]] == [
        ("235/75R15", "0 mi", 1, "unverified"), ("265/75R16", "91340 mi", 1.096, "plausible")]
    # The first size was read wrong: 31 × 25.4 = 787.4 mm, so the second is 803.9 / 787.4 = 1.0210 of it.
    sheet = say("Tyres", size="31x10.50R15", instead="1")
    assert [(one["size"], one["factor"]) for one in sheet["tyre_eras"]] == [("31x10.50R15", 1), ("265/75R16", 1.021)]
    say("Other use", use="severe", since="90000", on="2022-01-01")
    sheet = say("Other use", use="severe", since="92000", on="2022-08-01", slip="yes")
    assert sheet["severity_eras"] == [{"since": "92000 mi", "since_date": "2022-08-01", "use": "severe"}]
    press(vehicle, "An interval of its own")
    tab.get_by_label("Rear axle, rear axle").check()
    typed(tab, distance="12500", months="24", source="common-practice")
    expect(tab.locator(".facts").first).to_contain_text("Rear axle: 12500 mi or 24 months, unverified")
    rule = record(tab, name)["sheet"]["service"][0]
    assert rule["units"] == ["rear-axle"]
    assert (rule["distance"], rule["months"], rule["severe_factor"]) == ("12500 mi", 24, 0.5)

    # A value typed where it does not belong goes by two taps; the unit with its interval goes too.
    rear = tab.locator("#rear-axle")
    press(rear, "Dry fill")
    typed(tab, value="2.5", source="unknown")
    rear.get_by_text("Change", exact=True).click()
    rear.get_by_text("Take something away").click()
    press(rear, "Dry fill, 2.5 L")
    assert "fills" in record(tab, name)["sheet"]["units"]["rear-axle"], "one tap takes nothing away"
    press(rear, "Tap again: it goes from this vehicle")
    expect(rear.locator(".going")).to_contain_text("taken away: Dry fill, 2.5 L")
    rear.get_by_text("Change", exact=True).click()
    rear.get_by_text("Take something away").click()
    press(rear, "The whole unit")
    press(rear, "Tap again: it goes from this vehicle")
    expect(rear).to_have_count(0)
    last = record(tab, name)["sheet"]
    assert "service" not in last and list(last["units"]) == ["transfer", "wheels", "whole"]
    assert last["rev"] == len(last["changed"]) == 9

    # Another tab made the next revision meanwhile: nothing is put over it, and that is said.
    newer = {**last, "rev": 10, "changed": [*last["changed"], {"rev": 10, "date": "2026-01-01", "why": "elsewhere"}]}
    put(tab, name, newer)
    vehicle.locator("summary").click()
    press(vehicle, "Vehicle and odometer")
    typed(tab, reading="99000")
    expect(tab.locator("form [role=alert]")).to_contain_text("NOT saved.")
    # One that cannot be read is named, hides no other, and can be taken away.
    put(tab, "odd", {**last, "rev": 1, "name": "Odd One", "odometer": {**last["odometer"], "reading": "many"}})
    for path in ("look-up/", "cards/p11/"):
        tab.goto(path)
        expect(tab.locator("main [role=alert]")).to_contain_text("Odd One cannot be read.")
    expect(tab.get_by_role("link", name="Marten Wheels")).to_be_visible()
    tab.goto("garage/vehicle/?id=odd")
    expect(tab.locator("main [role=alert]")).to_contain_text("It cannot be read. odometer.reading")
    press(tab, "Take this vehicle away")
    press(tab, "Tap again: it goes from this phone")
    tab.wait_for_url("**/garage/")
    expect(tab.get_by_role("link", name="Odd One")).to_have_count(0)


def test_a_file_from_another_phone_is_taken_in_once_and_never_over_what_is_here_by_itself(tab: Page) -> None:
    name = add_marten(tab)
    sheet = record(tab, name)["sheet"]
    history = [{"rev": rev, "date": "2026-01-01", "why": "There."} for rev in (1, 2, 3)]
    theirs = {**sheet, "rev": 3, "changed": history, "name": "Corrie <b>Marten</b>"}

    def paste(one: Json) -> None:
        tab.goto("garage/")
        press(tab, "Take in a vehicle file")
        tab.locator("#own-paste").fill(f"# Vehicle marten-abcd, revision {one['rev']}.\n{json.dumps(one)}")
        press(tab, "Read the text")

    # New here: it keeps its revision and its history, so that two phones know whose is newer.
    paste(theirs)
    press(tab, "Take it in")
    tab.wait_for_url("**/garage/vehicle/?id=marten-abcd")
    expect(tab.locator("h1")).to_have_text("Corrie <b>Marten</b>")
    assert (record(tab, "marten-abcd")["rev"], record(tab, "marten-abcd")["sheet"]) == (3, theirs)
    # The same again: nothing to do. Another content: the owner says which.
    paste(theirs)
    expect(tab.locator("main")).to_contain_text("It is here already, the same to the letter.")
    paste({**theirs, "coldest_start": "-20 °C"})
    expect(tab.locator("main")).to_contain_text("is here with revision 3, and differs.")
    press(tab, "Put it in place of revision 3")
    tab.wait_for_url("**/garage/vehicle/?id=marten-abcd")
    over = record(tab, "marten-abcd")
    assert (over["rev"], over["sheet"]["rev"], over["sheet"]["coldest_start"]) == (4, 4, "-20 °C")
    assert over["sheet"]["changed"][:3] == history and len(over["sheet"]["changed"]) == 4
    paste(theirs)
    press(tab, "Keep both")
    tab.wait_for_url(re.compile(r"id=marten-(?!abcd)"))
    expect(tab.locator("dl.head")).to_contain_text("−12 °C")
    assert len(tab.evaluate(STORED)) == 3
