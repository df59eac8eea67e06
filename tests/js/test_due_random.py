"""What is due, held against a second reckoning on 2 000 random histories. Every field of every item must agree."""

from __future__ import annotations

import json
import random

from playwright.sync_api import Page

from histories import SITE, TODAY, history
from reckoning import Reckoning


def test_every_field_of_2_000_random_histories(page: Page) -> None:
    dice = random.Random(20260418)
    histories = [history(dice) for _ in range(2_000)]
    page.goto("")
    answers = json.loads(page.evaluate(
        """async ([text, site, today]) => {
            const { due } = await import('./js/lib/due.js')
            return JSON.stringify(JSON.parse(text).map(
                ({ vehicle, records }) => due({ today, vehicles: [vehicle], records, site })))
        }""", [json.dumps(histories), SITE, TODAY.isoformat()]))
    seen: dict[str, int] = {}
    for number, (given, found) in enumerate(zip(histories, answers, strict=True)):
        expected = Reckoning(given).due()
        assert len(found) == len(expected), number
        for one, other in zip(found, expected, strict=True):
            if other["over"] is not None:  # metres; the one in floating point, the other in fractions
                assert abs(one.pop("over") - other.pop("over")) < 0.01, (number, one, other)
            else:
                assert one.pop("over") is other.pop("over"), (number, one, other)
            assert one == other, number
            rolled = other["odometer"] is not None and other["odometer"] != int(other["shows"])
            words = [other["state"], other["bound"], "stop" * other["stop"], "rolled" * rolled,
                     "forecast" * bool(other["forecast"])]
            for word in filter(None, words):
                seen[word] = seen.get(word, 0) + 1
    # Each branch was walked often enough to mean something.
    wanted = ("due", "coming", "clear", "unknown", "distance", "months", "event", "stop", "forecast", "rolled")
    assert min(seen.get(word, 0) for word in wanted) >= 50, seen
