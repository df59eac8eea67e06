"""A value and how far it is trusted: the rules of the trade's records, case by case, and tyres by their size codes."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

# A value is (text, source) or (text, source, more); what it is compared with are the words of the rule.
PAGE = {"page": "4-12"}
LEVEL = {"note": "To the level rule, on level ground."}
Value = tuple[str, str] | tuple[str, str, dict[str, str]]


def ask(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees `amounts`, `tyre`, `units`, and `a`, the arguments."""
    if "/" not in page.url or page.url == "about:blank":
        page.goto("404.html")
    code = ("async (a) => { const at = (path) => import(new URL(path, document.baseURI).href);"
            " const [amounts, tyre, {units}] = await Promise.all("
            "['js/lib/amounts.js', 'js/lib/tyre.js', 'js/data/units.js'].map(at)); return (" + call + ") }")
    return page.evaluate(code, list(arguments))


def stated(one: Value) -> dict[str, str]:
    more = one[2] if len(one) > 2 else {}
    return {"value": one[0], "source": one[1], "state": "unverified", **more}


STATES: list[tuple[str, list[Value], str]] = [
    ("volume", [("2.35 L", "service-manual-page")], "unverified"),  # a manual, but no page seen
    ("volume", [("2.35 L", "service-manual-page", PAGE)], "verified"),
    ("volume", [("2.35 L", "owner-measured")], "unverified"),  # poured, level ground not said
    ("volume", [("2.35 L", "owner-measured", LEVEL)], "verified"),
    ("torque", [("26 N·m", "owner-measured", LEVEL)], "unverified"),  # a torque is not measured to a level
    ("torque", [("26 N·m", "service-manual-page", PAGE)], "verified"),
    # Two independent sources within 5 %; the same source twice is one.
    ("volume", [("2.35 L", "previous-owner-note"), ("2.40 L", "supplier-data-sheet")], "plausible"),
    ("volume", [("2.35 L", "previous-owner-note"), ("2.40 L", "previous-owner-note")], "unverified"),
    # What everybody does supports nothing about this unit, nor does a source that nobody knows.
    ("volume", [("2.35 L", "common-practice"), ("2.40 L", "supplier-data-sheet")], "unverified"),
    ("volume", [("2.35 L", "unknown"), ("2.40 L", "supplier-data-sheet")], "unverified"),
    # 2.20 and 2.31 differ by 5.0 % of the smaller, just not more; 2.20 and 2.32 by 5.5 %.
    ("volume", [("2.20 L", "previous-owner-note"), ("2.31 L", "supplier-data-sheet")], "plausible"),
    ("volume", [("2.20 L", "previous-owner-note"), ("2.32 L", "supplier-data-sheet")], "conflict"),
    # A conflict stays one, however good one of the two is, until it is settled.
    ("volume", [("1.10 L", "previous-owner-note"), ("1.35 L", "owner-measured", LEVEL)], "conflict"),
    # 2.2 imp pt are 1.2502 L and agree with 1.25 L; 2.2 US pt are 1.0410 L and do not.
    ("volume", [("2.2 imp pt", "previous-owner-note"), ("1.25 L", "supplier-data-sheet")], "plausible"),
    ("volume", [("2.2 US pt", "previous-owner-note"), ("1.25 L", "supplier-data-sheet")], "conflict"),
    # 19 lb·ft are 25.8 N·m.
    ("torque", [("19 lb·ft", "previous-owner-note"), ("26 N·m", "unit-tag-or-casting")], "plausible"),
]


def test_the_state_of_values_whatever_their_order(page: Page) -> None:
    cases = [[what, [stated(one) for one in values]] for what, values, _ in STATES]
    expected = [state for *_, state in STATES]
    there = "a[0].map(([what, all]) => amounts.stateOf(all, what, units))"
    assert ask(page, there, cases) == expected
    assert ask(page, there.replace("all, what", "[...all].reverse(), what"), cases) == expected


def test_a_second_value_stands_beside_the_first_and_the_better_one_first(page: Page) -> None:
    call = "amounts.beside(a[0], a[1], a[2], units)"
    note, measured = stated(("1.10 L", "previous-owner-note")), stated(("1.35 L", "owner-measured", LEVEL))
    both = ask(page, call, note, measured, "volume")
    # A fill measured to level beats any written capacity for that unit; the note is not lost.
    assert (both["value"], both["state"], [one["value"] for one in both["other"]]) == ("1.35 L", "conflict", ["1.10 L"])
    written, tag = stated(("26 N·m", "owner-measured")), stated(("30 N·m", "service-manual-page", PAGE))
    assert ask(page, call, written, tag, "torque")["value"] == "30 N·m", "for torque the manual page beats all"
    # Within 5 % the verified one stands first, and the whole is verified by it.
    near = ask(page, call, stated(("2.30 L", "previous-owner-note")), stated(("2.35 L", "service-manual-page", PAGE)),
               "volume")
    assert (near["value"], near["state"]) == ("2.35 L", "verified")
    # The same value from the same source again, now with its page, is told once.
    again = ask(page, call, stated(("2.35 L", "service-manual-page")),
                stated(("2.35 L", "service-manual-page", PAGE)), "volume")
    assert again["state"] == "verified" and "other" not in again


def test_a_conflict_is_settled_by_recording_only(page: Page) -> None:
    call = "amounts.settled(amounts.beside(a[0], a[1], 'volume', units), a[2], 'volume')"
    note, sheet = stated(("1.10 L", "previous-owner-note")), stated(("1.35 L", "supplier-data-sheet"))
    done = ask(page, call, note, sheet, stated(("1.33 L", "owner-measured", LEVEL)))
    assert (done["value"], done["state"]) == ("1.33 L", "verified")
    assert [(one["value"], one["state"]) for one in done["other"]] == [
        ("1.35 L", "superseded"), ("1.10 L", "superseded")]
    # What is superseded counts for nothing: a value that agrees with it is measured against the settled one.
    after = ask(page, "amounts.beside(a[0], a[1], 'volume', units)", done, stated(("1.12 L", "unit-tag-or-casting")))
    assert after["state"] == "conflict" and after["value"] == "1.33 L"
    attempt = "(() => { try { amounts.settled(a[0], a[1], 'volume') } catch (error) { return error.message } })()"
    refused = ask(page, attempt, note, sheet)
    assert "manual page" in refused


@pytest.mark.parametrize(("text", "says"), [
    ("2.35", "number without a unit"), ("2,35 L", "decimal comma"), ("2.35 pt", "unknown unit"), ("", "not an amount"),
    ("2.35 N·m", "wrong kind of unit"), ("1e3 L", "not an amount"), ("two L", "not an amount"),
    ("2.35 constructor", "unknown unit"),
])
def test_an_amount_that_is_none_is_refused_in_words(page: Page, text: str, says: str) -> None:
    got = ask(page, "amounts.parseAmount(a[0], units, 'volume')", text)
    assert not got["ok"] and says in got["says"] and got["expected"]


def test_an_amount_keeps_its_digits_and_has_its_si_value(page: Page) -> None:
    # NIST SP 811 appendix B.8: 1 imp pt = 0.56826125 L.
    got = ask(page, "amounts.parseAmount('2.2 imp pt', units, 'volume')")
    assert got["si"] == pytest.approx(2.2 * 0.56826125e-3, rel=1e-12)
    assert ask(page, "amounts.amountText('2,50', 'L')") == {"ok": True, "text": "2.50 L"}
    assert ask(page, "amounts.amountText('−18', '°C', true)") == {"ok": True, "text": "-18 °C"}
    assert not ask(page, "amounts.amountText('1,234', 'L')")["ok"]


def test_tyres_by_their_size_codes(page: Page) -> None:
    # Outside diameter = 25.4 × rim + 2 × width × aspect / 100:
    # 25.4 × 15 + 2 × 235 × 0.75 = 381 + 352.5 = 733.5 mm; 25.4 × 16 + 2 × 265 × 0.75 = 406.4 + 397.5 = 803.9 mm.
    sizes = ["235/75R15", "265/75R16", "LT265/75 R16 123Q", "31x10.50R15", "7.50-16", "", "265/75"]
    got = ask(page, "a[0].map(tyre.outside)", sizes)
    assert got[:3] == [pytest.approx(0.7335), pytest.approx(0.8039), pytest.approx(0.8039)]
    assert got[3] == pytest.approx(31 * 0.0254) and got[4:] == [None, None, None]
    assert ask(page, "tyre.tyreFactor('235/75R15', '265/75R16')") == 1.096  # 803.9 / 733.5 = 1.09598
    assert ask(page, "tyre.tyreFactor('235/75R15', '7.50-16')") is None
