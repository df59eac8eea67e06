"""A new version is offered, never forced: it waits for the open job, is taken at one tap in one tab, and the other tabs
go on with their own files. A step back is an update too, and the site can be switched off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Locator, Page, Playwright, expect

import facts
from conftest import build_site
from deploys import ASKED, HEAD, NEIGHBOUR, NEW, OLD, Phone, phone_of, rebuilt, redeployed, renamed, version
from harness import Stored, watch
from jobs import Worker, photo, wheel_off_to_its_nuts

QUIET = ("/favicon.ico",)  # asked for by the browser while it shows a file that is no page
OFFER = re.compile(r"^Ready for no signal\. New version ready$")
HELD_UP = re.compile(r"New version ready\. It waits until the open job is closed$")
TYPED = re.compile(r"New version ready\. It waits until you leave this page: something is typed here$")
OFF = "Not saved for no signal: the site has switched that off"
OTHERS = re.compile(r"A new version is in use: reload this page when you like$")


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory, dist: Path) -> Path:
    """The next version: another name and tagline, and a job's scripts under other names; the old ones are gone."""
    tmp = tmp_path_factory.mktemp("second")
    site = rebuilt(tmp, "site.yaml", HEAD.format("", OLD), HEAD.format(" again", NEW), renamed(tmp))
    for name in ("job/close", "job/sheet", "phone/photo"):
        assert (dist / f"js/{name}.js").exists() and (site / f"js/{name}-2.js").exists()
        assert not (site / f"js/{name}.js").exists()
    return site


@pytest.fixture
def phone(stored_site: Stored, playwright: Playwright, chromium_path: str, tmp_path: Path) -> Iterator[Phone]:
    yield from phone_of(stored_site, playwright, chromium_path, tmp_path)


def line(page: Page) -> Locator:
    return page.locator("[data-module=offline]")


def use(page: Page) -> Locator:
    return page.get_by_role("button", name="Use it")


def take(page: Page) -> list[str]:
    """Tap the button, wait for the new version, and return every address that the tab went to."""
    went: list[str] = []
    page.on("framenavigated", lambda frame: went.append(frame.url))
    expect(use(page)).to_be_enabled(timeout=20_000)
    with page.expect_event("framenavigated"):
        use(page).click()
    expect(line(page)).to_have_text("Ready for no signal")
    return went


def served_by(page: Page) -> str:
    """Return the version whose files the open page gets, as its worker says."""
    return str(page.evaluate(ASKED, "version")[0])[:8]


def shown_version(page: Page) -> str:
    page.goto("about/")
    shown = page.locator("[data-module=version]")
    expect(shown).to_have_text(re.compile("^[0-9a-f]{8}$"))
    return shown.inner_text()


def test_story_3_an_open_job_is_done_to_its_end_with_its_own_version(
    phone: Phone, second: Path, dist: Path, tmp_path: Path
) -> None:
    page, worker = phone.page, Worker(phone.page)
    faults = watch(page, phone.server.origin, QUIET)
    other = phone.context.new_page()

    def deployed() -> None:
        phone.server.folder = second
        phone.server.hits.clear()
        phone.comes_into_view()
        expect(line(page)).to_have_text(HELD_UP, timeout=20_000)
        expect(use(page)).to_be_disabled()
        page.reload()  # as a phone short of memory does
        expect(line(page)).to_have_text(HELD_UP)
        other.goto("cards/")  # in no other tab may it be taken either
        expect(line(other)).to_have_text(HELD_UP)
        expect(use(other)).to_be_disabled()
        page.bring_to_front()

    page.goto("job/?start=p11/thornback/wheels")
    worker.begin("p11/thornback/wheels", "112410")
    wheel_off_to_its_nuts(worker, deployed)
    step = worker.step(8)
    step.locator(".more summary").click()
    step.locator("input[type=file]").set_input_files(photo(tmp_path))
    expect(step.locator(".kept-with img")).to_be_visible()
    worker.whole(12)
    worker.done(12)
    worker.whole(13)
    worker.read("second-lap", "no nut turned")
    worker.done(13, 14, 15, 16)
    expect(use(page)).to_be_disabled()
    page.get_by_role("button", name="Sign off").click()
    expect(page.locator(".signed")).to_be_visible()
    worker.saved()
    with pypdfium2.PdfDocument(page.pdf()) as paper:
        assert "no nut turned" in paper[0].get_textpage().get_text_bounded()
    [record] = worker.log()
    assert record["entry"]["job"] == worker.job and len(record["entry"]["photos"]) == 1
    assert served_by(page) == version(dist), "nothing but its own version"
    assert {path for path in phone.server.hits if path.endswith(".js") and not (second / path).exists()} == set()

    expect(line(page)).to_have_text(OFFER)  # by itself, when the job is closed
    expect(use(other)).to_be_enabled()
    assert take(page) == [page.url], "loaded anew once"
    expect(page.locator(".signed")).to_be_visible()
    page.goto("log/")
    expect(page.locator("main")).to_contain_text("P11")
    assert page.title().endswith("· Fillmark again") and faults == []


def test_story_5_a_window_that_is_never_closed_gets_the_new_version_at_one_tap(
    phone: Phone, second: Path, dist: Path
) -> None:
    page = phone.page
    page.goto(facts.CARD)
    expect(line(page)).to_have_text("Ready for no signal")
    faults = watch(page, phone.server.origin, QUIET)
    phone.server.folder = second
    phone.comes_into_view()
    expect(line(page)).to_have_text(OFFER, timeout=20_000)
    assert served_by(page) == version(dist), "nothing happens by itself"
    height = use(page).evaluate("button => button.getBoundingClientRect().height")
    assert height >= 48
    phone.server.stop()  # it is all here: what waits needs no signal any more
    assert take(page) == [phone.server.url + facts.CARD]
    assert served_by(page) == version(second) and use(page).count() == 0
    facts.card_shows_its_numbers(page)
    assert shown_version(page) == version(second)
    assert faults == []


@pytest.mark.apart
def test_other_tabs_go_on_with_their_own_files_until_they_are_loaded_anew(
    phone: Phone, second: Path, dist: Path, tmp_path: Path
) -> None:
    """A tab of the first version begins and works a job under the worker of the third, whose host and own cache have
    none of its scripts, though that worker was stopped in between and has no memory of its own."""
    first, page = phone.context.new_page(), phone.page
    faults = watch(first, phone.server.origin, QUIET)
    worker = Worker(first)
    first.goto("job/?start=p11/thornback/wheels")
    first.locator("#f-begin-odometer").fill("112410")
    page.goto("")
    phone.server.folder = second
    phone.comes_into_view()
    take(page)
    expect(line(first)).to_have_text(OTHERS)
    assert use(first).count() == 0
    phone.server.folder = redeployed(second, tmp_path, "about/index.html", lambda body: body + b"<!-- third -->\n")
    phone.comes_into_view()
    take(page)
    assert shown_version(page) == version(phone.server.folder)
    assert len(phone.caches()) == 3, "the version of the open tab is kept too"

    phone.stop_workers()
    phone.server.hits.clear()
    assert served_by(first) == version(dist)
    first.get_by_role("button", name="Start the job").click()
    expect(first).to_have_url(re.compile(r"open=[0-9a-f]{32}$"))
    worker.saved()
    worker.read("wheel", "rear left")
    worker.done(1, 2)
    expect(first.get_by_role("button", name="Sign off")).to_be_visible()  # a script of the first version only
    got = first.evaluate("fetch('../js/job/close.js').then(got => got.text())")
    assert got == (dist / "js/job/close.js").read_text()
    assert {path for path in phone.server.hits if path.startswith("js/")} == set()
    assert shown_version(first) == version(phone.server.folder), "what is opened from here on is new"
    assert first.title().endswith("· Fillmark again") and faults == []


@pytest.mark.apart
def test_what_is_typed_and_kept_nowhere_holds_the_new_version_up(phone: Phone, second: Path) -> None:
    page = phone.page
    page.goto("log/add/")
    for picked in ("thornback", "rear-axle", "P18"):
        page.locator(f"[data-pick='{picked}']").click()
    field = page.locator("[data-field=odometer] input")
    field.press_sequentially("42")
    phone.server.folder = second
    phone.comes_into_view()
    expect(line(page)).to_have_text(TYPED, timeout=20_000)
    expect(use(page)).to_be_disabled()
    field.fill("")
    expect(line(page)).to_have_text(OFFER)
    take(page)


@pytest.mark.apart
def test_the_older_build_deployed_again_is_one_more_update(phone: Phone, second: Path, dist: Path) -> None:
    page = phone.page
    page.goto("")
    for site in (second, dist, second):
        phone.server.folder = site
        phone.server.hits.clear()
        phone.comes_into_view()
        take(page)
        assert page.title().endswith("again") is (site is second)
    assert set(phone.server.hits) == {"sw.js"}, "both were here already"
    assert shown_version(page) == version(second) and len(phone.caches()) == 2


@pytest.mark.apart
def test_a_site_switched_off_leaves_the_phone_and_what_was_written_down_stays(
    phone: Phone, dist: Path, tmp_path: Path
) -> None:
    page, worker = phone.page, Worker(phone.page)
    worker.begin("p11/thornback/wheels", "112410")
    went: list[str] = []
    page.on("framenavigated", lambda frame: went.append(frame.url))
    off = build_site(tmp_path / "off", switched_off=True)
    phone.server.folder = off
    phone.comes_into_view()
    expect(line(page)).to_have_text(re.compile(OFF), timeout=20_000)
    assert went == [] and phone.caches() == []
    worker.read("wheel", "rear left")  # the tab goes on
    worker.done(1, 2)
    assert NEIGHBOUR in page.evaluate("caches.keys()")

    page.reload()
    expect(worker.step(2)).to_have_class(re.compile(r"\bdone\b"))
    expect(page.locator(".mast")).to_contain_text(OFF)
    registered = "navigator.serviceWorker.getRegistrations().then(all => all.length)"
    assert page.evaluate(registered) == 0 and phone.caches() == []
    assert {path.relative_to(off) for path in off.rglob("*")} == {path.relative_to(dist) for path in dist.rglob("*")}

    phone.server.folder = dist
    page.reload()
    expect(line(page)).to_have_text("Ready for no signal", timeout=20_000)
    phone.server.stop()
    page.reload()
    expect(worker.step(2)).to_have_class(re.compile(r"\bdone\b"))
    assert len(phone.caches()) == 1


SPOIL = """async () => {
  const cache = await caches.open((await caches.keys()).find((name) => name.startsWith('fillmark /repo/')))
  const at = (path) => new URL(path, document.baseURI).href
  const kept = await cache.match(at('tables/bolt-classes/'))
  await cache.put(at('tables/bolt-classes/'), new Response('not packed at all', { headers: kept.headers }))
  await cache.put(at('js/main.js'), new Response('another script'))
  await cache.delete(at('cards/p02/'))
}"""
SPOILT = ["cards/p02/", "js/main.js", "tables/bolt-classes/"]


@pytest.mark.apart
def test_every_kept_file_can_be_verified_and_is_mended_where_there_is_signal(phone: Phone, dist: Path) -> None:
    page = phone.page
    page.goto("")
    total = sum(path.is_file() for path in dist.rglob("[!._]*")) - 1  # all but the worker itself
    page.evaluate(SPOIL)
    for signal, bad, mended in ((False, SPOILT, []), (True, [], SPOILT), (False, [], [])):
        phone.server.stop()
        if signal:
            phone.server.start()
        *progress, end = page.evaluate(ASKED, "verify")
        assert progress == [{"checked": at, "total": total} for at in range(20, total, 20)]
        assert end == {"done": True, "checked": total, "total": total, "bad": bad, "mended": mended}
    assert page.evaluate("fetch('js/main.js').then(got => got.text())") == (dist / "js/main.js").read_text()
