"""An entry by hand on a phone with no room left: nothing is called saved that is not; words go without the photo."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright, expect

from browser.test_log import Hand
from harness import SiteServer, open_profile
from jobs import photo
from storing import set_room


def test_story_7_a_photo_for_which_there_is_no_room_keeps_no_words_back(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path
) -> None:
    def start() -> Hand:
        context = open_profile(playwright, tmp_path / "profile", chromium_path, base_url=served.url,
                               service_workers="block")
        return Hand(context.new_page())

    hands = start()
    hands.page.goto("log/")
    assert hands.log() == []
    hands.page.context.close()
    hands = start()
    page = hands.page
    page.goto("about/")
    set_room(page, served.origin, 1)
    hands.add("drystone", "wheels", "P11")
    hands.type(odometer="214700", re_torque_found="no nut moved")
    hands.refused("NOT saved. This phone has no room left")
    assert hands.log() == []

    used = int(page.context.new_cdp_session(page).send("Storage.getUsageAndQuota", {"origin": served.origin})["usage"])
    set_room(page, served.origin, used + 200_000)
    page.locator("#entry-photo").set_input_files(photo(tmp_path))
    expect(page.locator(".quick")).to_contain_text("Photo ready: 1600 × 1200 px")
    hands.refused("NOT saved. This phone has no room left")
    assert hands.log() == []
    expect(page.locator("[data-field=odometer] input")).to_have_value("214700")
    page.get_by_role("button", name="Take it away").click()
    hands.save()
    [record] = hands.log()
    assert record["entry"]["photos"] == [] and record["entry"]["odometer"]["typed"] == "214700"
    page.context.close()
