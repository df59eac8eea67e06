"""Tightening tap by tap: every count and pattern, stages and lap, and going on exactly where it was left."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from stories import Json, ask


def fastener(pattern: str, count: int, torque: float = 26, stages: list[float] | None = None) -> Json:
    return {
        "role": "cover", "name": "Cover", "count": count, "thread": "M8×1.25", "strength": "8.8", "pattern": pattern,
        "torque": torque, "unit": "N·m", "state": "verified", "threadState": "dry", "stages": stages or [], "then": "",
    }


def plan(page: Page, one: Json, part: str = "all") -> Any:
    return ask(page, "tighten.plan(a[0], a[1])", one, part)


def test_ten_bolts_of_a_cover(page: Page) -> None:
    # 50, 75 and 100 % across, then once round at 100 %: common practice, no source. The order of ten is ours.
    taps = plan(page, fastener("ring", 10, 26, [0.5, 0.75, 1]))
    assert [tap["bolt"] for tap in taps] == [1, 6, 3, 8, 5, 10, 2, 7, 4, 9] * 3 + list(range(1, 11))
    assert [tap["nm"] for tap in taps] == [13] * 10 + [19.5] * 10 + [26] * 20
    assert [tap["lap"] for tap in taps] == [False] * 30 + [True] * 10
    assert taps[10]["of"] == "Stage 2 of 3, 75 %, bolt 1 of 10" and taps[39]["of"] == "Last lap, bolt 10 of 10"


@pytest.mark.parametrize("pattern", ["ring", "rail", "inline"])
def test_every_stage_meets_every_bolt_once(page: Page, pattern: str) -> None:
    plans = ask(page, """Array.from({length: 24}, (_, i) => i + 1).map(n => {
        const one = {...a[0], count: n}
        return ['all', 'stages', 'lap'].map(part => tighten.plan(one, part)) })""", fastener(pattern, 1))
    for count, (whole, stages, lap) in enumerate(plans, 1):
        assert whole == stages + (lap if count > 1 else []), count
        shares = [1] if count == 1 else [0.5, 0.75, 1]
        assert [tap["share"] for tap in stages] == [share for share in shares for _ in range(count)]
        for stage in range(len(shares)):
            turn = [tap["bolt"] for tap in stages if tap["stage"] == stage]
            assert sorted(turn) == list(range(1, count + 1)), count
            assert turn == [tap["bolt"] for tap in stages[:count]], "each stage goes in the same order"
        assert [tap["bolt"] for tap in lap] == list(range(1, count + 1))
        assert {tap["nm"] for tap in lap} == {26}
        falls = [tap["nm"] for tap in whole]
        assert falls == sorted(falls), "never less than before"


# The published orders of tests/js/test_sequence.py: ASME PCC-1 legacy cross pattern.
@pytest.mark.parametrize(("count", "order"), [(4, [1, 3, 2, 4]), (8, [1, 5, 3, 7, 2, 6, 4, 8]),
                                              (12, [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12])])
def test_a_stage_follows_the_published_order(page: Page, count: int, order: list[int]) -> None:
    taps = plan(page, fastener("ring", count, 110, [0.3, 0.7, 1]), "stages")
    assert [tap["bolt"] for tap in taps] == order * 3
    assert [tap["nm"] for tap in taps[::count]] == pytest.approx([33, 77, 110])
    assert taps[0]["of"].startswith("Stage 1 of 3, 30 %")


def test_one_plug_clicks_once(page: Page) -> None:
    taps = plan(page, fastener("single", 1, 45))
    assert len(taps) == 1 and taps[0]["nm"] == 45 and not taps[0]["lap"]
    assert ask(page, "[tighten.at(a[0], 0).words, tighten.at(a[0], 1)]", taps) == [
        "Bolt 1. 100 %, bolt 1 of 1.", {"next": None, "words": "Tight."}]


def test_left_at_any_tap_it_goes_on_with_the_next(page: Page) -> None:
    taps = plan(page, fastener("rail", 14, 10))
    left = ask(page, "a[0].map((_, counted) => tighten.at(tighten.plan(a[1], 'all'), counted).next)",
               taps, fastener("rail", 14, 10))
    assert left == taps and len(taps) == 14 * 4
    assert ask(page, "tighten.at(a[0], 56)", taps) == {"next": None, "words": "All 56 taps done."}


def test_a_count_beyond_belief_is_refused(page: Page) -> None:
    page.goto("")
    tried = "(() => { try { tighten.plan(a[0], 'all') } catch (e) { return e.message } })()"
    said = ask(page, tried, fastener("ring", 0))
    assert said == "bolt count 0: 1 to 48 expected"
