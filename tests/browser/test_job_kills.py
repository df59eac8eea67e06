"""The browser killed in the middle of work on a job page: after each start all that was called saved stands."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright

from harness import SiteServer
from jobkills import job_rounds
from kills import Killable


def test_ten_kills_of_a_job_at_work(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path
) -> None:
    phone = Killable(playwright, tmp_path / "profile", chromium_path)
    try:
        sums = job_rounds(phone, served.url, 10, seed=11)
    finally:
        phone.kill()
    print(sums)
    assert sums["kills"] == 10 and sums["acknowledged"] >= 10
