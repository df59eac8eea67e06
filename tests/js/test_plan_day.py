"""Several jobs in one day: orders against an exact search of our own, and what no order may ever do."""

from __future__ import annotations

import itertools
import json
import random
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from js.test_schedule import card, drawn, keeps, longest

Json = dict[str, Any]
FULL = ("p01", "p02", "p06", "p08", "p15")  # the five cards that the trade notes give whole
RAISED = ("p01", "p02", "p03", "p04", "p05", "p06", "p07", "p10", "p15", "p23")
APART = ("p08", "p09", "p12", "p14", "p16")


def ask(page: Page, call: str, *arguments: Any) -> Any:
    if page.url == "about:blank":
        page.goto("404.html")
    return json.loads(page.evaluate(
        f"""async a => {{
            const {{ schedule, tasksOf }} = await import('./js/lib/schedule.js')
            const {{ day, graph }} = await import('./js/lib/plan/day.js')
            const {{ cut }} = await import('./js/lib/plan/sitting.js')
            return JSON.stringify({call}) }}""", list(arguments)))


State = tuple[tuple[float, ...], dict[int, tuple[float, float]], float]


def sooner(tasks: list[Json], pairs: int, than: float) -> bool:
    """Say if any order ends before `than`, by going through all sets of steps done that could still make it.

    Of two ways to have done the same steps only one that is later in nothing can matter: when each pair of hands is
    free, when what others wait for is ready, and when all is over.
    """
    by = {task["no"]: task for task in tasks}
    later: dict[int, set[int]] = {no: {t["no"] for t in tasks for one in t["after"] if one["no"] == no} for no in by}
    rest = {no: longest_rest(by, later, no) for no in by}
    states: dict[frozenset[int], list[State]] = {frozenset(): [((0.0,) * pairs, {}, 0.0)]}
    for _ in by:
        after: dict[frozenset[int], list[State]] = {}
        for done, ways in states.items():
            for no, task in by.items():
                if no in done or any(one["no"] not in done for one in task["after"]):
                    continue
                for free, ready, over in ways:
                    opens = max((ready[one["no"]][0 if one["handsOnly"] else 1] for one in task["after"]), default=0.0)
                    # The pair that is free first is as good as any: they are alike.
                    start = max(opens, free[0])
                    if start + rest[no] >= than - 1e-9:
                        continue
                    end = start + task["hands"]
                    mine = {**ready, no: (end, end + task["wait"])}
                    now = done | {no}
                    waited = {one: times for one, times in mine.items() if later[one] - now}
                    hands = tuple(sorted((*free[1:], end)))
                    if sum(by[one]["hands"] for one in by if one not in now) + sum(hands) >= (than - 1e-9) * pairs:
                        continue
                    keep(after.setdefault(now, []), (hands, waited, max(over, end + task["wait"])))
        states = after
    return any(over < than - 1e-9 for ways in states.values() for _, _, over in ways)


def longest_rest(by: dict[int, Json], later: dict[int, set[int]], no: int) -> float:
    """Return how long it is at least from the begin of a step to the end of all that rests on it."""
    task = by[no]
    links = [(next(one for one in by[then]["after"] if one["no"] == no), then) for then in later[no]]
    return float(task["hands"] + max(
        [task["wait"], *((0 if one["handsOnly"] else task["wait"]) + longest_rest(by, later, then)
                         for one, then in links)]))


def keep(ways: list[Any], new: Any) -> None:
    def no_later(one: Any, other: Any) -> bool:
        return (all(a <= b for a, b in zip(one[0], other[0], strict=True)) and one[2] <= other[2]
                and all(a <= b for no in one[1] for a, b in zip(one[1][no], other[1][no], strict=True)))

    if any(no_later(one, new) for one in ways):
        return
    ways[:] = [one for one in ways if not no_later(new, one)] + [new]


def test_the_search_of_this_file_finds_what_the_trade_worked_out(page: Page, dist: Path) -> None:
    # The project's own working: minutes for one pair of hands.
    for no, option, alone in (("p01", "sealant", 354), ("p01", "gasket", 240), ("p02", "", 136), ("p08", "", 338),
                              ("p15", "", 208)):
        tasks = ask(page, "tasksOf(a[0], a[1])", card(dist, no), option)
        assert sooner(tasks, 1, alone + 1) and not sooner(tasks, 1, alone), no


@pytest.mark.parametrize("no", FULL)
def test_the_full_cards_are_planned_as_short_as_can_be(page: Page, dist: Path, no: str) -> None:
    one = card(dist, no)
    for option in (one["choice"]["options"] if one["choice"] else [""]):
        tasks = ask(page, "tasksOf(a[0], a[1])", one, option)
        for pairs in (1, 2):
            job = {"id": "j", "vehicle": "v", "card": one, "option": option, "label": {}}
            plan = ask(page, "day([a[0]], a[1])", job, pairs)
            holds([job], plan, pairs)
            assert plan["proven"] and not sooner(tasks, pairs, plan["end"]), (option, pairs)


def test_random_steps_are_planned_as_short_as_can_be(page: Page) -> None:
    graphs = [drawn(seed, 12) for seed in range(5000, 5200)]
    found = ask(page, "a[0].map(t => [1, 2].map(pairs => schedule(t, pairs)))", graphs)
    assert max(len(tasks) for tasks in graphs) == 12
    for tasks, plans in zip(graphs, found, strict=True):
        for pairs, plan in enumerate(plans, 1):
            keeps(tasks, plan, pairs)
            assert plan["proven"] and not sooner(tasks, pairs, plan["end"]), tasks


def jobs_of(dist: Path, chance: random.Random, count: int) -> list[Json]:
    """Return jobs on one or two vehicles; most are raised."""
    out = []
    for at in range(count):
        one = card(dist, chance.choice(RAISED if chance.random() < 0.75 else (*APART, "p25")))
        option = chance.choice(list(one["choice"]["options"])) if one["choice"] else ""
        label = {str(step["no"]): chance.choice([30, 90, 600]) for step in one["steps"]
                 if step["ways"].get(option, step["ways"].get("", {})).get("label")}
        out.append({"id": f"j{at}", "vehicle": chance.choice(["v", "v", "w"]), "card": one, "option": option,
                    "label": label})
    return out


def holds(jobs: list[Json], plan: Json, pairs: int) -> None:
    """Assert what must be true of every plan, read off the cards themselves."""
    at = {(part["job"], part["step"]): row for row in plan["rows"] for part in row["parts"]}
    assert len(at) == sum(len(job["card"]["steps"]) for job in jobs), "every step of every job, once"
    for pair in range(1, pairs + 1):
        work = sorted((row["start"], row["end"]) for row in plan["rows"] if row["pair"] == pair)
        assert all(a[1] <= b[0] + 1e-9 for a, b in itertools.pairwise(work)), "one step at a time for a pair of hands"
    steps = {(job["id"], step["no"]): step for job in jobs for step in job["card"]["steps"]}
    for job in jobs:
        for step in job["card"]["steps"]:
            row, way = at[job["id"], step["no"]], step["ways"].get(job["option"]) or step["ways"][""]
            asked = job["label"].get(str(step["no"]), way["wait"]) if way["label"] else way["wait"]
            assert row["ready"] - row["end"] >= asked - 1e-9, "no wait and no label is ever shortened"
            assert row["end"] - row["start"] >= way["hands"] - 1e-9
            for one in step["after"]:
                before = at[job["id"], one["step"]]
                assert row["start"] >= before["end" if one["handsOnly"] else "ready"] - 1e-9
        for hold in job["card"]["holds"]:
            # What must have been before it, by its guard: the lift, the fill plug, the time of the label.
            before = {"support": "lifts", "fill-plug-first": "provesFill"}.get(hold["guard"], "")
            rows = [at[job["id"], step["no"]]["end"] for step in job["card"]["steps"] if before and step[before]]
            if hold["guard"] == "label-time":
                first = min(hold["blocks"])
                rows = [at[job["id"], step["no"]]["ready"] for step in job["card"]["steps"] if step["no"] < first
                        and (step["ways"].get(job["option"]) or step["ways"].get("", {})).get("label")]
            for no in hold["blocks"]:
                start = at[job["id"], no]["start"]
                assert all(start >= one - 1e-9 for one in rows), f"hold {hold['no']} before step {no}"
    for vehicle in {job["vehicle"] for job in jobs}:
        mine = [job for job in jobs if job["vehicle"] == vehicle and not job["card"]["beside"]]
        names = {job["id"] for job in mine}
        on = [row for row in plan["rows"] if any(part["job"] in names for part in row["parts"])]
        moving = [(key, at[key]) for key, step in steps.items() if key[0] in names
                  and (step["shared"] or step["runs"])]
        for (job, step), row in moving:
            busy = [one for one in on if one is not row and one["start"] < row["end"] - 1e-9
                    and one["end"] > row["start"] + 1e-9 and {part["job"] for part in one["parts"]} != {job}]
            assert not busy, f"nobody works on it while {job} does step {step}"
        for job in mine:
            names_of = {step["shared"]: at[job["id"], step["no"]] for step in job["card"]["steps"] if step["shared"]}
            if "raise" not in names_of:
                first = min(at[job["id"], step["no"]]["start"] for step in job["card"]["steps"])
                last = max(at[job["id"], step["no"]]["end"] for step in job["card"]["steps"])
                for other in mine:
                    if other is not job:
                        rows = [at[other["id"], step["no"]] for step in other["card"]["steps"]]
                        assert all(row["end"] <= first + 1e-9 or row["start"] >= last - 1e-9 for row in rows), (
                            "a job that cannot share comes wholly before or after")
                continue
            opened = [at[job["id"], step["no"]]["start"] for step in job["card"]["steps"] if step["opens"]]
            for start in opened:
                lower = next(step for step in job["card"]["steps"] if step["shared"] == "lower")
                closed = max(at[job["id"], one["step"]]["end"] for one in lower["after"])
                for key, step in steps.items():
                    moves = step["runs"] or step["shared"] in ("warm", "drive")
                    if key[0] in names and key[0] != job["id"] and moves:
                        row = at[key]
                        assert row["end"] <= start + 1e-9 or row["start"] >= closed - 1e-9, (
                            "no engine runs and no wheel turns while a housing is open")
    assert plan["end"] == max(row["ready"] for row in plan["rows"]) and plan["bound"] <= plan["end"] + 1e-9


def test_no_plan_breaks_the_order_of_its_jobs(page: Page, dist: Path) -> None:
    chance = random.Random(7)
    cases = [(jobs_of(dist, chance, chance.randint(1, 4)), chance.choice([1, 2])) for _ in range(80)]
    proven = 0
    for at in range(0, len(cases), 20):
        found = ask(page, "a[0].map(([jobs, pairs]) => day(jobs, pairs))", cases[at:at + 20])
        for (jobs, pairs), plan in zip(cases[at:at + 20], found, strict=True):
            holds(jobs, plan, pairs)
            assert plan["proven"] == (plan["end"] - plan["bound"] < 1e-9) or len(jobs) > 3
            proven += plan["proven"]
    assert 25 <= proven < len(cases), "where a shorter order may be left, it must not say that there is none"


def test_what_waits_for_all_of_a_shared_wait_still_does(page: Page, dist: Path) -> None:
    """One job may lift while the exhaust cools, the other not before it is cool: the lift of both waits."""
    jobs = [{"id": no, "vehicle": "v", "card": card(dist, no), "option": "", "label": {}} for no in ("p02", "p07")]
    raised = next(step for step in jobs[1]["card"]["steps"] if step["shared"] == "raise")
    raised["after"] = [{"step": 1, "handsOnly": False}]
    for order in (jobs, jobs[::-1]):
        found = ask(page, "day(a[0], 1).rows", order)
        rows = {(part["job"], part["step"]): row for row in found for part in row["parts"]}
        assert rows["p07", 2] == rows["p02", 3] and rows["p07", 1] == rows["p02", 2]
        assert rows["p07", 2]["start"] >= rows["p07", 1]["ready"]


def test_one_drive_and_one_lift_serve_two_jobs(page: Page, dist: Path) -> None:
    jobs = [{"id": no, "vehicle": "v", "card": card(dist, no), "option": option, "label": {}}
            for no, option in (("p01", "sealant"), ("p07", ""))]
    both = ask(page, "day(a[0], 1)", jobs)
    alone = [ask(page, "day([a[0]], 1).end", job) for job in jobs]
    assert max(alone) < both["end"] < sum(alone)
    shared = [{part["job"]: part["step"] for part in row["parts"]} for row in both["rows"] if len(row["parts"]) > 1]
    assert shared == [{"p01": 2, "p07": 1}, {"p01": 3, "p07": 2}, {"p01": 18, "p07": 9}]
    raised = next(row for row in both["rows"] if {"job": "p01", "step": 3} in row["parts"])
    assert raised["end"] - raised["start"] == 15 + 9, "each end takes its own minutes"
    # Two vehicles share nothing, and one works while the other waits.
    two = ask(page, "day([a[0][0], {...a[0][1], vehicle: 'w'}], 1)", jobs)
    assert all(len(row["parts"]) == 1 for row in two["rows"]) and two["end"] < sum(alone)
    assert two["end"] >= longest(ask(page, "tasksOf(a[0], 'sealant')", jobs[0]["card"]))[0]


def test_a_day_that_is_too_short_is_cut_where_it_can_be_left(page: Page, dist: Path) -> None:
    # A label of a day: the cover is closed and tightened, the rest is a second sitting.
    job = {"id": "p01", "vehicle": "v", "card": card(dist, "p01"), "option": "sealant", "label": {"13": 60, "14": 1440}}
    plan, two = ask(page, "(d => [d, cut(d.rows, 360, a)])(day([a[0]], 1))", job)
    assert plan["end"] > 1440
    assert two["rests"][0]["row"]["parts"] == [{"job": "p01", "step": 14}] and two["then"][0]["parts"][0]["step"] == 16
    assert {part["step"] for row in two["first"] for part in row["parts"]} == set(range(1, 16))
    assert two["at"] <= 360 and two["rests"][0]["ready"] > 1440
    assert ask(page, "cut(day([a[0]], 1).rows, 100, a)", job) is None, "the axle stands open then"
    assert ask(page, "cut(day([a[0]], 1).rows, 5000, a)", job) is None, "it fits"
    chance = random.Random(11)
    for _ in range(40):
        jobs = jobs_of(dist, chance, chance.randint(1, 3))
        until = chance.randint(30, 600)
        rows, found = ask(page, "(d => [d.rows, cut(d.rows, a[1], a[0])])(day(a[0], 1))", jobs, until)
        if found:
            assert all(row["end"] <= found["at"] or row["start"] >= found["at"] - 1e-9 for row in rows)
            assert found["at"] <= until and len(found["first"]) + len(found["then"]) == len(rows)


def test_a_second_job_is_left_only_when_it_is_closed(page: Page, dist: Path) -> None:
    jobs = [{"id": no, "vehicle": "v", "card": card(dist, no), "option": option, "label": label}
            for no, option, label in (("p01", "sealant", {"14": 1440}), ("p07", "", {}))]
    two = ask(page, "cut(day(a[0], 1).rows, 480, a[0])", jobs)
    done = {(part["job"], part["step"]) for row in two["first"] for part in row["parts"]}
    assert ("p01", 14) in done and ("p01", 16) not in done
    assert {("p07", step) for step in range(1, 9)} <= done, "its plug is in and its oil is in"
    assert ("p07", 9) not in done, "it is lowered with the other"
