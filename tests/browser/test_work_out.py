"""A calculator as one uses it: the slips it says, worked backwards, and filled from a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from harness import Handsets
from own import add_marten, own_tab

AXLE = "for=thornback/rear-axle"


@pytest.fixture
def tab(handsets: Handsets) -> Iterator[Page]:
    yield from own_tab(handsets)


def open_(page: Page, address: str) -> None:
    page.goto(f"work-out/{address}")
    expect(page.locator("[data-say]").first).not_to_be_empty()
    # What needs more scripts is there too: the unit is told, or the list of it.
    if "for=" in address:
        expect(page.locator("[data-from]")).to_be_visible()


def value(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-value]').inner_text()


def back(page: Page, want: str, free: str = "", output: str = "", unit: str = "") -> str:
    """Ask backwards; return what is said."""
    if not page.locator("#back-free").is_visible():
        page.locator("[data-backwards] summary").click()
    for box, pick in (("#back-out", output), ("#back-free", free), ("[data-back] .pair select", unit)):
        if pick:
            page.locator(box).select_option(pick)
    page.fill("#back-want", want)
    return page.locator("#back-says").inner_text()


# ---- slips

def test_a_slip_is_said_beside_the_result_once_all_is_there(page: Page) -> None:
    open_(page, "axle-ratio/?shaft=37.4&wheel=20&held=both")
    slip = page.locator("[data-slips] .warn.caution")
    expect(slip).to_have_text(
        "CAUTION 1.87 is too low for such an axle. Was one wheel held? Then the other goes twice as far: "
        "pick one wheel, which doubles it.")
    assert value(page, "counted") == "1.87", "the result still stands"
    page.select_option("#in-held", "one")
    expect(slip).to_have_count(0)
    page.fill("#in-shaft", "")
    expect(slip).to_have_count(0)


# ---- backwards

def test_an_answer_found_backwards_goes_into_its_field(page: Page) -> None:
    open_(page, "torque-adapter/?torque=26 N·m&lever=400 mm&adapter=60 mm&angle=0")
    # T · L / (L + E): 20 = 26 · 400 / (400 + E) at E = 120 mm
    assert back(page, "20", "adapter") == "Adapter, drive to bolt: 120 mm"
    page.get_by_role("button", name="Use 120 mm").click()
    assert page.locator("#in-adapter").input_value() == "120"
    assert value(page, "setting") == "20.0 N·m"
    page.select_option('[data-input="adapter"] select', "in")
    page.fill("#in-adapter", "1")
    assert back(page, "20", "adapter") == "Adapter, drive to bolt: 4.72441 in", "in the unit that is picked there"
    # 14.7512 lb·ft is 20 N·m: what is wanted may be said in another unit
    assert back(page, "14,7512", "adapter", unit="lb·ft").startswith("Adapter, drive to bolt: 4.7244")
    assert back(page, "400", "adapter", unit="N·m") == "Adapter, drive to bolt: no answer between 0 in and 15.748 in."
    assert back(page, "1,234", "adapter") == "Not used. 1,234 may be 1234 or 1.234. Type one of the two."
    back(page, "20", "adapter")
    page.fill("#in-torque", "")
    expect(page.locator("#back-says")).to_have_text("Needs: Torque at the bolt")


def test_two_answers_are_both_told(page: Page) -> None:
    # A joint bends as much whether the shaft falls away from it or rises.
    open_(page, "propshaft-angles/")
    output = "front"
    said = back(page, "1", output=output)
    match = re.fullmatch(r".+: two answers: (\S+) ° and (\S+) °\.", said)
    assert match, said
    for index in (0, 1):
        page.locator("[data-back] button").nth(index).click()
        expect(page.locator(f'[data-output="{output}"] [data-also]')).to_have_text("1.0 °")
        back(page, "1", output=output)


# ---- from a unit

def test_a_unit_fills_the_fields_with_its_states(page: Page) -> None:
    open_(page, f"thread-condition/?{AXLE}&group=cover")
    assert page.locator("#in-target").input_value() == "26"
    assert page.locator("#in-stated").input_value() == "dry"
    told = page.locator("[data-from]")
    expect(told).to_contain_text("Filled from Ardmoor Thornback, HR-225C rear axle, cover. A demo vehicle, invented.")
    expect(told.get_by_role("link", name="HR-225C rear axle")).to_have_attribute(
        "href", "../../vehicles/thornback/#thornback-rear-axle")
    open_(page, "thread-condition/?for=drystone/wheels")
    page.select_option("#in-actual", "lubricated")
    assert "113 N·m: plausible." in told.inner_text()


def test_the_poorest_state_wins_and_goes_with_its_number(page: Page) -> None:
    open_(page, "fill-reconcile/?for=drystone/front-axle")
    state = page.locator("[data-state]")
    expect(state).to_have_text("conflict")
    expect(page.locator("[data-from] li")).to_have_text(
        ["Table, drain and refill 1.35 L: conflict, another source says 1.10 L."])
    assert page.locator("#line").input_value().endswith(" · conflict")
    page.fill("#in-table", "1.3")
    expect(state).to_have_text("unverified")  # the method's own
    page.fill("#in-table", "1.35")
    expect(state).to_have_text("conflict")


def test_what_the_unit_does_not_have_is_said_and_left_empty(page: Page) -> None:
    open_(page, "hole-tilt/?for=thornback/front-axle")
    expect(page.locator("[data-from]")).to_contain_text("Surface of the oil: not recorded. Type or pick it.")
    assert page.locator("#in-surface").input_value() == "", "never the example's figure"
    expect(page.locator("[data-example]")).to_have_text(
        "What the unit does not give are example figures. Type your own.")


def test_several_groups_of_bolts_are_one_tap_apart(page: Page) -> None:
    open_(page, f"torque-units/?{AXLE}")
    assert page.locator("#in-target").input_value() == ""
    expect(page.locator("[data-from]")).to_contain_text("Torque wanted: pick the bolts.")
    expect(page.locator("[data-from] + .results")).to_be_visible()  # nothing is worked out before they are picked
    page.get_by_role("link", name="Fill plug", exact=True).click()
    expect(page.locator("#in-target")).to_have_value("45")
    expect(page.locator("[data-from]")).to_contain_text("Torque wanted 45 N·m: unverified.")
    expect(page.get_by_role("link", name="Fill plug", exact=True)).to_have_attribute("aria-current", "true")


@pytest.mark.parametrize(("asked", "says"), [
    ("nowhere/rear-axle", "Not filled from a unit. There is no vehicle ‘nowhere’ on this phone. "
                          "It may be on another one, or was taken away."),
    ("thornback/sidecar", "Not filled from a unit. Ardmoor Thornback has no unit ‘sidecar’."),
    ("thornback", "Not filled from a unit. Ardmoor Thornback has no unit ‘’."),
    ("thornback/__proto__", "Not filled from a unit. Ardmoor Thornback has no unit ‘__proto__’."),
])
def test_a_unit_that_is_not_there_is_said_and_the_page_works(page: Page, asked: str, says: str) -> None:
    open_(page, f"torque-adapter/?for={asked}&torque=26 N·m")
    expect(page.get_by_role("alert").filter(has_text="Not filled")).to_have_text(says)
    assert value(page, "setting") == "22.6 N·m"


def test_a_unit_of_ones_own_fills_it_too(tab: Page) -> None:
    vehicle = add_marten(tab)
    tab.locator("section.entry", has=tab.get_by_role("heading", name="Rear axle")).get_by_role(
        "link", name="Work out for this unit").click()
    expect(tab.locator("[data-from]")).to_contain_text("For Corrie Marten, Rear axle.")
    tab.goto(f"work-out/cold-start/?for={vehicle}/rear-axle")
    expect(tab.locator("[data-from]")).to_contain_text("Filled from Corrie Marten, Rear axle.")
    expect(tab.locator("#in-coldest")).to_have_value("-12")
