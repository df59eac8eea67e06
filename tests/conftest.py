"""Fixtures: the site built once, a host that serves it, one Chromium, and a page that fails on any fault."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

import chromium as browsers
from harness import ROOT, Handsets, SiteServer, Stored, at_a_port_of_its_own, open_profile, watch

# A busy machine is slow and not wrong: what is waited for may take its time; what never comes is found all the same.
expect.set_options(timeout=15_000)

Opener = Callable[[], BrowserContext]

# Files begin in this order, then the others: a long one begun last would leave the other processes idle.
LONGEST = (
    "test_poison", "test_update", "test_offline", "test_https", "test_every_calculator", "test_access_job",
    "test_store_tabs", "test_static_host", "test_job_kills", "test_phone_photo", "test_solve", "test_job_trouble",
    "test_job", "test_access",
    "test_own_vehicle", "test_print", "test_print_job", "test_work_carried", "test_doors", "test_store_kills",
    "test_backup_trouble", "test_elsewhere",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    place = {name: at for at, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.path.stem, len(place)))


def build_site(
    dist: Path, content: Path = ROOT / "content", site_src: Path = ROOT / "site_src", *, switched_off: bool = False
) -> Path:
    """Build the site from `content` into `dist`; the report of problems is the failure message."""
    from fillmark import pipeline, problem  # here, so that a test of one module needs only that module

    outcome = pipeline.run(content, site_src, dist, switched_off=switched_off)
    assert not outcome.problems, problem.render(outcome.problems, outcome.files_read)
    return dist


@pytest.fixture(scope="session")
def dist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The real content, built once for the whole run."""
    return build_site(tmp_path_factory.mktemp("site") / "dist")


@pytest.fixture(scope="session")
def served(dist: Path) -> Iterator[SiteServer]:
    """The built site at the root of a host. Do not stop or poison this one: it is shared."""
    with SiteServer(dist) as server:
        yield server


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def chromium_path() -> str:
    found = browsers.find()
    assert found, "no Chromium: run `python3 tests`, which finds or installs one"
    return found


@pytest.fixture(scope="session")
def chromium(playwright: Playwright, chromium_path: str) -> Iterator[Browser]:
    """One browser for all tests that do not need a profile kept on disk."""
    browser = playwright.chromium.launch(executable_path=chromium_path, args=browsers.FLAGS)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def stored_site(
    playwright: Playwright, chromium_path: str, dist: Path, tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Stored]:
    """The site stored for no signal, once for all that begin there: to store it takes seconds."""
    profile = tmp_path_factory.mktemp("stored") / "profile"
    server = at_a_port_of_its_own(dist, "/repo/")
    context = open_profile(playwright, profile, chromium_path)
    page = context.new_page()
    page.goto(server.url)
    expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=30_000)
    context.close()
    server.stop()
    yield Stored(server, profile)
    server.stop()


@pytest.fixture(scope="session")
def handsets(chromium: Browser, served: SiteServer) -> Handsets:
    return Handsets(chromium, served)


@pytest.fixture
def page(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    """A new page of a phone that keeps nothing; the test fails on any fault of it."""
    page = handsets.take().new_page()
    faults = watch(page, served.origin)
    yield page
    page.close()
    assert not faults, "\n".join(faults)


@pytest.fixture
def profile(playwright: Playwright, chromium_path: str, tmp_path: Path) -> Iterator[Opener]:
    """Open the browser on a profile kept on disk; close it and call again to restart it as a phone would."""
    opened: list[BrowserContext] = []

    def open_() -> BrowserContext:
        opened.append(open_profile(playwright, tmp_path / "profile", chromium_path))
        return opened[-1]

    yield open_
    for context in opened:
        context.close()
