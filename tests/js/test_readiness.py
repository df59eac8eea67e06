"""What the phone can do, in words: never in order where it is not known, and what decides comes first."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

GOOD: dict[str, Any] = {
    "secure": True, "files": {"checked": 9, "total": 9, "bad": [], "mended": []}, "written": "", "kept": True,
    "free": 5e9, "waits": "", "awake": True, "shakes": True, "speaks": True, "shares": True}


@pytest.fixture(scope="module")
def rows(page: Page) -> Any:
    page.goto("404.html")

    def asked(**facts: Any) -> dict[str, tuple[str, str]]:
        found = page.evaluate(
            "async (facts) => (await import('./js/lib/readiness.js')).readiness(facts)", facts)
        return {one["what"]: (one["word"], one["says"]) for one in found}

    return asked


def test_what_is_not_known_is_never_in_order(rows: Any) -> None:
    """Sound, shake and camera only a person can judge: they stay not known on the best of phones."""
    assert {what for what, (word, _) in rows(secure=True, files=None).items() if word == "in order"} == {"Address"}
    good = rows(**GOOD)
    assert {what for what, (word, _) in good.items() if word != "in order"} == {"Sound", "Shake", "Camera"}
    assert {word for word, _ in good.values()} == {"in order", "not known"}


@pytest.mark.parametrize(("fact", "what", "word", "says"), [
    ({"secure": False, "files": None}, "Address", "NOT", "by its https address"),
    ({"secure": False, "files": None}, "No signal", "NOT", "only with signal"),
    ({"files": {"checked": 5, "total": 9, "bad": [], "mended": []}}, "No signal", "not known", "5 of 9"),
    ({"files": {"checked": 9, "total": 9, "bad": ["cards/p01/"], "mended": []}}, "No signal", "NOT", "1 of 9 files"),
    ({"files": {"checked": 9, "total": 9, "bad": [], "mended": [""]}}, "No signal", "in order", "fetched again"),
    ({"written": "no room."}, "Storage", "NOT", "no room."),
    ({"kept": False}, "Kept", "read this", "make a backup"),
    ({"kept": None}, "Kept", "not known", "Make a backup"),
    ({"free": 99_999_999}, "Room", "read this", "99 MB free"),
    ({"free": None}, "Room", "not known", "does not say"),
    ({"waits": "3 entries since the last backup"}, "Backup", "read this", "3 entries"),
    ({"awake": False}, "Screen", "read this", "longer screen time"),
    ({"shakes": False}, "Shake", "read this", "cannot shake"),
    ({"speaks": False}, "Voice", "read this", "nothing is read aloud"),
    ({"shares": False}, "Sharing", "read this", "downloads"),
])
def test_each_fact_has_its_word_and_what_to_do(
    rows: Any, fact: dict[str, Any], what: str, word: str, says: str
) -> None:
    found = rows(**{**GOOD, **fact})
    assert found[what][0] == word and says in found[what][1]
    assert {name for name, (word, _) in found.items() if word == "NOT"} <= {what, "Address", "No signal"}
