"""What is called saved is: from the first moment, and when the browser is killed in the middle of work."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright

from harness import SiteServer
from jobkills import job_rounds
from jobs import Worker
from kills import Killable


@pytest.mark.apart
def test_five_kills_of_a_job_at_work(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path
) -> None:
    phone = Killable(playwright, tmp_path / "profile", chromium_path)
    try:
        sums = job_rounds(phone, served.url, 5, seed=11)
    finally:
        phone.kill()
    print(sums)
    assert sums["kills"] == 5 and sums["acknowledged"] >= 5


def test_a_job_just_begun_is_not_called_saved_before_it_is(page: Page) -> None:
    worker = Worker(page)
    worker.page.add_init_script("""self.told = []; new MutationObserver(() => {
      for (const line of document.querySelectorAll('.saved')) told.push([line.textContent, line.dataset.kept])
    }).observe(document, { subtree: true, childList: true, characterData: true, attributes: true })""")
    worker.begin("p01/thornback/rear-axle", "112410", "gasket")
    told = worker.page.evaluate("told")
    assert [kept for _, kept in told][-1] == "1"
    assert {words for words, kept in told if kept == "0"} == {"Saving…"}
