"""The job clock: the cards' own figures, the critical path against another library, orders against every order."""

from __future__ import annotations

import itertools
import json
import random
import re
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
from playwright.sync_api import Page

Json = dict[str, Any]


def ask(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees the module's exports and `a`, the arguments."""
    if page.url == "about:blank":
        page.goto("404.html")
    return json.loads(page.evaluate(
        f"""async a => {{
            const {{ earliest, schedule, tasksOf, onTheClock }} = await import('./js/lib/schedule.js')
            return JSON.stringify({call}) }}""", list(arguments)))


def card(dist: Path, no: str) -> Json:
    return dict(json.loads((dist / "data" / "cards" / f"{no}.json").read_text("utf-8")))


def clock(minutes: float, begin: int = 13 * 60) -> str:
    at = begin + round(minutes)
    return f"{at // 60 % 24:02d}:{at % 60:02d}"


# Own working of the project: minutes with hands to spare and with one pair of hands.
@pytest.mark.parametrize(("no", "option", "free", "one"), [
    ("p01", "sealant", 349, 354), ("p01", "gasket", 225, 240), ("p02", "", 136, 136),
])
def test_the_cards_take_as_long_as_worked_out_by_hand(
    page: Page, dist: Path, no: str, option: str, free: int, one: int,
) -> None:
    early, plan, two = ask(
        page, "(t => [earliest(t), schedule(t, 1), schedule(t, 2)])(tasksOf(a[0], a[1]))", card(dist, no), option)
    assert early["end"] == free
    assert (plan["end"], plan["proven"]) == (one, True)
    assert (two["end"], two["proven"]) == (free, True), "a second pair of hands reaches the bound"


def test_every_card_takes_as_long_as_its_page_says(page: Page, dist: Path) -> None:
    """The build's own search, which the printed card shows, and the page's: they go about it in different ways."""
    for path in sorted((dist / "data" / "cards").glob("*.json")):
        one = card(dist, path.stem)
        shown = (dist / "cards" / path.stem / "index.html").read_text("utf-8")
        for option, words in (one["choice"]["options"] if one["choice"] else {"": ""}).items():
            plan = ask(page, "schedule(tasksOf(a[0], a[1]), 1)", one, option)
            hours, rest = divmod(round(plan["end"]), 60)
            told = f"{hours} h {rest} min" if hours and rest else f"{hours} h" if hours else f"{rest} min"
            lead = f"<b>{words}:</b> " if words else '<p class="time">'
            assert re.search(rf"{re.escape(lead)}hands \d+ min, waits \d+ min; alone {told} at best", shown), path.stem
            assert plan["proven"], path.stem


def test_the_afternoon_of_the_worked_example(page: Page, dist: Path) -> None:
    # C06: begun at 13:00. Sealant: fill 17:43, leak look over 18:44, done 18:54. Gasket: fill 15:49, done 17:00.
    plans = ask(page, "['sealant', 'gasket'].map(one => schedule(tasksOf(a[0], one), 1))", card(dist, "p01"))
    sealant, gasket = ({row["no"]: row for row in plan["rows"]} for plan in plans)
    assert (clock(sealant[16]["start"]), clock(sealant[20]["end"])) == ("17:43", "18:44")
    assert (clock(plans[0]["end"]), clock(gasket[16]["start"]), clock(plans[1]["end"])) == ("18:54", "15:49", "17:00")
    # The trap: staging the oil is kept for the wait of the sealant, though the hands are free before.
    assert sealant[13]["end"] <= sealant[15]["start"] < sealant[14]["start"]


def test_the_label_of_the_tube_wins(page: Page, dist: Path) -> None:
    # 24 h from the bead to the oil, in place of 50 and 70 min: 22 h more.
    long = ask(page, "schedule(tasksOf(a[0], 'sealant', {13: 720, 14: 720}), 1).end", card(dist, "p01"))
    assert long == 354 + 1440 - 120
    # A step without a label cannot be given another wait.
    same = ask(page, "schedule(tasksOf(a[0], 'sealant', {6: 900}), 1).end", card(dist, "p01"))
    assert same == 354


def test_times_of_day(page: Page) -> None:
    found = ask(page, "[[780, 283], [780, 660], [1439, 0.2], [0, 1440], [600, 4000]].map(([b, m]) => onTheClock(b, m))")
    assert [(one["time"], one["days"]) for one in found] == [
        ("17:43", 0), ("00:00", 1), ("00:00", 1), ("00:00", 1), ("04:40", 3)]


def drawn(seed: int, most: int) -> list[Json]:
    """Return a random graph of steps, each after some of the earlier ones; numbers shuffled."""
    chance = random.Random(seed)
    count = chance.randint(1, most)
    names = chance.sample(range(1, 60), count)
    tasks = []
    for at, name in enumerate(names):
        after = [{"no": before, "handsOnly": chance.random() < 0.4}
                 for before in names[:at] if chance.random() < 2 / (at + 1)]
        hands, wait = chance.randint(1, 30), chance.choice([0, 0, 5, 20, 60])
        tasks.append({"no": name, "hands": hands, "wait": wait, "after": after})
    chance.shuffle(tasks)
    return tasks


def longest(tasks: list[Json]) -> dict[int, float]:
    """Return the length of the longest way to the begin of each step, and to the end (0) of all, by networkx."""
    by = {task["no"]: task for task in tasks}
    graph = nx.DiGraph()
    for task in tasks:
        graph.add_edge(-1, task["no"], weight=0)
        graph.add_edge(task["no"], 0, weight=task["hands"] + task["wait"])
        for one in task["after"]:
            before = by[one["no"]]
            graph.add_edge(one["no"], task["no"],
                           weight=before["hands"] + (0 if one["handsOnly"] else before["wait"]))
    far: dict[int, float] = {}
    for node in nx.topological_sort(graph):
        far[node] = max((far[one] + edge["weight"] for one, _, edge in graph.in_edges(node, data=True)), default=0)
    assert far[0] == nx.dag_longest_path_length(graph)
    return far


def test_the_critical_path_is_that_of_another_library(page: Page) -> None:
    graphs = [drawn(seed, 25) for seed in range(300)]
    for tasks, found in zip(graphs, ask(page, "a[0].map(earliest)", graphs), strict=True):
        far = longest(tasks)
        assert found["end"] == far[0]
        assert {row["no"]: row["start"] for row in found["rows"]} == {task["no"]: far[task["no"]] for task in tasks}
        by = {task["no"]: task for task in tasks}
        for no in by:
            slower = [task | {"hands": task["hands"] + 1} if task["no"] == no else task for task in tasks]
            assert (longest(slower)[0] > far[0]) == (no in found["critical"]), "a delay of these delays the end"


def keeps(tasks: list[Json], plan: Json, pairs: int) -> None:
    """Assert that a plan does every step once, after what it comes after, and gives no hands two steps at a time."""
    rows = {row["no"]: row for row in plan["rows"]}
    assert len(plan["rows"]) == len(rows) == len(tasks)
    for task in tasks:
        row = rows[task["no"]]
        assert row["end"] == row["start"] + task["hands"] and row["ready"] == row["end"] + task["wait"]
        assert row["start"] >= 0 and row["pair"] in range(1, pairs + 1)
        for one in task["after"]:
            assert row["start"] >= rows[one["no"]]["end" if one["handsOnly"] else "ready"], "after what it comes after"
    for pair in range(1, pairs + 1):
        work = sorted((row["start"], row["end"]) for row in rows.values() if row["pair"] == pair)
        assert all(first[1] <= then[0] for first, then in itertools.pairwise(work)), "one step at a time"
    assert plan["end"] == max(row["ready"] for row in rows.values())
    assert plan["bound"] <= plan["end"] + 1e-9


def test_no_pair_of_hands_does_two_steps_at_a_time(page: Page) -> None:
    graphs = [drawn(seed, 22) for seed in range(1000, 1150)]
    found = ask(page, "a[0].map(t => [1, 2].map(p => schedule(t, p)).concat(earliest(t)))", graphs)
    for tasks, (one, two, free) in zip(graphs, found, strict=True):
        keeps(tasks, one, 1)
        keeps(tasks, two, 2)
        assert free["end"] <= two["bound"] + 1e-9, "hands to spare are never slower"
        assert two["end"] <= one["end"] or not (one["proven"] and two["proven"])
    # Cards have no more steps; where the answer may not be the shortest it must not say so.
    assert sum(one["proven"] and two["proven"] for one, two, _ in found) >= 120


def shortest(tasks: list[Json], pairs: int) -> float:
    """Return the end of the best of all orders, each step given to the pair of hands that is free first."""
    by = {task["no"]: task for task in tasks}
    best = float("inf")
    for order in itertools.permutations(by):
        free, rows = [0.0] * pairs, {}
        for no in order:
            if any(one["no"] not in rows for one in by[no]["after"]):
                break
            ready = max((rows[one["no"]][0 if one["handsOnly"] else 1] for one in by[no]["after"]), default=0)
            pair = free.index(min(free))
            end = max(ready, free[pair]) + by[no]["hands"]
            free[pair], rows[no] = end, (end, end + by[no]["wait"])
        else:
            best = min(best, max(ready for _, ready in rows.values()))
    return best


def test_an_order_called_the_shortest_is_the_shortest_of_all(page: Page) -> None:
    graphs = [drawn(seed, 7) for seed in range(2000, 2120)]
    found = ask(page, "a[0].map(t => [schedule(t, 1), schedule(t, 2)])", graphs)
    for tasks, plans in zip(graphs, found, strict=True):
        for pairs, plan in enumerate(plans, 1):
            assert plan["proven"]
            assert plan["end"] == shortest(tasks, pairs), tasks
    assert any(plan["end"] > plan["bound"] for plans in found for plan in plans), "some are proved by trying all"


def test_a_graph_that_cannot_be_done_is_refused(page: Page) -> None:
    ring = [{"no": 1, "hands": 5, "wait": 0, "after": [{"no": 2, "handsOnly": False}]},
            {"no": 2, "hands": 5, "wait": 0, "after": [{"no": 1, "handsOnly": True}]}]
    lost = [{"no": 1, "hands": 5, "wait": 0, "after": [{"no": 9, "handsOnly": False}]}]
    said = ask(page, "a.map(t => { try { schedule(t, 1) } catch (error) { return error.message } })", ring, lost)
    assert said == ["steps 1, 2 wait for each other", "step 1 comes after step 9, which there is not"]
    assert ask(page, "schedule([], 1)") == {"rows": [], "end": 0, "bound": 0, "proven": True}
