"""The demo garage as the page works it out, before any test of the library takes a copy of a unit."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

import stories
from harness import SiteServer


@pytest.fixture(scope="session", autouse=True)
def vehicles(chromium: Browser, served: SiteServer) -> dict[str, stories.Json]:
    """{id: vehicle} of the site, as types.d.ts says a Vehicle is."""
    if not stories.VEHICLES:
        stories.VEHICLES.update(stories.derived(chromium, served.url))
    return stories.VEHICLES
