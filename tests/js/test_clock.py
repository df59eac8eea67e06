"""Waits on a steady clock: midnight, daylight saving, a clock moved back and forward, a page opened again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from harness import LONDON, Handsets
from stories import MINUTE, START, Json, Story, ask, copy, permit

HOUR = 60 * MINUTE


@pytest.fixture
def cover(dist: Path) -> Json:
    return copy(dist, "p01", "thornback", "rear-axle", "sealant")


def bead_laid(cover: Json, start: int = START) -> Story:
    """Step 13 is done at minute 0; its label asks for 50 minutes."""
    return Story(cover, start=start).done(*range(1, 14))


def clock(page: Page, story: Story, now: float) -> Any:
    """Return the clock of step 13, `now` in minutes from the start by the phone's clock."""
    return ask(page, "job.clockOf(job.replay(a[0]), 13, a[1])", story.events, story.start + round(now * MINUTE))


def test_a_wait_counts_down_is_ready_and_is_opened(page: Page, cover: Json) -> None:
    story = bead_laid(cover)
    assert clock(page, story, 20) == {
        "step": 13, "kind": "set", "label": True, "minutes": 50, "started": START, "ready": START + 50 * MINUTE,
        "state": "running", "left": 30 * MINUTE, "over": 0,
    }
    late = clock(page, story, 57)
    assert (late["state"], late["left"], late["over"]) == ("ready", 0, 7 * MINUTE)
    assert clock(page, story, 49.999)["state"] == "running" and clock(page, story, 50)["state"] == "ready"
    assert clock(page, story.add("opened", at=57, step=13, early=0), 58)["state"] == "opened"
    assert ask(page, "job.clockOf(job.replay(a[0]), 14, at(0))", story.events) is None


def test_a_clock_set_back_two_hours_does_not_lengthen_the_wait(page: Page, cover: Json) -> None:
    # Twenty minutes in, the phone's clock goes from +20 to −100. Thirty minutes are left, whatever it shows.
    story = bead_laid(cover).add("clock", at=-100, by=-2 * HOUR, counted=False)
    now = clock(page, story, -100)
    assert now["left"] == 30 * MINUTE
    # Printed so that it agrees with the phone as it stands now.
    assert now["ready"] == START + -70 * MINUTE and now["started"] == START + -120 * MINUTE
    assert permit(page, story, "opened", -71, step=13, early=0).startswith("Not yet: the set of step 13")
    assert permit(page, story, "opened", -70, step=13, early=0) == ""


def test_a_clock_set_forward_in_view_does_not_shorten_the_wait_unless_the_time_passed(page: Page, cover: Json) -> None:
    seen = bead_laid(cover).add("clock", at=81, by=61 * MINUTE, counted=False)  # from +20 to +81
    assert clock(page, seen, 81)["left"] == 30 * MINUTE
    assert permit(page, seen, "opened", 110, step=13, early=0) != ""
    assert permit(page, seen, "opened", 111, step=13, early=0) == ""
    counted = bead_laid(cover).add("clock", at=81, by=61 * MINUTE, counted=True)
    assert clock(page, counted, 81)["over"] == 31 * MINUTE
    # Out of sight nobody can tell a jump from time that passed while the phone slept; nothing is written.
    assert clock(page, bead_laid(cover), 81)["over"] == 31 * MINUTE


def test_two_moves_add_up(page: Page, cover: Json) -> None:
    story = bead_laid(cover).add("clock", at=-100, by=-2 * HOUR, counted=False)
    story.add("clock", at=30, by=2 * HOUR, counted=False)  # put right ten minutes later
    assert clock(page, story, 30)["left"] == 20 * MINUTE
    assert clock(page, story, 30)["ready"] == START + 50 * MINUTE
    # A step done after the move starts at its own time.
    later = bead_laid(cover).add("clock", at=-100, by=-2 * HOUR, counted=False).done(14, at=-60)
    assert ask(page, "job.clockOf(job.replay(a[0]), 14, at(-60)).left", later.events) == 70 * MINUTE


# Clock and running time at two looks, in minutes, whether the page was in view, and what has to be written.
MOVES: list[tuple[tuple[float, float], tuple[float, float], bool, float | None]] = [
    ((0, 0), (20, 20), True, None), ((0, 0), (20.4, 20), True, None),
    ((0, 0), (81, 20), True, 61), ((0, 0), (-100, 20), True, -120),
    ((0, 0), (81, 20), False, None), ((0, 0), (-100, 20), False, -120),
    # Opened again: no running time is known, and the clock stands before the last thing that was written.
    ((0, 0), (-30, 0), False, -30), ((0, 0), (600, 0), False, None),
]


def test_whether_somebody_moved_the_clock(page: Page) -> None:
    def look(at: float, ran: float) -> Json:
        return {"at": START + round(at * MINUTE), "ran": round(ran * MINUTE)}

    asked = [[look(*last), look(*here), watched] for last, here, watched, _ in MOVES]
    expected = [None if by is None else {"by": round(by * MINUTE), "counted": False} for *_, by in MOVES]
    assert ask(page, "a[0].map((looks) => job.moved(...looks))", asked) == expected


@pytest.fixture
def london(handsets: Handsets) -> Page:
    return handsets.take(**LONDON).new_page()


# Summer time begins and ends at 01:00 UTC on the last Sundays of March and October: Directive 2000/84/EC, and the same
# in the Summer Time Order 2002. 2026: 29 March and 25 October.
@pytest.mark.parametrize(("start", "begun", "ready"), [
    (1_774_744_800_000, "00:40", "02:30"),  # 2026-03-29T00:40Z: the clock leaves out an hour
    (1_792_888_800_000, "01:40", "01:30"),  # 2026-10-25T00:40Z: the clock goes through an hour twice
    (1_772_063_400_000, "23:50", "00:40"),  # 2026-02-25T23:50Z: midnight
])
def test_midnight_and_daylight_saving_change_no_wait(
    london: Page, cover: Json, start: int, begun: str, ready: str
) -> None:
    story = bead_laid(cover, start)
    found = clock(london, story, 30)
    assert found["left"] == 20 * MINUTE
    assert ask(london, "[wall(a[0]), wall(a[1])]", found["started"], found["ready"]) == [begun, ready]
    said = permit(london, story, "opened", 49.9, step=13, early=0)
    assert said.startswith(f"Not yet: the set of step 13 is ready at {ready}")
    assert permit(london, story, "opened", 50, step=13, early=0) == ""


def test_a_page_opened_again_in_the_middle_of_a_wait_shows_the_same_clock(page: Page, cover: Json) -> None:
    story = bead_laid(cover).add("clock", at=-100, by=-2 * HOUR, counted=False)
    before = clock(page, story, -90)
    page.goto("about:blank")
    page.goto("")
    assert clock(page, story, -90) == before and before["left"] == 20 * MINUTE
