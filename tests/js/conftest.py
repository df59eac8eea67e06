"""The demo garage as the page works it out, before any test of the library takes a copy of a unit."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

import stories
from harness import Handsets, SiteServer, watch


@pytest.fixture(scope="module")
def page(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    """One page for all tests of a module: the library keeps nothing from one call to the next."""
    page = handsets.take("of a file").new_page()
    faults = watch(page, served.origin)
    yield page
    page.close()
    assert not faults, "\n".join(faults)


@pytest.fixture(scope="session", autouse=True)
def vehicles(chromium: Browser, served: SiteServer) -> dict[str, stories.Json]:
    """{id: vehicle} of the site, as types.d.ts says a Vehicle is."""
    if not stories.VEHICLES:
        stories.VEHICLES.update(stories.derived(chromium, served.url))
    return stories.VEHICLES
