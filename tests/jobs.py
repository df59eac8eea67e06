"""A person at work on a job page: ticks, holds, readings, waits. Every action waits until it shows and is stored."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Locator, Page, expect

SAVED = re.compile(r"^Saved \d\d:\d\d$")


class Worker:
    """Hands on one job page."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def begin(self, where: str, odometer: str, option: str = "", labels: dict[int, str] | None = None,
              readings: dict[str, str] | None = None) -> None:
        """Fill the start form of `p01/thornback/rear-axle` and start."""
        self.page.goto(f"job/?start={where}")
        self.page.locator("#f-begin-odometer").fill(odometer)
        if option:
            self.page.locator(f"input[name=choice][value={option}]").check()
        for step, minutes in (labels or {}).items():
            self.page.locator(f"#label-{step}").fill(minutes)
        for field, value in (readings or {}).items():
            self._enter(self.page.locator(f"[data-field='{field}']"), value)
        self.page.get_by_role("button", name="Start the job").click()
        expect(self.page).to_have_url(re.compile(r"open=[0-9a-f]{32}$"))
        self.saved()

    @property
    def job(self) -> str:
        return self.page.url.rpartition("open=")[2][:32]

    def saved(self) -> None:
        """Wait until the page says that everything is stored."""
        expect(self.page.locator(".saved")).to_have_text(SAVED)

    def step(self, number: int) -> Locator:
        return self.page.locator(f"[data-step='{number}']")

    def clock(self, number: int) -> Locator:
        return self.step(number).locator(".clock")

    def done(self, *numbers: int) -> None:
        """Tick steps, each of which must be open."""
        for number in numbers:
            self.page.locator(f"[data-tick='{number}']").click()
            expect(self.step(number)).to_have_class(re.compile(r"\bdone\b"))
            self.saved()

    def shut(self, number: int, why: str) -> None:
        """A step cannot be ticked, and says why."""
        expect(self.step(number)).to_have_class(re.compile(r"\bshut\b"))
        expect(self.page.locator(f"[data-tick='{number}']")).to_be_disabled()
        expect(self.step(number).locator(".do .why")).to_contain_text(why)

    def hold(self, number: int) -> None:
        bar = self.page.locator(f"button[data-hold='{number}']")
        bar.click()
        expect(bar).to_have_attribute("aria-pressed", "true")
        self.saved()

    def hold_refuses(self, number: int, why: str) -> None:
        bar = self.page.locator(f"button[data-hold='{number}']")
        bar.click()
        expect(bar).to_have_attribute("aria-pressed", "false")
        expect(self.page.locator("li.hold-of", has=bar).locator(".why")).to_contain_text(why)

    def read(self, field: str, value: str, unit: str = "") -> None:
        place = self.page.locator(f"[data-field='{field}']").last
        if unit:
            place.locator("select.unit").select_option(unit)
        self._enter(place, value)
        self.saved()

    def reads(self, **values: str) -> None:
        for name, value in values.items():
            self.read(name.replace("_", "-"), value)

    def _enter(self, place: Locator, value: str) -> None:
        box = place.locator("input, textarea, select").first
        if box.evaluate("box => box.tagName") == "SELECT":
            box.select_option(value)
        else:
            box.fill(value)
            box.blur()

    def opened(self, number: int) -> None:
        """Tap a wait that is over."""
        self.clock(number).get_by_role("button", name=re.compile("is over: go on")).click()
        expect(self.clock(number)).to_have_class(re.compile("opened"))
        self.saved()

    def early(self, number: int) -> None:
        """Open a planned wait before its time, which takes two taps."""
        self.clock(number).get_by_role("button", name="Ready before the clock").click()
        self.clock(number).get_by_role("button", name=re.compile("Tap again")).click()
        expect(self.clock(number)).to_have_class(re.compile("opened"))
        self.saved()

    def click_bolts(self, number: int, count: int) -> None:
        """Tap `count` bolts of a step one by one."""
        for _ in range(count):
            self.step(number).get_by_role("button", name=re.compile("^Clicked at")).click()
        self.saved()

    def whole(self, number: int) -> None:
        """Tap stage after stage until the step's tightening is complete."""
        more = self.step(number).get_by_role("button", name=re.compile("^Whole (stage|lap) clicked"))
        one = self.step(number).get_by_role("button", name=re.compile("^Clicked at"))
        next_ = self.step(number).locator(".tight .next")
        expect(next_).to_be_visible()
        while one.is_visible():
            was = next_.inner_text()
            (more if more.is_visible() else one).click()
            expect(next_).not_to_have_text(was)
        self.saved()

    # -- what is stored, asked of the store itself

    def events(self) -> list[dict[str, Any]]:
        return list(self._ask(f"store.events('{self.job}')"))

    def log(self) -> list[dict[str, Any]]:
        return list(self._ask("store.log()"))

    def _ask(self, call: str) -> Any:
        base = self.page.evaluate("new URL(document.documentElement.dataset.base, location.href).href")
        return json.loads(self.page.evaluate(
            f"url => import(url).then(async store => JSON.stringify(await {call}))", f"{base}js/store.js"))


def photo(folder: Path) -> Path:
    """Return a picture of 2400 × 1800 px as a camera writes it."""
    Image.effect_noise((2400, 1800), 90).convert("RGB").save(folder / "IMG_1.jpg", quality=80)
    return folder / "IMG_1.jpg"


def wheel_off_to_its_nuts(worker: Worker, at_step_7: Callable[[], object] = lambda: None) -> None:
    """Work P11 from its first step until the nuts are to be tightened; something else may happen at step 7."""
    worker.read("wheel", "rear left")
    worker.done(1, 2)
    worker.read("nuts-found", "one loose")
    worker.done(3, 4)
    worker.hold(1)
    worker.done(5, 6)
    worker.read("studs", "sound")
    at_step_7()
    worker.done(7)
    worker.hold(2)
    worker.done(8, 9, 10, 11)
    worker.hold(3)


def p01_signed_off(worker: Worker) -> None:
    """Work P01 on the Thornback's rear axle from the start form to the sign-off, with nothing in its way. The page's
    clock is installed."""
    page = worker.page
    worker.begin("p01/thornback/rear-axle", "112410", "sealant", {13: "50", 14: "70"}, {"ground": "level pad"})
    worker.read("tag-text", "HR225 41-11 LS")
    worker.done(1, 2, 3)
    worker.hold(1)
    worker.read("level-found", "18")
    worker.done(4, 5)
    worker.hold(2)
    pass_time(page, 11)
    worker.opened(2)
    worker.done(6)
    worker.early(6)
    worker.hold(3)
    worker.reads(colour="dark and clear", smell="plain gear oil", water="none seen", magnet="1")
    worker.done(7)
    worker.read("volume-out", "2.3", "L")
    worker.done(8, 9, 15)
    pass_time(page, 61)
    worker.opened(7)
    worker.read("cloths-in", "6")
    worker.done(10)
    worker.reads(teeth="bright and even", cloths_out="6")
    worker.done(11, 12)
    worker.hold(4)
    worker.reads(air_temp="12", humidity="50", metal_temp="14")
    worker.hold(5)
    worker.early(12)
    worker.done(13)
    pass_time(page, 51)
    worker.opened(13)
    worker.whole(14)
    worker.done(14)
    pass_time(page, 71)
    worker.opened(14)
    worker.hold(6)
    worker.reads(oil_grade="75W-110", oil_category="GL-5 LS", level_verified="yes", vehicle_level="yes",
                 additive_in="150", volume_in="2.33")
    worker.done(16)
    worker.early(16)
    worker.whole(17)
    worker.done(17, 18)
    worker.hold(7)
    worker.done(19)
    pass_time(page, 10)
    worker.opened(19)
    worker.read("leak-grade", "dry")
    worker.done(20, 21)
    page.get_by_role("button", name="Sign off").click()
    expect(page.locator(".signed")).to_contain_text("Signed off.")
    worker.saved()


def pass_time(page: Page, minutes: float) -> None:
    """Time goes by with the screen off: the clock has moved, the page finds it so."""
    page.clock.fast_forward(int(minutes * 60_000))


def field(entry: dict[str, Any], phase: str) -> dict[str, str]:
    return {name: f"{one['typed']} {one['unit']}".strip() for name, one in entry[phase].items()}
