"""The look-up's matching: exact, beginning, one typing error; against a slow textbook distance as the reference."""

from __future__ import annotations

import random

from playwright.sync_api import Page

WORDS = ["thornback", "drystone", "wicket", "rear", "front", "axle", "wheel", "transfer", "gearbox", "coolant"]


def ask(page: Page, call: str, argument: object = None) -> object:
    page.goto("")
    return page.evaluate(f"a => import('./js/lib/lookup.js').then(m => {call})", argument)


def distance(a: str, b: str) -> int:
    """Return the optimal string alignment distance (letters added, lost, changed, neighbours swapped)."""
    table = [[max(i, j) if 0 in (i, j) else 0 for j in range(len(b) + 1)] for i in range(len(a) + 1)]
    for i in range(1, len(a) + 1):
        for j in range(1, len(b) + 1):
            cost = a[i - 1] != b[j - 1]
            table[i][j] = min(table[i - 1][j] + 1, table[i][j - 1] + 1, table[i - 1][j - 1] + cost)
            if i > 1 and j > 1 and a[i - 1] == b[j - 2] and a[i - 2] == b[j - 1]:
                table[i][j] = min(table[i][j], table[i - 2][j - 2] + 1)
    return table[-1][-1]


def test_one_error_agrees_with_the_textbook_distance(page: Page) -> None:
    dice = random.Random(7)
    pairs = []
    for _ in range(4000):
        a = dice.choice(WORDS)
        letters = list(a)
        for _ in range(dice.randint(0, 2)):
            place = dice.randrange(len(letters))
            match dice.randrange(4):
                case 0:
                    letters.insert(place, dice.choice("abeknorstw"))
                case 1 if len(letters) > 1:
                    del letters[place]
                case 2:
                    letters[place] = dice.choice("abeknorstw")
                case _ if place:
                    letters[place - 1], letters[place] = letters[place], letters[place - 1]
        pairs.append([a, "".join(letters)])
    found = ask(page, "a.map(([x, y]) => m.oneError(x, y))", pairs)
    assert found == [distance(a, b) <= 1 for a, b in pairs]
    assert any(found) and not all(found)


def test_figures_are_taken_at_their_word(page: Page) -> None:
    # 75W and 85W, GL-4 and GL-5 are one letter apart and must never stand in for each other.
    texts = ["gear oil 75W-90 GL-4", "gear oil 85W-90 GL-5"]
    assert ask(page, "m.search(m.index(a), '75w').map(h => h.id)", texts) == [0]
    assert ask(page, "m.search(m.index(a), 'gl-5').map(h => h.id)", texts) == [1]


def test_every_word_must_be_met_and_the_better_match_comes_first(page: Page) -> None:
    texts = ["Thornback rear axle", "Thornback front axle", "Drystone rear axle", "Thornbacks rear"]
    assert ask(page, "m.search(m.index(a), 'thornback rear').map(h => h.id)", texts) == [0, 3]
    assert ask(page, "m.search(m.index(a), 'thornbakc raer').map(h => h.id)", texts) == [0, 3]
    assert ask(page, "m.search(m.index(a), 'thornback gearbox').map(h => h.id)", texts) == []
    assert ask(page, "m.search(m.index(a), '  ').map(h => h.id)", texts) == [0, 1, 2, 3]


def test_accents_case_and_marks_do_not_matter(page: Page) -> None:
    assert ask(page, "m.search(m.index(a), 'Ardmóor M8x1.25').map(h => h.id)", ["ardmoor m8x1.25"]) == [0]
