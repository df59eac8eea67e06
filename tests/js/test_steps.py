"""What may be done next on a card, against a reference that follows the graph one tick at a time."""

from __future__ import annotations

import random

from playwright.sync_api import Page


def standing(page: Page, steps: list[dict[str, object]], done: list[int], ticked: list[str]) -> list[dict[str, object]]:
    page.goto("")
    found = page.evaluate(
        "a => import('./js/lib/steps.js').then(m => m.standing(a[0], new Set(a[1]), new Set(a[2])))",
        [steps, done, ticked],
    )
    assert isinstance(found, list)
    return found


def test_a_hold_and_an_unfinished_step_are_said_in_words(page: Page) -> None:
    steps = [{"no": 1, "after": [], "holds": []}, {"no": 2, "after": ["1!"], "holds": ["h1", "h3"]},
             {"no": 3, "after": ["1", "2"], "holds": []}]
    first = standing(page, steps, [], [])
    assert [one["state"] for one in first] == ["now", "shut", "shut"]
    assert first[1]["why"] == "Not yet: after step 1; hold 1, 3 not ticked"
    assert first[2]["why"] == "Not yet: after steps 1, 2"
    assert [one["state"] for one in standing(page, steps, [1], ["h1"])] == ["done", "shut", "shut"]
    assert [one["state"] for one in standing(page, steps, [1], ["h1", "h3"])] == ["done", "now", "shut"]


def test_random_graphs_never_open_a_step_early(page: Page) -> None:
    dice = random.Random(11)
    cases = []
    for _ in range(200):
        size = dice.randint(2, 20)
        steps = [
            {"no": number, "after": [str(one) for one in range(1, number) if dice.random() < 0.2],
             "holds": [f"h{hold}" for hold in range(1, 4) if dice.random() < 0.1]}
            for number in range(1, size + 1)
        ]
        done = {number for number in range(1, size + 1) if dice.random() < 0.4}
        ticked = {f"h{hold}" for hold in range(1, 4) if dice.random() < 0.5}
        cases.append((steps, done, ticked))
    page.goto("")
    answers = page.evaluate(
        "a => import('./js/lib/steps.js').then(m =>"
        " a.map(one => m.standing(one[0], new Set(one[1]), new Set(one[2]))))",
        [[steps, sorted(done), sorted(ticked)] for steps, done, ticked in cases],
    )
    for (steps, done, ticked), found in zip(cases, answers, strict=True):
        for step, one in zip(steps, found, strict=True):
            free = all(int(str(a)) in done for a in step["after"]) and set(step["holds"]) <= ticked  # type: ignore[attr-defined,call-overload]
            expected = {"done"} if step["no"] in done else ({"now", "open"} if free else {"shut"})
            assert one["state"] in expected
            assert bool(one["why"]) == (one["state"] == "shut")
        assert [one["state"] for one in found].count("now") <= 1
