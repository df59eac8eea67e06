"""The time of a step graph: hands, waits, and how long one pair of hands takes at best.

Steps take the hands for a while and may be followed by a wait that needs nobody. A step comes after others, and after
their waits too unless it may use them. With one pair of hands the order decides; the least is found exactly.

The page has its own for a day of several jobs (js/lib/schedule.js). This one is for the card itself, which must say it
on paper and where no script runs; tests/js/test_schedule.py holds the two to each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from fillmark.model.amount import Amount
from fillmark.model.card import Card, predecessors
from fillmark.units import Units


@dataclass(frozen=True)
class Task:
    """A step: minutes of hands, minutes of wait after them, and (index, hands only) of each that comes before."""

    hands: float
    wait: float
    after: tuple[tuple[int, bool], ...]


@dataclass(frozen=True)
class Totals:
    """Minutes: all hands, all waits, the longest way with helpers enough, and the least with one pair of hands."""

    hands: float
    waits: float
    unlimited: float
    one_pair: float


def tasks(card: Card, option: str, units: Units) -> tuple[Task, ...]:
    """Return the steps of a card, as they go for one option of its choice ('' where it has none), in their order."""
    def minutes(time: Amount | None) -> float:
        return units.convert(time.value, time.unit, "min") if time else 0

    out = []
    for step in card.steps:
        way = step.variants.get(option, step)
        out.append(Task(minutes(way.hands), minutes(way.wait),
                        tuple((number - 1, only) for number, only in predecessors(step))))
    return tuple(out)


@lru_cache(maxsize=500)
def totals(steps: tuple[Task, ...]) -> Totals:
    """Return the times of a graph without circles."""
    tails = _tails(steps)
    unlimited = max(tails[index] for index, one in enumerate(steps) if not one.after)
    return Totals(sum(one.hands for one in steps), sum(one.wait for one in steps), unlimited, _one_pair(steps, tails))


def _tails(steps: tuple[Task, ...]) -> list[float]:
    """Return for every step the least time from its start to the end of everything that must follow it."""
    tails = [0.0] * len(steps)
    for _ in steps:  # each turn settles at least one more link of the longest chain
        for index, one in enumerate(steps):
            follow = [tails[other] + (0 if only else one.wait) for other, task in enumerate(steps)
                      for before, only in task.after if before == index]
            tails[index] = one.hands + max([one.wait, *follow])
    return tails


def _one_pair(steps: tuple[Task, ...], tails: list[float]) -> float:
    """Go through all sets of steps that may be done, by size, and keep for each the ways that none other beats.

    A way to a set is the time, and when each wait that still counts is over. One that is nowhere later than another
    beats it, whatever comes after. The first step that could be done next may also be one that has to be waited for.
    """
    everything = (1 << len(steps)) - 1
    needs = [sum(1 << before for before, _ in one.after) for one in steps]
    waited = [[other for other, one in enumerate(steps) if (index, False) in one.after] for index in range(len(steps))]
    ways: dict[int, list[tuple[float, ...]]] = {0: [(0.0, 0.0, *[0.0] * len(steps))]}
    for _ in steps:
        grown: dict[int, list[tuple[float, ...]]] = {}
        for done, found in ways.items():
            for index, one in enumerate(steps):
                if done >> index & 1 or needs[index] & ~done:
                    continue
                now = done | 1 << index
                for way in found:
                    _, end, *over = way
                    start = max([way[0], *(over[before] for before, only in one.after if not only)])
                    time = start + one.hands
                    over[index] = time + one.wait
                    # What nobody waits for any more is the same for all ways from here on.
                    over = [max(at, time) if now >> step & 1 and any(not now >> other & 1 for other in waited[step])
                            else 0.0 for step, at in enumerate(over)]
                    _keep(grown.setdefault(now, []), (time, max(end, time + one.wait), *over))
        ways = grown
    return min(end for _, end, *_ in ways[everything])


def _keep(kept: list[tuple[float, ...]], way: tuple[float, ...]) -> None:
    if any(all(a <= b for a, b in zip(one, way, strict=True)) for one in kept):
        return
    kept[:] = [one for one in kept if not all(a <= b for a, b in zip(way, one, strict=True))]
    kept.append(way)
