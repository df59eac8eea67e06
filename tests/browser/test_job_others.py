"""P02 and P11 from first step to log entry with the host stopped, and the odometer that is asked at every start."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from jobs import Worker, pass_time, wheel_off_to_its_nuts


def test_p02_with_a_refusal_a_deviation_and_a_conflict(worker: Worker) -> None:
    """The unit's refill is in conflict, so litres alone never pass the hold: the level must be seen."""
    page = worker.page
    worker.begin("p02/drystone/front-axle", "214700")
    worker.done(1, 2, 3)
    worker.hold(1)
    worker.read("level-found", "0.5", "in")
    worker.done(4, 5)
    worker.hold(2)
    pass_time(page, 11)
    worker.opened(2)
    worker.done(6, 7)
    pass_time(page, 16)
    worker.opened(6)
    worker.read("volume-out", "1.3")
    worker.whole(8)
    worker.done(8)
    worker.hold(3)
    worker.hold_refuses(4, "Not read yet: magnet grade, water.")
    worker.reads(water="none seen", magnet="1")
    worker.hold(4)
    worker.done(9)
    pass_time(page, 6)
    worker.opened(9)
    worker.read("volume-in", "1.34")
    worker.done(10)
    pass_time(page, 6)
    worker.opened(10)
    worker.whole(11)
    worker.done(11, 12)
    worker.hold_refuses(5, "Not read yet: level seen at the rule.")
    worker.read("level-verified", "no")
    worker.hold_refuses(5, "No verified figure to compare with: fill to level.")
    worker.read("level-verified", "yes")
    worker.hold(5)
    worker.done(13)
    worker.early(13)
    worker.read("leak-grade", "weep")
    worker.done(14, 15)
    page.get_by_role("button", name="Sign off").click()
    expect(page.locator(".signed")).to_be_visible()
    worker.saved()
    [record] = [one for one in worker.log() if one["entry"]["job"] == worker.job]
    assert record["entry"]["found"]["level-found"] == {"typed": "0.5", "unit": "in", "si": pytest.approx(0.0127)}
    assert record["entry"]["in"]["typed"] == "1.34" and record["entry"]["levelVerified"] == "yes"
    # An open differential needs no chatter check, a clean oil no early sample: two leak looks, at true = indicated.
    assert {(one["kind"], one["due"], one["to"], one["odometerUnit"]) for one in record["followUps"]} == {
        ("leak", "2026-06-11", None, "km"), ("leak", "", 214860, "km")}


def test_p11_wheel_star_stages_then_lap_and_the_re_torque(worker: Worker) -> None:
    """Refitted with another clock at 91 340 mi: re-torque at 50 to 80 km of true distance, 160 km at most."""
    page = worker.page
    page.goto("job/?start=p11/thornback/wheels")
    page.locator("#f-begin-odometer").fill("91340")
    page.locator("#odometer-why").fill("a used clock was fitted")
    page.get_by_role("button", name="Start the job").click()
    worker.saved()
    wheel_off_to_its_nuts(worker)
    expect(worker.step(12)).to_contain_text("Wheel nuts: 122 N·m / 90 lb·ft")
    worker.click_bolts(12, 3)
    # Five nuts go every other one: 1, 3, 5, 2, 4 (common practice, the star).
    hands = worker.step(12).locator("g.at-hand")
    expect(hands.locator("text")).to_have_text("4")
    assert hands.get_attribute("data-bolt") == "2"
    worker.step(12).locator("select").select_option("oiled")
    expect(worker.step(12).locator(".used")).to_contain_text("For threads oiled: 91.5 N·m")
    worker.step(12).locator("select").select_option("dry")
    worker.whole(12)
    worker.done(12)
    worker.whole(13)
    worker.read("second-lap", "no nut turned")
    worker.done(13, 14, 15, 16)
    page.get_by_role("button", name="Sign off").click()
    expect(page.locator(".signed")).to_be_visible()
    worker.saved()
    [record] = [one for one in worker.log() if one["entry"]["job"] == worker.job]
    [follow] = record["followUps"]
    # 50, 80 and 160 km true over 1.0960 and 1.609344: 28.35, 45.36, 90.71 mi on the clock (distances: common practice).
    assert (follow["kind"], follow["from"], follow["to"], follow["hardStop"], follow["odometerUnit"]) == (
        "re-torque", 91368, 91385, 91431, "mi")
    assert [(one["role"], one["used"], one["state"]) for one in record["entry"]["torque"]] == [("wheel", 122, "dry")]


def test_an_odd_odometer_is_refused_in_words_with_a_way_through(worker: Worker) -> None:
    page = worker.page
    page.goto("job/?start=p11/wicket/wheels")
    page.locator("#f-begin-odometer").fill("123456")
    expect(page.locator(".odd")).to_contain_text("This odometer has 5 digits.")
    page.locator("#f-begin-odometer").fill("1,234")
    expect(page.locator("[data-field=odometer] .says")).to_contain_text("1,234 may be 1234 or 1.234")
    page.locator("#f-begin-odometer").fill("310")
    page.get_by_role("button", name="Start the job").click()
    expect(page.locator(".odd")).to_contain_text("That is less than the last reading, 1 450 mi on 2026-04-18.")
    expect(page.locator(".refused")).to_contain_text("Say why the odometer reading is right")
    page.locator("#odometer-why").fill("rolled over twice")
    page.get_by_role("button", name="Start the job").click()
    worker.saved()
    begin = worker.events()[0]["data"]
    assert begin["why"] == "rolled over twice" and begin["odometer"]["typed"] == "310"


@pytest.mark.parametrize(("end", "says"), [
    ("up", "3.84 mm higher than on level ground: filled to it, 0.16 L too much"),
    ("down", "3.84 mm lower than on level ground: filled to it, 0.16 L too little"),
])
def test_a_slope_says_what_it_does_to_the_fill_hole(worker: Worker, end: str, says: str) -> None:
    """Geometry: 110 mm × tan 2° = 3.84 mm, and over 420 cm² of oil that is 0.16 L."""
    worker.begin("p01/thornback/rear-axle", "112500", "gasket",
                 readings={"ground": f"slope, the end with the fill hole {end}", "pitch": "2"})
    worker.done(1, 2, 3)
    worker.hold(1)
    expect(worker.step(4)).to_contain_text(f"The hole stands {says}")
