"""The tightening order against the published patterns, and its properties for every count."""

from __future__ import annotations

from itertools import pairwise

import pytest
from playwright.sync_api import Page

# ASME PCC-1 legacy cross pattern, bolts numbered clockwise, as printed on a gasket maker's assembly work sheet
# (sketches of 8, 12, 16, 20 and 24 bolts) and, for 12, on a general page; the list of 4 is from memory of PCC-1.
PUBLISHED = {
    4: [1, 3, 2, 4],
    8: [1, 5, 3, 7, 2, 6, 4, 8],
    12: [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
    16: [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    20: [1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19],
    24: [1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24],
}
# The same work sheet read as labels: which place in the order each bolt has, clockwise.
LABELS = {
    8: [1, 5, 3, 7, 2, 6, 4, 8],
    12: [1, 5, 9, 3, 7, 11, 2, 6, 10, 4, 8, 12],
    16: [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    20: [1, 13, 5, 17, 9, 3, 15, 7, 19, 11, 2, 14, 6, 18, 10, 4, 16, 8, 20, 12],
}
# No published pattern exists for these; they are ours and the page says so.
OURS = {10: [1, 6, 3, 8, 5, 10, 2, 7, 4, 9], 14: [1, 8, 4, 11, 6, 13, 2, 9, 5, 12, 7, 14, 3, 10]}


def ask(page: Page, call: str) -> object:
    page.goto("")
    return page.evaluate(f"import('./js/lib/sequence.js').then(m => {call})")


@pytest.mark.parametrize("count", PUBLISHED)
def test_published_pattern(page: Page, count: int) -> None:
    assert ask(page, f"m.sequence('ring', {count})") == {"order": PUBLISHED[count], "standing": "published"}


@pytest.mark.parametrize("count", LABELS)
def test_published_labels(page: Page, count: int) -> None:
    order = ask(page, f"m.sequence('ring', {count}).order")
    assert isinstance(order, list)
    assert [order.index(bolt) + 1 for bolt in range(1, count + 1)] == LABELS[count]


@pytest.mark.parametrize("count", OURS)
def test_our_order_is_not_called_a_standard(page: Page, count: int) -> None:
    assert ask(page, f"m.sequence('ring', {count})") == {"order": OURS[count], "standing": "ours"}


def test_wheel_star_of_five(page: Page) -> None:
    # The five-nut star, every other nut: common practice, no source.
    assert ask(page, "m.sequence('ring', 5)") == {"order": [1, 3, 5, 2, 4], "standing": "practice"}


def test_properties_of_every_ring(page: Page) -> None:
    orders = ask(page, "Array.from({length: 48}, (_, i) => m.sequence('ring', i + 1).order)")
    assert isinstance(orders, list)
    for count, order in enumerate(orders, 1):
        assert sorted(order) == list(range(1, count + 1)), count
        if count >= 4 and count % 2 == 0:
            opposite = [(order[i + 1] - order[i]) % count for i in range(0, count, 2)]
            assert set(opposite) == {count // 2}, f"{count}: each pair stands opposite"
        if count >= 8:
            gaps = [min((b - a) % count, (a - b) % count) for a, b in pairwise(order)]
            assert min(gaps) >= 2, f"{count}: no two neighbours follow each other"


def test_rail_goes_from_the_centre_out(page: Page) -> None:
    found = ask(page, """Array.from({length: 24}, (_, i) => i + 1).map(n => {
        const at = m.positions('rail', n); return m.sequence('rail', n).order.map(b => at[b - 1]) })""")
    assert isinstance(found, list)
    for count, places in enumerate(found, 1):
        assert len({(round(p["x"], 6), p["y"]) for p in places}) == count, "no two bolts on one spot"
        reach = [round(abs(place["x"]), 6) for place in places]
        assert reach == sorted(reach), f"{count}: never back towards the middle"


@pytest.mark.parametrize("count", [0, 49, 2.5])
def test_a_count_that_is_none_is_refused(page: Page, count: float) -> None:
    said = ask(page, f"(() => {{ try {{ m.sequence('ring', {count}) }} catch (e) {{ return e.message }} }})()")
    assert said == f"bolt count {count}: 1 to 48 expected"
