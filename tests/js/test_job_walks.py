"""No order of permitted events breaks the order of a card: random walks, followed by a reference of our own.

The page walks at random, asking `permit` before everything it tries, good and bad. The reference below knows nothing of
the page's code: it follows what was written on a graph of networkx, in true time, and says of every single try whether
it had to be refused.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import networkx
import pytest
from playwright.sync_api import Page

from stories import EVERY, MINUTE, NAMES, START, copy

WALKS = 300
TURNS = 130
FACTS = {"support", "fill-plug-first", "label-time"}
NEVER = FACTS | {"cold", "energy", "firm", "locked"}

# Goes on in the browser. Each try is [kind, data, true time, what `permit` said, open steps after it, lost verdicts,
# finished]; `stuck` tells of a state from which the card cannot be finished, `torn` of a replay that differs.
WALK = Path(__file__).with_name("walk.js").read_text("utf-8")


class Reference:
    """What stands, in true time; a try is judged by `may`, then written by `write`."""

    def __init__(self, taken: dict[str, Any]) -> None:
        self.card, self.option = taken["card"], taken["option"]
        self.steps = {step["no"]: step for step in self.card["steps"]}
        self.ways = {no: step["ways"].get(self.option, step["ways"].get("")) for no, step in self.steps.items()}
        self.minutes = {no: way["wait"] for no, way in self.ways.items()}
        self.holds = {hold["no"]: hold for hold in self.card["holds"]}
        self.done: dict[int, float] = {}
        self.opened: set[int] = set()
        self.ticked: dict[int, str] = {}
        self.resting = self.ended = False
        self.last: tuple[str, Any] | None = None
        self.graph = networkx.DiGraph()
        for no, step in self.steps.items():
            self.graph.add_node(("step", no))
            if self.minutes[no] > 0:
                self.graph.add_edge(("step", no), ("wait", no))
            for one in step["after"]:
                waits = self.minutes[one["step"]] > 0 and not one["handsOnly"]
                self.graph.add_edge(("wait" if waits else "step", one["step"]), ("step", no))
        for hold in self.holds.values():
            for no in hold["blocks"]:
                self.graph.add_edge(("hold", hold["no"]), ("step", no))
        self.behind = {node: networkx.ancestors(self.graph, node) for node in self.graph}

    def met(self) -> set[tuple[str, int]]:
        places = {"step": self.done, "wait": self.opened, "hold": self.ticked}
        return {(what, no) for what, numbers in places.items() for no in numbers}

    def open(self, lost: set[int]) -> list[int]:
        """Return the steps that can be reached: all behind them is met, and no hold on them lost its readings."""
        if self.resting or self.ended:
            return []
        met = self.met()
        return [
            no for no in self.steps
            if no not in self.done and self.behind["step", no] <= met
            and not any(no in self.holds[h]["blocks"] and not self.ticked[h] for h in lost & set(self.ticked))
        ]

    def asks(self, hold: int) -> bool:
        """Return whether what the hold asks of the steps before it is so."""
        guard = self.holds[hold]["guard"]
        earlier = {node for no in self.holds[hold]["blocks"] for node in self.behind["step", no]}
        if guard == "support":
            return all(no in self.done for no, step in self.steps.items() if step["lifts"] and ("step", no) in earlier)
        if guard == "fill-plug-first":
            return all(no in self.done for no, step in self.steps.items() if step["provesFill"])
        if guard == "label-time":
            waits = [no for no, way in self.ways.items()
                     if way["label"] and self.minutes[no] > 0 and ("step", no) in earlier]
            return all(no in self.opened for no in waits)
        return True

    def left(self, step: int, now: float) -> float:
        return float(self.done[step] + self.minutes[step] * MINUTE - now)

    def check(self) -> None:
        """Assert that nothing stands on air. Whether a wait was opened in time was judged by `may`."""
        met = self.met()
        for no in self.done:
            assert self.behind["step", no] <= met, f"step {no} is done before {self.behind['step', no] - met}"
        for no in self.opened:
            assert no in self.done
        for no, reason in self.ticked.items():
            assert self.asks(no), f"hold {no} is ticked though what it asks for is not so"
            assert not (reason and self.holds[no]["guard"] in NEVER), f"hold {no} was passed"

    def stands_without(self, steps: set[int], holds: set[int]) -> bool:
        """Return whether all that is left stands when these are taken back, and no more is left than should."""
        rest = Reference.__new__(Reference)
        rest.__dict__.update(self.__dict__)
        rest.done = {no: at for no, at in self.done.items() if no not in steps}
        rest.opened = self.opened - steps
        rest.ticked = {no: reason for no, reason in self.ticked.items() if no not in holds}
        try:
            rest.check()
        except AssertionError:
            return False
        # What was counted, dried or seated was so after the work before it: that work taken back takes the tick too.
        resting_on = {no for hold in rest.ticked if self.holds[hold]["guard"] not in FACTS
                      for node in (self.behind["step", one] for one in self.holds[hold]["blocks"])
                      for what, no in node if what == "step"}
        return not resting_on & steps

    def may(self, kind: str, data: dict[str, Any], now: float, lost: set[int]) -> bool | None:
        """Return whether the try is allowed; None where this reference has no opinion."""
        if self.ended or (self.resting and kind not in {"resume", "clock", "note", "photo", "stopped"}):
            return False
        match kind:
            case "done":
                return data["step"] in self.open(lost)
            case "opened":
                step, early = data["step"], data["early"]
                if step not in self.done or not self.minutes[step] or step in self.opened:
                    return False
                left = self.left(step, now)
                if left <= 0:
                    return bool(early == 0)
                return not self.ways[step]["label"] and early >= 1 and abs(early - math.ceil(left / MINUTE)) <= 1
            case "hold":
                hold = data["hold"]
                return hold in self.holds and hold not in self.ticked and hold not in lost and self.asks(hold)
            case "override":
                hold = data["hold"]
                fits = hold in self.holds and self.holds[hold]["guard"] not in NEVER
                standing = hold in self.ticked and (self.ticked[hold] != "" or hold not in lost)
                return fits and not standing and len(data["reason"].strip()) >= 8
            case "undone":
                steps, holds = set(data["steps"]), set(data["holds"])
                if not steps | holds or not (steps <= set(self.done) and holds <= set(self.ticked)):
                    return False
                return self.stands_without(steps, holds)
            case "put-back":
                return bool(self.last and self.last[0] == data["undone"])
            case "resume":
                return self.resting
            case "signed":
                waits = {no for no in self.steps if self.minutes[no] > 0}
                fair = all(self.ticked[hold] or hold not in lost for hold in self.holds if hold in self.ticked)
                return len(self.done) == len(self.steps) and waits <= self.opened and fair
        return None

    def write(self, kind: str, data: dict[str, Any], now: float, ident: str) -> None:
        before = (dict(self.done), set(self.opened), dict(self.ticked))
        match kind:
            case "done":
                self.done[data["step"]] = now
            case "opened":
                self.opened.add(data["step"])
            case "hold":
                self.ticked[data["hold"]] = ""
            case "override":
                self.ticked[data["hold"]] = data["reason"]
            case "undone":
                for no in data["steps"]:
                    del self.done[no]
                    self.opened.discard(no)
                for no in data["holds"]:
                    del self.ticked[no]
            case "put-back":
                assert self.last
                self.done, self.opened, self.ticked = self.last[1]
            case "label":
                self.minutes[data["step"]] = data["minutes"]
            case "rest" | "resume":
                self.resting = kind == "rest"
            case "stopped" | "signed":
                self.ended = True
        if kind == "undone":
            self.last = (ident, before)
        elif kind != "clock":
            self.last = None


@pytest.mark.parametrize(("card", "vehicle", "unit", "option"), EVERY, ids=NAMES)
def test_no_walk_breaks_the_order_of_the_card(
    page: Page, dist: Path, card: str, vehicle: str, unit: str, option: str
) -> None:
    taken = copy(dist, card, vehicle, unit, option)
    page.goto("")
    page.set_default_timeout(120_000)
    told = page.evaluate(WALK, {"copy": taken, "walks": WALKS, "turns": TURNS, "seed": 20260418, "start": START})
    refused = accepted = finished = 0
    for walk in json.loads(told):
        assert walk["stuck"] == "" and walk["torn"] == ""
        reference = Reference(taken)
        for turn, (kind, data, now, says, open_, lost, ident, done) in enumerate(walk["tries"]):
            where = f"seed {walk['seed']}, try {turn}: {kind} {data}"
            expected = reference.may(kind, data, now, set(lost))
            if expected is not None:
                assert (says == "") == expected, f"{where}: {says or 'accepted'}"
            if says == "":
                reference.write(kind, data, now, ident)
                reference.check()
                accepted += 1
            else:
                refused += 1
            assert open_ == reference.open(set(lost)), where
            assert done == (len(reference.done) == len(reference.steps)
                            and {n for n in reference.steps if reference.minutes[n]} <= reference.opened), where
        finished += len(reference.done) == len(reference.steps)
    # The walks must have met both sides, and some must have come to the end of the card.
    assert refused > 3000 and accepted > 3000 and finished > 5
