"""Every process of the browser killed the moment an append is acknowledged: what was called saved is there."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright

from harness import SiteServer
from kills import Killable, rounds
from killwork import KINDS


def test_kills_lose_nothing_that_was_acknowledged(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path
) -> None:
    phone = Killable(playwright, tmp_path / "profile", chromium_path)
    try:
        sums = rounds(phone, served.url, 4, seed=7)
    finally:
        phone.kill()
    assert sums["kills"] == 4 and all(sums[kind.name] for kind in KINDS), "a job, the log, a vehicle, a backup taken in"
    assert sums["processes"] >= 12, "a browser is several processes, and all of them were to be killed"
