"""The job page in its states: readable, big enough for a gloved thumb, never too wide, and still under the thumb."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from browser.test_access import LOOKS, SMALL, SMALL_TEXT, WIDE
from harness import LONDON, Handsets, SiteServer, open_profile, watch
from jobs import Worker, pass_time
from storing import set_room

MORNING = dt.datetime(2026, 6, 10, 8, 0, tzinfo=dt.UTC)
# What the hands are at: the step that is open, holds, a wait that is over, the bolt that clicks, start and sign-off.
AT_HAND = (".step.now .tick, .hold button, .clock.ready > .btn, .tight > .btn:not(.small), .begin > .btn,"
           " .not-saved .btn, .job-close .btn:not(.small)")
BARS = """how => document.querySelectorAll('.nav, .save-state, .undone').forEach((bar) => (bar.style.position = how))"""
LOW = f"""() => [...document.querySelectorAll('{AT_HAND}')]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 71.5)
  .map((one) => `${{one.textContent.slice(0, 30)}} ${{one.getBoundingClientRect().height}}`)"""


@pytest.fixture(scope="module")
def phone(handsets: Handsets) -> BrowserContext:
    return handsets.take("with a clock", has_touch=True, **LONDON)


@pytest.fixture
def hands(phone: BrowserContext, served: SiteServer) -> Iterator[Worker]:
    page = phone.new_page()
    faults = watch(page, served.origin)
    page.clock.install(time=MORNING)
    yield Worker(page)
    page.close()
    assert faults == []


def look(page: Page, state: str, shown: str) -> None:
    """Look at the page as it stands, of which `shown` is to be seen, at three widths and in both themes."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text())
    expect(page.locator(shown).first).to_be_visible()
    for width, scheme, rules in LOOKS:
        page.set_viewport_size({"width": width, "height": 760})
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        # What lies under a bar that stays on the screen is scrolled free: the bars are laid into the page meanwhile.
        page.evaluate(BARS, "static")
        told = page.evaluate("rules => axe.run(document, rules)", rules) if rules else {"violations": []}
        page.evaluate(BARS, "")
        said = [f"{one['id']}: {node['html'][:120]} | {node['failureSummary'][:300]}"
                for one in told["violations"] for node in one["nodes"]]
        where = f"{state}, {width} px, {scheme}"
        assert said == [], f"{where}\n" + "\n".join(said)
        if scheme == "light":
            assert page.evaluate(SMALL, 48) == [], f"{where}: under 48 px high"
            assert page.evaluate(LOW) == [], f"{where}: at hand and under 72 px high"
            assert page.evaluate(WIDE) == [], f"{where}: wider than the screen"
            assert page.evaluate(SMALL_TEXT, 13.9) == [], f"{where}: text under 14 px"
    page.set_viewport_size({"width": 360, "height": 760})
    page.emulate_media(color_scheme="light")
    assert page.locator("h1").count() == 1


def test_the_start_form(hands: Worker) -> None:
    page = hands.page
    page.goto("job/?start=p01/thornback/rear-axle")
    page.locator("#f-begin-odometer").fill("1124")
    page.locator("#f-begin-ground").select_option("slope, the end with the fill hole up")
    page.locator("input[name=choice][value=sealant]").check()
    page.get_by_role("button", name="Start the job").click()
    expect(page.locator("#label-13")).to_be_visible()
    expect(page.locator(".refused")).to_contain_text("Say why")
    look(page, "start form", ".odd")


@pytest.mark.apart
def test_a_job_at_work(hands: Worker) -> None:
    """P01 from its first step to the log; looked at wherever something new stands on the page."""
    page = hands.page
    hands.begin("p01/thornback/rear-axle", "112410", "sealant", {13: "50", 14: "70"}, {"ground": "level pad"})
    page.locator(".numbers summary").click()
    page.locator(".sub-card summary").first.click()
    look(page, "first step", ".step.now .tick")
    hands.done(1, 2, 3)
    hands.hold(1)
    look(page, "running wait", ".step .clock.running")
    page.locator("[data-field='level-found'] input").fill("1,234")
    look(page, "field refused", ".read.wrong .says")
    hands.read("level-found", "18")
    hands.done(4, 5)
    hands.hold(2)
    pass_time(page, 11)
    look(page, "ready wait", ".step .clock.ready")
    hands.opened(2)
    hands.done(6)
    hands.early(6)
    hands.hold(3)
    hands.read("smell", "burnt")
    hands.reads(water="free water", magnet="4")
    look(page, "stop reading", ".stop b")
    hands.reads(colour="dark and clear", water="none seen", magnet="1")
    hands.done(7, 8, 9, 15)
    page.locator("[data-tick='15']").click()
    expect(page.locator(".undone")).to_be_visible()
    page.get_by_role("button", name="Put it back").click()
    hands.saved()
    page.locator("[data-step='8'] .extras summary").click()
    pass_time(page, 21)
    hands.opened(7)
    hands.read("cloths-in", "6")
    hands.done(10)
    hands.reads(teeth="bright and even", cloths_out="5")
    hands.done(11, 12)
    hands.hold_refuses(4, "Cloths in 6, out 5.")
    page.locator(".hold-of:has([data-hold='4']) summary").click()
    look(page, "hold with its reason form open, photo and note open", "#reason-4")
    hands.read("cloths-out", "6")
    hands.hold(4)
    hands.reads(air_temp="12", humidity="85", metal_temp="14")
    hands.hold(5)
    hands.early(12)
    hands.done(13)
    pass_time(page, 51)
    hands.opened(13)
    hands.step(14).locator(".tight select").select_option("oiled")
    hands.click_bolts(14, 13)
    look(page, "tightening", ".tight .at-hand")
    hands.whole(14)
    hands.done(14)
    page.locator(".job-close .more summary").click()
    page.locator("#left").fill("axle closed, no oil in it, label on the wheel")
    page.get_by_role("button", name="Leave it for another sitting").click()
    hands.saved()
    look(page, "resting", ".resting")
    page.get_by_role("button", name="Go on with the job").click()
    pass_time(page, 71)
    hands.opened(14)
    hands.hold(6)
    hands.reads(oil_grade="75W-110", level_verified="yes", vehicle_level="yes", volume_in="2.33")
    hands.done(16)
    hands.early(16)
    hands.whole(17)
    hands.done(17, 18)
    hands.hold(7)
    hands.done(19)
    hands.early(19)
    hands.read("leak-grade", "dry")
    hands.done(20, 21)
    page.get_by_role("button", name="Sign off").click()
    hands.saved()
    look(page, "signed off", ".signed")
    page.goto("log/")
    look(page, "log", ".entry-of")
    page.goto("")
    look(page, "today", "[data-module=today] li")


def test_shown_only_in_a_second_tab(hands: Worker, phone: BrowserContext) -> None:
    hands.begin("p11/thornback/wheels", "112500")
    hands.done(1)
    second = phone.new_page()
    second.goto(hands.page.url)
    look(second, "shown only", ".only-shown")
    second.close()


def test_not_saved(playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path) -> None:
    def start() -> Worker:
        return Worker(open_profile(playwright, tmp_path / "profile", chromium_path, base_url=served.url,
                                   service_workers="block", has_touch=True).new_page())

    hands = start()
    hands.begin("p11/thornback/wheels", "112500")
    url = hands.page.url
    hands.page.context.close()
    hands = start()
    set_room(hands.page, served.origin, 1)
    hands.page.goto(url)
    hands.page.locator("[data-tick='1']").click()
    look(hands.page, "NOT saved", ".not-saved")
    hands.page.context.close()


UNDER = """(button) => {
  const { left, top, width } = button.getBoundingClientRect()
  return [Math.round(top), document.elementFromPoint(left + width / 2, top + 26)?.closest('button') === button]
}"""


@pytest.mark.parametrize("anchored", [True, False], ids=["browser helps", "browser does not"])
def test_what_is_tapped_stays_under_the_thumb(hands: Worker, anchored: bool) -> None:
    """Waits open on top, fields below, the step at hand shrinks: a second tap must not land on something else.

    Not every browser holds the page still by itself, so it is switched off for the second time.
    """
    page = hands.page
    hands.begin("p01/thornback/rear-axle", "112410", "gasket")
    if not anchored:
        page.evaluate("document.styleSheets[0].insertRule('* { overflow-anchor: none }', 0)")

    def tap(at: str) -> None:
        button = page.locator(at)
        button.evaluate("one => scrollBy({ top: one.getBoundingClientRect().top - 400, behavior: 'instant' })")
        button.click()
        hands.saved()
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        top, there = button.evaluate(UNDER)
        assert abs(top - 400) <= 2 and there, f"{at} stood at 400, is at {top}"

    for at in ("[data-tick='1']", "[data-tick='2']", "[data-tick='3']", "[data-hold='1']", "[data-tick='4']",
               "[data-tick='5']", "[data-hold='2']"):
        tap(at)
    pass_time(page, 11)
    hands.opened(2)
    tap("[data-tick='6']")
    hands.early(6)
    tap("[data-hold='3']")
    for step in (7, 8, 9, 15):
        tap(f"[data-tick='{step}']")
    # A thumb that bounces taps once.
    page.locator("[data-tick='15']").dblclick()
    expect(page.locator(".undone")).to_contain_text("Undone: step 15.")
    page.locator("[data-tick='15']").dblclick()
    expect(page.locator("[data-tick='15']")).to_contain_text("Undo")
