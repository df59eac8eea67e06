"""What goes wrong under a vehicle: no room, two tabs, a lost connection, a clock that moves. Each says so in words."""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from harness import LONDON, Handsets, SiteServer, open_profile
from jobs import Worker
from storing import KEEP_HANDLES, records, set_room

NOON = dt.datetime(2026, 6, 10, 11, 0, tzinfo=dt.UTC)


def opened(context: BrowserContext, at: dt.datetime | None = NOON) -> Worker:
    page = context.new_page()
    if at:
        page.clock.install(time=at)
    return Worker(page)


@pytest.fixture
def phone(handsets: Handsets) -> BrowserContext:
    return handsets.take("with a clock", **LONDON)


def gasket(worker: Worker) -> None:
    worker.begin("p01/thornback/rear-axle", "112410", "gasket")


def jump(page: Page, minutes: float) -> None:
    """Move the phone's clock while the page is in view: time itself does not pass."""
    now = dt.datetime.fromtimestamp(page.evaluate("Date.now()") / 1000, dt.UTC)
    page.clock.set_system_time(now + dt.timedelta(minutes=minutes))


# -- storage

def test_story_7_no_room_left_is_loud_and_nothing_is_lost(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path,
) -> None:
    def start() -> Worker:
        return opened(open_profile(playwright, tmp_path / "profile", chromium_path, base_url=served.url,
                                   service_workers="block", accept_downloads=True), None)

    worker = start()
    gasket(worker)
    url = worker.page.url
    worker.page.context.close()
    worker = start()
    page = worker.page
    set_room(page, served.origin, 1)
    page.goto(url)
    page.locator("[data-tick='1']").click()
    alarm = page.locator(".not-saved")
    expect(alarm).to_be_visible()
    expect(alarm).to_contain_text("NOT saved.")
    expect(alarm).to_contain_text("no room left")
    expect(alarm).to_contain_text("Do not close it.")
    expect(page.locator(".saved")).to_have_text("NOT saved: 1 thing")
    assert [event["kind"] for event in worker.events()] == ["begin"], "nothing half-written"
    # It can leave the page as a file all the same.
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Give this job out as a file").click()
    assert waiting.value.suggested_filename.startswith("fillmark-job-")
    left = [one["kind"] for one in records(Path(waiting.value.path()).read_text()).get("events", [])]
    assert left == ["begin", "done"], "with what is not saved in it"
    # More is done, and when there is room again all of it is stored, in order.
    page.locator("[data-tick='2']").click()
    expect(page.locator(".saved")).to_have_text("NOT saved: 2 things")
    page.wait_for_timeout(1000)  # that try, too, has been refused by now
    set_room(page, served.origin, None)
    page.get_by_role("button", name="Try to save again").click()
    worker.saved()
    expect(alarm).to_be_hidden()
    assert [event["kind"] for event in worker.events()] == ["begin", "done", "done"]
    page.context.close()


def test_two_tabs_one_writer(phone: BrowserContext) -> None:
    first = opened(phone, None)
    gasket(first)
    first.done(1)
    second = opened(phone, None)
    second.page.goto(first.page.url)
    shown = second.page.locator(".only-shown")
    expect(shown).to_contain_text("This job is open in another tab. Here it is only shown.")
    expect(second.page.locator("[data-tick='2']")).to_be_disabled()
    first.done(2)
    expect(second.step(2)).to_have_class(re.compile("done"))  # what the other tab does shows here
    second.page.get_by_role("button", name="Work on it here").click()
    expect(first.page.locator(".only-shown")).to_contain_text("This job is now worked on in another tab.")
    expect(first.page.locator("[data-tick='3']")).to_be_disabled()
    second.done(3)
    expect(first.step(3)).to_have_class(re.compile("done"))
    assert [event["kind"] for event in second.events()] == ["begin", "done", "done", "done"]


def test_story_6_a_connection_lost_is_opened_again_or_the_page_says_not_saved(phone: BrowserContext) -> None:
    """Phones drop the storage connection of a page in the background: here the database is closed under it."""
    worker = opened(phone, None)
    page = worker.page
    page.add_init_script(KEEP_HANDLES)
    gasket(worker)
    page.evaluate("handles.forEach((db) => db.close())")
    worker.done(1)
    page.evaluate("handles.forEach((db) => { db.close(); db.dispatchEvent(new Event('close')) })")
    worker.done(2)
    assert [event["kind"] for event in worker.events()] == ["begin", "done", "done"]
    assert page.evaluate("handles.length") >= 3

    page.evaluate("""() => { window.real = IDBFactory.prototype.open
      IDBFactory.prototype.open = () => { throw new DOMException('gone', 'UnknownError') }
      handles.forEach((db) => db.close()) }""")
    page.locator("[data-tick='3']").click()
    expect(page.locator(".not-saved")).to_contain_text("NOT saved. The storage of this phone does not answer.")
    expect(page.locator(".saved")).to_have_text("NOT saved: 1 thing")
    page.evaluate("() => { IDBFactory.prototype.open = real }")
    page.get_by_role("button", name="Try to save again").click()
    worker.saved()
    assert [event["kind"] for event in worker.events()][1:] == ["done"] * 3


# -- the clock

def test_story_12_a_clock_set_back_two_hours_is_a_warning_and_no_longer_wait(phone: BrowserContext) -> None:
    worker = opened(phone)
    gasket(worker)
    worker.done(1, 2)
    expect(worker.clock(2)).to_contain_text("12:10")
    jump(worker.page, -120)
    alarm = worker.page.locator(".jumped")
    expect(alarm).to_contain_text("The phone’s clock moved 2 h back.")
    expect(alarm).to_contain_text("The waits go on as if it had not.")
    expect(worker.clock(2).locator("dd").last).to_have_text("10:10")  # by the clock as it now is
    expect(worker.clock(2)).to_contain_text("10 min to go")
    worker.saved()
    worker.page.clock.fast_forward(11 * 60_000)
    worker.opened(2)


def test_a_clock_set_forward_in_view_opens_nothing(phone: BrowserContext) -> None:
    worker = opened(phone)
    gasket(worker)
    worker.done(1, 2)
    jump(worker.page, 61)
    alarm = worker.page.locator(".jumped")
    expect(alarm).to_contain_text("The phone’s clock moved 1 h 1 min forward. The waits do not count that time.")
    expect(worker.clock(2)).to_contain_text("10 min to go")
    expect(worker.clock(2).locator("dd").last).to_have_text("13:11")
    # A laptop that slept: then the person says so, and it counts.
    alarm.get_by_role("button", name="That time really passed").click()
    expect(worker.clock(2)).to_contain_text("Ready 51 min ago")
    expect(alarm).to_be_hidden()
    worker.opened(2)


def test_story_12_an_hour_asleep_is_an_hour_passed_and_the_wait_still_needs_a_tap(phone: BrowserContext) -> None:
    """61 min with the page gone, as a killed tab or a locked phone, in a wait of 60 min."""
    worker = opened(phone)
    worker.begin("p13/thornback/whole", "112410")
    worker.reads(water_depth="600", water_minutes="5")
    worker.done(1)
    worker.hold(2)
    expect(worker.clock(1)).to_contain_text("1 h to go")
    worker.page.close()
    later = opened(phone, NOON + dt.timedelta(minutes=61))
    later.page.goto(worker.page.url)
    expect(later.clock(1)).to_contain_text("Ready 1 min ago")
    expect(later.clock(1).locator("dd").last).to_have_text("13:00")
    expect(later.page).to_have_title(re.compile("^Ready · P13"))
    later.shut(4, "the cooling of step 1 is over: look, then tap it")
    later.opened(1)


def test_a_clock_set_back_while_the_page_was_closed(phone: BrowserContext) -> None:
    worker = opened(phone)
    gasket(worker)
    worker.done(1, 2)
    url = worker.page.url
    worker.page.close()
    later = opened(phone, NOON - dt.timedelta(hours=2))
    later.page.goto(url)
    expect(later.page.locator(".jumped")).to_contain_text(re.compile("The phone’s clock moved (2 h|1 h 59 min) back"))
    expect(later.clock(2)).to_contain_text(re.compile("(9|10) min to go"))


@pytest.mark.parametrize(("begun", "ready"), [
    # Midnight within the wait: the day stands beside the time.
    (dt.datetime(2026, 6, 10, 22, 55, tzinfo=dt.UTC), "Thu 11 Jun 00:05"),
    # Summer time ends on 25 October 2026 at 01:00 UTC (Directive 2000/84/EC): 01:55 BST + 10 min is 01:05 GMT.
    (dt.datetime(2026, 10, 25, 0, 55, tzinfo=dt.UTC), "01:05"),
    # It begins on 29 March 2026 at 01:00 UTC: 00:55 GMT + 10 min is 02:05 BST.
    (dt.datetime(2026, 3, 29, 0, 55, tzinfo=dt.UTC), "02:05"),
])
def test_midnight_and_summer_time_inside_a_wait(phone: BrowserContext, begun: dt.datetime, ready: str) -> None:
    worker = opened(phone, begun)
    gasket(worker)
    worker.done(1, 2)
    expect(worker.clock(2).locator("dd").last).to_have_text(ready)
    expect(worker.clock(2)).to_contain_text("10 min to go")
    worker.page.clock.fast_forward(10 * 60_000 + 30_000)
    expect(worker.clock(2)).to_contain_text("Ready now")
    expect(worker.page.locator(".jumped")).to_be_hidden()
    worker.opened(2)


# -- undo, deviations, two sittings, carried forward

def test_an_undo_takes_what_rested_on_it_and_can_be_put_back(phone: BrowserContext) -> None:
    worker = opened(phone)
    page = worker.page
    gasket(worker)
    worker.done(1, 2, 3)
    worker.hold(1)
    worker.done(4, 5)
    page.locator("[data-tick='3']").click()
    expect(page.locator(".undone")).to_contain_text("Undone: step 3, step 4, step 5, hold 1.")
    expect(worker.step(4)).not_to_have_class(re.compile("done"))
    page.get_by_role("button", name="Put it back").click()
    expect(worker.step(5)).to_have_class(re.compile("done"))
    worker.saved()
    kinds = [event["kind"] for event in worker.events()]
    assert kinds[-2:] == ["undone", "put-back"], "the undoing is kept in the record"


def test_a_hold_is_passed_only_with_a_reason_and_some_never(phone: BrowserContext) -> None:
    worker = opened(phone)
    page = worker.page
    gasket(worker)
    bar = page.locator("li.hold-of", has=page.locator("[data-hold='5']"))
    bar.locator("summary").click()
    bar.locator("textarea").fill("short")
    bar.get_by_role("button", name="Pass this hold, and log why").click()
    expect(page.locator("[data-hold='5']")).to_have_attribute("aria-pressed", "false")
    bar.locator("textarea").fill("no hygrometer here, warm dry day")
    bar.get_by_role("button", name="Pass this hold, and log why").click()
    expect(page.locator("[data-hold='5']")).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".job-close")).to_contain_text("Hold 5 passed: no hygrometer here, warm dry day")
    for never in (1, 2, 6):  # support, fill plug first, label time
        held = page.locator("li.hold-of", has=page.locator(f"[data-hold='{never}']"))
        expect(held.locator("details.more")).to_be_hidden()


def test_two_sittings_and_a_stop_that_carries_forward(phone: BrowserContext) -> None:
    worker = opened(phone)
    page = worker.page
    gasket(worker)
    worker.done(1)
    page.locator(".job-close details summary").click()
    page.locator("#left").fill("Axle empty, key out, label on the wheel")
    page.get_by_role("button", name="Leave it for another sitting").click()
    expect(page.locator(".resting")).to_contain_text("Axle empty, key out, label on the wheel")
    worker.shut(2, "The job is resting.")
    page.goto("")
    expect(page.locator("[data-module=open-jobs]")).to_contain_text("left for another sitting")
    page.get_by_role("link", name=re.compile("^P01")).click()
    page.get_by_role("button", name="Go on with the job").click()
    worker.done(2)
    page.locator(".job-close details summary").click()
    page.get_by_role("button", name="Stop here and carry forward").click()
    expect(page.locator(".job-close .refused")).to_contain_text("Write the defect note")
    page.locator("#defect").fill("Fill plug rounded. Do not drain before it is out.")
    page.get_by_role("button", name="Stop here and carry forward").click()
    expect(page.locator(".over")).to_contain_text("Stopped and carried forward.")
    worker.saved()
    [record] = worker.log()
    assert record["entry"]["finished"] is False and record["followUps"] == []
    assert record["entry"]["defect"] == "Fill plug rounded. Do not drain before it is out."
    page.goto("log/")
    expect(page.locator("main")).to_contain_text("Defect. Fill plug rounded.")


def test_an_update_of_the_site_changes_no_job_half_done(
    playwright: Playwright, chromium_path: str, dist: Path, tmp_path: Path,
) -> None:
    """The next version has another cover torque: the job keeps its own, and says what differs."""
    changed = Path(shutil.copytree(dist, tmp_path / "next"))
    file = changed / "data/vehicles/thornback.json"
    data = json.loads(file.read_text())
    data["units"]["rear-axle"]["fasteners"]["cover"]["torque"]["value"] = "28 N·m"
    file.write_text(json.dumps(data))
    with SiteServer(dist) as server:
        context = open_profile(
            playwright, tmp_path / "profile", chromium_path, base_url=server.url, service_workers="block")
        worker = opened(context, None)
        gasket(worker)
        worker.done(1)
        server.folder = changed
        worker.page.reload()
        expect(worker.page.locator(".changed")).to_contain_text(
            "Changed since this job began: cover (26 N·m then, 28 N·m now). This job goes on with its own copy.")
        expect(worker.step(14)).to_contain_text("26 N·m / 19 lb·ft")
        context.close()
