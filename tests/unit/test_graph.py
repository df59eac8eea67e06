"""How long a card takes: the figures of the trade notes, and the least for one pair of hands against two other ways."""

from __future__ import annotations

import itertools
import random
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from fillmark import graph, load, validate
from fillmark.graph import Task
from fillmark.model.site import Site

ROOT = Path(__file__).resolve().parents[2]


@lru_cache
def site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found, problems
    return found


def every() -> list[tuple[str, str]]:
    return [(one.no, option) for one in site().cards.values()
            for option in (one.choice.options if one.choice else [""])]


def of(no: str, option: str) -> tuple[Task, ...]:
    card = next(one for one in site().cards.values() if one.no == no)
    return graph.tasks(card, option, site().units)


def by_programming(steps: tuple[Task, ...]) -> float:
    """Return the least end by an integer programme: starts, the end, and who goes first of each two that may differ."""
    count = len(steps)
    before = [set[int]() for _ in steps]
    for _ in steps:
        for index, one in enumerate(steps):
            before[index] |= {at for at, _ in one.after} | {far for at, _ in one.after for far in before[at]}
    pairs = [(a, b) for a, b in itertools.combinations(range(count), 2) if a not in before[b] and b not in before[a]]
    late = sum(one.hands + one.wait for one in steps)
    rows, least = [], []

    def hold(row: dict[int, float], low: float) -> None:
        line = np.zeros(count + 1 + len(pairs))
        line[list(row)] = list(row.values())
        rows.append(line)
        least.append(low)

    for index, one in enumerate(steps):
        hold({count: 1, index: -1}, one.hands + one.wait)
        for at, only in one.after:
            hold({index: 1, at: -1}, steps[at].hands + (0 if only else steps[at].wait))
    for place, (a, b) in enumerate(pairs, count + 1):
        hold({b: 1, a: -1, place: late}, steps[a].hands)  # the place is 0 where a goes first, 1 where b does
        hold({a: 1, b: -1, place: -late}, steps[b].hands - late)
    whole = np.array([0] * (count + 1) + [1] * len(pairs))
    goal = np.zeros(count + 1 + len(pairs))
    goal[count] = 1
    upper = np.array([late] * (count + 1) + [1] * len(pairs))
    held = LinearConstraint(np.array(rows), np.array(least))
    found = milp(goal, constraints=held, integrality=whole, bounds=(0, upper))
    assert found.success, found.message
    return float(found.fun)


def by_every_order(steps: tuple[Task, ...]) -> float:
    """Return the least end of all orders in which each step comes after those that it comes after."""
    best = float("inf")
    for order in itertools.permutations(range(len(steps))):
        place = {index: at for at, index in enumerate(order)}
        if any(place[at] > place[index] for index, one in enumerate(steps) for at, _ in one.after):
            continue
        time = end = 0.0
        over: dict[int, tuple[float, float]] = {}
        for index in order:
            one = steps[index]
            time = max([time, *(over[at][0 if only else 1] for at, only in one.after)]) + one.hands
            over[index] = time, time + one.wait
            end = max(end, time + one.wait)
        best = min(best, end)
    return best


# The timing summary of the trade notes: hands, waits, hands without number, one pair. Common practice, no source.
@pytest.mark.parametrize(("no", "option", "hands", "waits", "unlimited", "one_pair"), [
    ("P01", "sealant", 219, 190, 349, 354), ("P01", "gasket", 215, 70, 225, 240), ("P02", "", 115, 45, 136, 136),
    ("P06", "", 178, 50, 188, 198), ("P08", "", 142, 235, 338, 338), ("P15", "", 188, 30, 196, 208),
])
def test_the_summary(no: str, option: str, hands: int, waits: int, unlimited: int, one_pair: int) -> None:
    assert graph.totals(of(no, option)) == graph.Totals(hands, waits, unlimited, one_pair)


# The field matrix of the trade notes. P13 is 5 and 9 for each of five units; P17 is one of three visits, P11 one wheel
# with the lift, the log and the lowering around its 22 minutes; a label’s time to set is not counted for P20.
@pytest.mark.parametrize(("no", "option", "hands", "waits"), [
    ("P03", "", 114, 15), ("P04", "", 82, 30), ("P05", "", 80, 30), ("P07", "", 44, 25), ("P09", "", 68, 0),
    ("P10", "", 31, 10), ("P12", "", 21, 0), ("P13", "", 5 + 5 * 9, 120), ("P14", "", 18, 300), ("P16", "", 24, 10),
    ("P17", "", 6, 10), ("P18", "", 25, 0), ("P19", "", 60, 30), ("P20", "gasket", 35, 15), ("P21", "", 45, 0),
    ("P22", "", 20, 0), ("P23", "", 30, 0), ("P24", "", 15, 0), ("P25", "", 15, 0),
])
def test_the_short_cards_keep_their_planning_time(no: str, option: str, hands: int, waits: int) -> None:
    found = graph.totals(of(no, option))
    assert (found.hands, found.waits) == (hands, waits)


@pytest.mark.parametrize(("no", "option"), every())
def test_no_order_of_the_card_is_shorter(no: str, option: str) -> None:
    steps = of(no, option)
    found = graph.totals(steps)
    assert found.one_pair == pytest.approx(by_programming(steps))
    assert max(found.hands, found.unlimited) <= found.one_pair <= found.hands + found.waits


def test_small_graphs_against_every_order() -> None:
    chance = random.Random(6)
    for _ in range(120):
        count = chance.randint(1, 7)
        steps = tuple(Task(
            chance.randint(1, 30), chance.choice([0, 5, 20, 60]),
            tuple((at, chance.random() < 0.4) for at in range(index) if chance.random() < 2 / (index + 1)),
        ) for index in range(count))
        assert graph.totals(steps).one_pair == by_every_order(steps)
