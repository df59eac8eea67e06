"""Every process of the browser killed the moment an append is acknowledged: what was called saved is there."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright

from harness import SiteServer
from kills import Killable, rounds


def test_kills_lose_nothing_that_was_acknowledged(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path
) -> None:
    phone = Killable(playwright, tmp_path / "profile", chromium_path)
    try:
        sums = rounds(phone, served.url, 3, seed=7)
    finally:
        phone.kill()
    assert sums["kills"] == 3 and sums["acknowledged"] >= 3
    assert sums["processes"] >= 9, "a browser is several processes, and all of them were to be killed"
