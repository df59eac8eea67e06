"""Bad answers of a host are never kept: an update that is not whole leaves the old version at work, and a first
install says in words that nothing was saved."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

import facts
from deploys import HEAD, NEIGHBOUR, NEW, OLD, Phone, phone_of, rebuilt, redeployed
from harness import POISONS, SiteServer, Stored, open_profile, site_pages, watch

NOT_STORED = re.compile("New version could not be stored; the old one still works")
READY = re.compile(r"^Ready for no signal")


@pytest.fixture(scope="module")
def next_dist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The next version: every page says another name in its title, and the start page another tagline."""
    return rebuilt(tmp_path_factory.mktemp("next"), "site.yaml", HEAD.format("", OLD), HEAD.format(" again", NEW))


@pytest.fixture
def phone(stored_site: Stored, playwright: Playwright, chromium_path: str, tmp_path: Path) -> Iterator[Phone]:
    yield from phone_of(stored_site, playwright, chromium_path, tmp_path)


def leaves_the_old_version(phone: Phone, dist: Path, poisons: dict[str, tuple[str, ...]]) -> None:
    """Open the site on a host that has a new version, with one bad answer after the other at each path: every try must
    say that it failed and leave nothing, and the old version stay whole."""
    phone.page.goto(phone.server.url + "manifest.webmanifest")
    before = phone.caches()
    assert len(before) == 1
    for path, answers in poisons.items():
        for poison in answers:
            phone.server.poison = {path: poison}
            phone.server.hits.clear()
            phone.page.goto(phone.server.url)
            expect(phone.state, poison).to_have_text(NOT_STORED, timeout=20_000)
            assert phone.server.hits[path] >= 1, "the poison was never asked for"
            assert phone.caches() == before, "an orphan cache is left"

    phone.server.stop()
    phone.restart()
    phone.page.goto(phone.server.url + facts.CARD)
    facts.card_shows_its_numbers(phone.page)
    phone.page.goto(phone.server.url)
    assert OLD in phone.tagline()
    expect(phone.state).to_have_text(READY)
    assert phone.caches() == before
    every = site_pages(dist)
    bodies = phone.page.evaluate(
        "paths => Promise.all(paths.map(path => fetch(path).then(got => got.ok && got.text())))", every)
    assert [path for path, body in zip(every, bodies, strict=True)
            if body != (dist / path / "index.html").read_text("utf-8")] == []
    phone.server.start()


# Every kind of bad answer is tried on a first install, below.
def test_story_1_one_file_of_an_update_is_missing_and_the_old_version_serves_every_page(
    phone: Phone, next_dist: Path, dist: Path
) -> None:
    phone.server.folder = next_dist
    leaves_the_old_version(phone, dist, {facts.PAGE: ("missing", "cut", "reset")})


def test_story_2_a_sign_in_page_with_status_200_is_never_kept(
    phone: Phone, next_dist: Path, dist: Path, tmp_path: Path
) -> None:
    """Nor other bytes of the right length. The script is changed since an unchanged one would not be asked for."""
    phone.server.folder = redeployed(next_dist, tmp_path, "js/main.js", lambda body: body + b"// changed\n")
    leaves_the_old_version(phone, dist, {"js/main.js": ("html",), facts.PAGE: ("html", "flipped")})


@pytest.mark.parametrize("poison", ["html", "cut"])
def test_a_bad_worker_file_changes_nothing(phone: Phone, next_dist: Path, poison: str) -> None:
    phone.server.folder, phone.server.poison = next_dist, {"sw.js": poison}
    phone.page.goto(phone.server.url)
    before = phone.caches()
    refused = phone.page.evaluate(
        "navigator.serviceWorker.ready.then(found => found.update()).then(() => '', error => error.name)")
    assert refused in ("TypeError", "SecurityError"), refused
    assert phone.server.hits["sw.js"] >= 1
    phone.restart()
    phone.page.goto(phone.server.url)
    expect(phone.state).to_have_text("Ready for no signal")
    assert phone.caches() == before and OLD in phone.tagline()


def test_an_empty_script_as_worker_is_never_called_a_new_version(phone: Phone, next_dist: Path) -> None:
    """A browser takes an empty script for a worker. Closing all tabs would put it in charge, so nothing asks for it;
    when the host is right again the real new version replaces it."""
    phone.server.folder, phone.server.poison = next_dist, {"sw.js": "empty"}
    phone.page.goto(phone.server.url)
    phone.page.evaluate("navigator.serviceWorker.ready.then(found => found.update())")
    phone.page.wait_for_timeout(1000)
    expect(phone.state).to_have_text("Ready for no signal")
    assert OLD in phone.tagline()
    phone.server.poison = {}
    phone.page.reload()
    expect(phone.state).to_have_text(re.compile("New version ready"), timeout=20_000)


def test_no_room_for_the_update_leaves_the_old_version_at_work(phone: Phone, next_dist: Path) -> None:
    phone.page.goto(phone.server.url)
    expect(phone.state).to_have_text(READY)
    before = phone.caches()
    phone.server.folder = next_dist
    devtools = phone.context.new_cdp_session(phone.page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": phone.server.origin, "quotaSize": 1})
    phone.page.goto(phone.server.url)
    expect(phone.state).to_have_text(NOT_STORED, timeout=20_000)
    assert phone.caches() == before
    phone.page.goto(phone.server.url + facts.CARD)
    facts.card_shows_its_numbers(phone.page)
    phone.page.goto(phone.server.url)
    assert OLD in phone.tagline()


def test_an_update_waits_for_the_tabs_to_close_and_fetches_only_what_changed(
    phone: Phone, tmp_path: Path, next_dist: Path
) -> None:
    phone.page.goto(phone.server.url)
    first = phone.caches()
    phone.server.folder = rebuilt(tmp_path, "pages/about.md", "\n\n", "\n\nOne more line of words.\n\n")
    phone.server.hits.clear()
    phone.page.goto(phone.server.url + "about/")
    expect(phone.state).to_have_text(re.compile(r"\. New version ready$"), timeout=20_000)
    assert set(phone.server.hits) == {"about/", "sw.js"}
    phone.page.reload()
    expect(phone.page.locator("main")).not_to_contain_text("One more line of words.")
    assert phone.caches()[:1] == first and len(phone.caches()) == 2

    phone.restart()
    phone.page.goto(phone.server.url + "about/")
    expect(phone.page.locator("main")).to_contain_text("One more line of words.")
    expect(phone.state).to_have_text("Ready for no signal")
    second = phone.caches()[1:]

    phone.server.folder = next_dist
    phone.page.goto(phone.server.url)
    expect(phone.state).to_have_text(re.compile("New version ready"), timeout=20_000)
    phone.restart()
    phone.page.goto(phone.server.url)
    expect(phone.state).to_have_text("Ready for no signal")
    assert NEW in phone.tagline()
    third = phone.caches()
    assert len(third) == 2 and third[:1] == second, "the version before is kept for its tabs, the one before that not"
    assert NEIGHBOUR in phone.page.evaluate("caches.keys()")


@pytest.fixture
def fresh(playwright: Playwright, chromium_path: str, dist: Path, tmp_path: Path) -> Iterator[Phone]:
    """A browser that has never been here."""
    with SiteServer(dist, "/repo/") as server:
        phone = Phone(server, lambda: open_profile(playwright, tmp_path / "profile", chromium_path))
        yield phone
        phone.context.close()


def test_a_first_install_with_a_bad_core_file_leaves_nothing_and_says_so(fresh: Phone) -> None:
    for poison in POISONS:
        fresh.server.poison = {"cards/": poison}
        fresh.page.goto("about:blank")
        fresh.page.goto(fresh.server.url)
        expect(fresh.state, poison).to_have_text(
            re.compile("^Not saved for no signal: .+ Open it again with signal$"), timeout=20_000)
        assert fresh.page.evaluate("caches.keys()") == [], poison
        registered = "navigator.serviceWorker.getRegistrations().then(all => all.length)"
        assert fresh.page.evaluate(registered) == 0, poison

    fresh.server.poison = {}
    fresh.page.reload()
    expect(fresh.state).to_have_text("Ready for no signal", timeout=20_000)


def test_a_first_install_with_another_bad_file_never_says_ready(fresh: Phone, dist: Path) -> None:
    total = sum(path.is_file() for path in dist.rglob("[!._]*")) - 1  # all but the worker itself
    fresh.server.poison = {"tables/bolt-classes/": "missing"}
    fresh.page.goto(fresh.server.url)
    count = f"{total - 1} of {total} files"
    expect(fresh.state).to_have_text(
        re.compile(f"^Not saved for no signal: {count}, .+ Open it again with signal$"), timeout=20_000)

    fresh.server.stop()
    fresh.restart()
    fresh.page.goto(fresh.server.url + facts.CARD)  # what was stored works
    facts.card_shows_its_numbers(fresh.page)
    lost = fresh.page.goto(fresh.server.url + "tables/bolt-classes/")
    assert lost is not None and lost.status == 504 and "not saved on this phone yet" in lost.text()

    fresh.server.poison = {}
    fresh.server.start()
    fresh.page.goto(fresh.server.url)
    expect(fresh.state).to_have_text("Ready for no signal", timeout=20_000)


def test_the_numbers_rise_until_it_is_ready(fresh: Phone, dist: Path) -> None:
    fresh.server.delay = 0.03
    fresh.page.add_init_script(
        "window.said = []; document.addEventListener('DOMContentLoaded', () => new MutationObserver(() =>"
        " said.push(document.querySelector('[data-module=offline]').textContent))"
        ".observe(document.querySelector('[data-module=offline]'), {childList: true, characterData: true}))")
    faults = watch(fresh.page, fresh.server.origin)
    fresh.page.goto(fresh.server.url)
    expect(fresh.state).to_have_text("Ready for no signal", timeout=30_000)
    said = fresh.page.evaluate("said")
    total = sum(path.is_file() for path in dist.rglob("[!._]*")) - 1
    found = [re.fullmatch(rf"Saving: (\d+) of {total}", text) for text in said]
    counts = [int(one[1]) for one in found if one]
    assert len(counts) > total / 2 and counts == sorted(counts), said
    assert all(text == "Ready for no signal" for text in said[said.index("Ready for no signal"):]), said
    assert faults == []


def test_story_4_typing_during_a_first_visit_is_left_alone(fresh: Phone) -> None:
    """For its first three seconds, in which the worker comes and takes charge of the site: a page that loads itself
    anew when it does would empty the field."""
    fresh.page.goto(fresh.server.url + "look-up/")
    loads: list[str] = []
    fresh.page.on("framenavigated", lambda frame: loads.append(frame.url))
    fresh.page.locator("#q").press_sequentially("thornback rear", delay=220)
    expect(fresh.state).to_have_text("Ready for no signal", timeout=20_000)
    assert loads == [] and fresh.page.locator("#q").input_value() == "thornback rear"
