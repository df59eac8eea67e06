"""A phone at 360 px that stored the site while there was signal, and hands on its job pages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from elsewhere import Elsewhere
from harness import Handsets, SiteServer, Stored, open_profile, watch
from jobs import Worker

SUMMER = dt.datetime(2026, 6, 10, 9, 0, tzinfo=dt.UTC)  # 10:00 in London


@pytest.fixture(scope="module")
def narrow(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    """One page of 320 px for all tests of a file."""
    page = handsets.take("of a file", viewport={"width": 320, "height": 800}).new_page()
    faults = watch(page, served.origin)
    yield page
    page.close()
    assert not faults, "\n".join(faults)


@pytest.fixture(scope="module")
def stored(
    playwright: Playwright, chromium_path: str, stored_site: Stored, tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[tuple[BrowserContext, str]]:
    """A 360 px phone that stored the site while there was signal, and has none now."""
    server = stored_site.server
    with Elsewhere() as elsewhere:
        context = open_profile(
            playwright, stored_site.copy(tmp_path_factory.mktemp("phone")), chromium_path, base_url=server.url,
            viewport={"width": 360, "height": 760}, timezone_id="Europe/London", locale="en-GB", flags=[elsewhere.flag])
        yield context, server.origin
        context.close()
    assert server.hits.total() == 0, "a request reached a host that is gone"
    assert elsewhere.asked == [], "another host was asked"


@pytest.fixture
def worker(stored: tuple[BrowserContext, str]) -> Iterator[Worker]:
    context, origin = stored
    page = context.new_page()
    faults = watch(page, origin, quiet=("/sw.js",))
    page.clock.install(time=SUMMER)
    yield Worker(page)
    assert faults == []
    page.close()
