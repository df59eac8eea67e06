"""The key of oils: the category before the grade, limits of SAE J306, uses of API 1560, and the record before all."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
import yaml
from playwright.sync_api import Page

from fillmark.model.match import GEARED
from harness import ROOT

Json = dict[str, Any]
CALL = """async (asked) => {
  const at = (path) => import(new URL(path, document.baseURI).href)
  const {decide} = await at('js/lib/fluidkey.js')
  const key = await (await fetch('data/keys/which-fluid.json')).json()
  const byId = (turns) => Object.fromEntries(turns.map((one) => [one.id, one]))
  return asked.map(([answers, unit]) => byId(decide(key, answers, unit ?? {})))
}"""
VERIFIED = {"grade": "75W-90", "category": "GL-4", "additive": "", "state": "verified"}


def decided(page: Page, *asked: tuple[Json, Json | None]) -> list[Json]:
    """Return the turns by id, for each list of answers and what is on record of the unit."""
    page.goto("404.html")
    return list(page.evaluate(CALL, [list(one) for one in asked]))


def turns(page: Page, record: Json | None = None, fills: Json | None = None, **answers: str) -> Json:
    return decided(page, (answers, {"record": record, "fills": fills}))[0]


# ---- the category

def test_the_category_follows_the_uses_of_api_1560(page: Page) -> None:
    """API 1560, 8th ed., as two public lists tell it: GL-5 for hypoid axles, GL-4 for spiral bevel ones and selected
    gearboxes, MT-1 for gearboxes without synchronisers."""
    assert turns(page, unit="hypoid")["category"]["main"] == "GL-5"
    assert turns(page, unit="spiral")["category"]["main"] == "GL-4"
    for unit in ("hypoid", "spiral", "synchro", "plain-box"):
        assert turns(page, unit=unit)["category"]["source"] == "api-1560", "the rule names the standard"
    # A gearbox: the standard speaks of selected ones, and which they are the manual says.
    for unit in ("synchro", "plain-box"):
        assert turns(page, unit=unit)["category"]["verdict"] == "manual"
    # MT-1 does not speak of synchronisers.
    assert turns(page, unit="synchro", names="mt-1")["category"]["verdict"] == "manual"
    assert turns(page, unit="plain-box", names="mt-1")["category"]["main"] == "MT-1"


def test_what_the_manual_names_wins_over_every_rule(page: Page) -> None:
    units = ("hypoid", "spiral", "axle", "synchro", "plain-box", "gear-transfer", "chain-transfer", "transfer",
             "automatic")
    asked: list[tuple[Json, Json | None]] = [
        ({"unit": unit, "names": names}, None) for unit in units for names in ("gl-4", "gl-5", "both")]
    for (answers, _), got in zip(asked, decided(page, *asked), strict=True):
        expected = {"gl-4": "GL-4", "gl-5": "GL-5", "both": "GL-4 or GL-5"}[answers["names"]]
        assert (got["category"]["verdict"], got["category"]["main"]) == ("buy", expected), answers
    for unit in units:
        got = turns(page, unit=unit, names="approval")["category"]
        assert got["verdict"] == "approval" and "letter by letter" in got["says"][0]
        # Inactive, or obsolete by one of the two lists: no basis for buying.
        assert turns(page, unit=unit, names="old")["category"]["verdict"] == "manual"


def test_chains_automatics_and_others_follow_their_own_data_only(page: Page) -> None:
    # Common practice, no source.
    for unit in ("chain-transfer", "automatic", "other"):
        for names in ("?", "silent"):
            got = turns(page, unit=unit, names=names, cold="-18 °C", load="heavy")
            assert got["category"]["verdict"] == "manual" and got["grade"]["verdict"] == "refused"
            assert "GL-" not in got["category"]["main"] + got["grade"]["main"]


def test_a_gearbox_never_gets_gl_5_by_rule(page: Page) -> None:
    for metal in ("yes", "no", "?"):
        got = turns(page, unit="synchro", metal=metal)["category"]
        assert got["main"] == "The manual decides"
        assert any("not a straight upgrade" in note["says"] for note in got["notes"])
    warned = turns(page, unit="synchro", names="gl-5", metal="yes")["category"]["notes"]
    assert any(note["verdict"] == "stop" and "brass" in note["says"] for note in warned)
    assert any(note["verdict"] == "stop" for note in turns(page, unit="hypoid", names="gl-4")["category"]["notes"])


# ---- the grade

@pytest.mark.parametrize(("grade", "limit"), [("70W", -55), ("75W", -40), ("80W", -26), ("85W", -12)])
def test_a_w_grade_passes_to_its_limit_and_no_further(page: Page, grade: str, limit: int) -> None:
    """SAE J306 (2019 limits): the highest temperature for 150 000 mPa·s."""
    at, below = (turns(page, unit="hypoid", load="normal", cold=f"{degrees} °C")["grade"]
                 for degrees in (limit, limit - 0.1))
    assert grade in {one["grade"] for one in at["passes"]} and grade in {one["grade"] for one in below["fails"]}
    assert [one["why"] for one in below["fails"] if one["grade"] == grade] == [f"good down to −{-limit} °C"]
    # The same in °F, exactly: −12 °C is 10.4 °F.
    warm = turns(page, unit="hypoid", load="normal", cold=f"{limit * 1.8 + 32:g} °F")["grade"]
    assert grade in {one["grade"] for one in warm["passes"]}


def test_the_yard_winter(page: Page) -> None:
    # −18 °C: 70W, 75W and 80W pass, 85W fails (−12).
    grade = turns(page, unit="hypoid", load="normal", cold="-18 °C")["grade"]
    assert grade["main"] == "70W-90 or 75W-90 or 80W-90"
    assert {one["grade"] for one in grade["passes"]} == {"70W", "75W", "80W", "90", "110", "140", "190", "250"}
    assert {one["grade"] for one in grade["fails"]} == {"85W", "65", "70", "75", "80", "85"}
    # Colder than the table ends: nothing of it is offered.
    assert turns(page, unit="hypoid", load="normal", cold="-56 °C")["grade"]["verdict"] == "stop"


@pytest.mark.parametrize(("load", "hot", "least"), [
    ("normal", None, "90"), ("normal", 110, "90"), ("normal", 111, "110"), ("heavy", None, "110"),
    ("heavy", 110, "110"), ("heavy", 120, "140"),
])
def test_the_hot_number_follows_load_and_heat(page: Page, load: str, hot: int | None, least: str) -> None:
    # Common practice, no source; the page says so.
    given = {"unit": "hypoid", "load": load, "cold": "-18 °C"} | ({"hot": f"{hot} °C"} if hot else {})
    grade = turns(page, **given)["grade"]
    assert grade["main"].endswith(f"-{least}")
    assert (grade["source"], grade["state"]) == ("common-practice", "unverified")


def test_the_thickness_at_the_hottest_oil_is_that_of_the_viscosity_equation(page: Page) -> None:
    """ASTM D341: an oil of 140 and 14.5 mm²/s has 9.1 at 120 °C, 108 at 45 °C and 1067 at 10 °C (worked out)."""
    page.goto("404.html")
    got = page.evaluate("async () => {"
                        "const {thinAt} = await import(new URL('js/lib/fluidkey.js', document.baseURI).href);"
                        " return [120, 45, 40, 100, 10].map((at) => thinAt(14.5, at))}")
    assert got == [pytest.approx(9.1, abs=0.05), pytest.approx(108, abs=0.5), pytest.approx(140), pytest.approx(14.5),
                   pytest.approx(1066.5, abs=1)]

    def double(kv: float) -> float:
        return math.log10(math.log10(kv + 0.7))

    slope = (double(140) - double(14.5)) / (math.log10(373.15) - math.log10(313.15))
    at_120 = 10 ** 10 ** (double(24.0) - slope * (math.log10(393.15) - math.log10(373.15))) - 0.7
    says = " ".join(turns(page, unit="hypoid", load="heavy", cold="-18 °C", hot="120 °C")["grade"]["says"])
    assert f"about {at_120:.1f} mm²/s" in says and "estimate" in says


def test_no_grade_stands_without_a_category(page: Page) -> None:
    """Of every unit, every name and every metal: a grade only after a category to buy."""
    key = yaml.load((ROOT / "content/keys/which-fluid.yaml").read_text("utf-8"), yaml.BaseLoader)
    options = [[*key["questions"][name]["options"], "?", ""] for name in ("unit", "names", "metal")]
    asked: list[tuple[Json, Json | None]] = [
        ({"unit": unit, "names": names, "metal": metal, "grade": grade, "cold": "-18 °C", "load": "heavy"}, None)
        for unit, names, metal in itertools.product(*options) for grade in ("75W-90", "")]
    seen = set[str]()
    for (answers, _), got in zip(asked, decided(page, *asked), strict=True):
        verdict = got["category"]["verdict"]
        seen.add(verdict)
        assert (got["grade"]["verdict"] == "refused") == (verdict != "buy"), answers
        if verdict == "buy" and answers["grade"]:
            assert (got["grade"]["main"], got["grade"]["verdict"]) == ("75W-90", "manual")
        elif verdict != "buy":
            assert not any(letter in got["grade"]["main"] for letter in "0123456789")
        # A gearbox or transfer case has no hot number by rule.
        elif answers["unit"] not in ("hypoid", "spiral", "axle"):
            assert got["grade"]["main"] == "The manual decides", answers
    assert seen == {"buy", "approval", "manual", "open"}


# ---- the record

def test_the_record_wins_over_the_key_and_shows_its_state(page: Page) -> None:
    got = turns(page, record=VERIFIED, unit="hypoid", cold="-18 °C", load="heavy")
    assert (got["category"]["verdict"], got["category"]["main"]) == ("record", "GL-4")
    assert "GL-5" in got["category"]["differs"], "what the rule says is not hidden"
    assert (got["grade"]["verdict"], got["grade"]["main"]) == ("record", "75W-90")
    assert "−40 °C" in " ".join(got["grade"]["says"]) and not got["grade"]["differs"]
    # Too cold for what is on record: it stands, with its limit.
    cold = turns(page, record={**VERIFIED, "grade": "85W-140"}, unit="axle", cold="-18 °C")["grade"]
    assert cold["main"] == "85W-140" and "−12 °C only" in cold["differs"]
    loose = turns(page, record={**VERIFIED, "state": "unverified"}, unit="synchro")["category"]
    assert loose["verdict"] == "record" and "unverified" in loose["says"][0]
    approved = {**VERIFIED, "category": "the approval that the manual names", "grade": "automatic fluid"}
    assert turns(page, record=approved, unit="automatic")["grade"]["main"] == "automatic fluid"


def test_two_pages_that_disagree_buy_nothing(page: Page) -> None:
    got = turns(page, record=VERIFIED, unit="synchro", names="gl-5", cold="-18 °C")
    assert (got["category"]["verdict"], got["category"]["main"]) == ("conflict", "Buy nothing yet")
    assert got["grade"]["verdict"] == "refused"
    assert turns(page, record=VERIFIED, unit="synchro", names="gl-4")["category"]["verdict"] == "record"
    assert turns(page, record=VERIFIED, unit="synchro", names="gl-4", grade="80W-90")["grade"]["verdict"] == "conflict"
    # The manual page outranks a note that nobody verified, and says that the record is to be changed.
    note = turns(page, record={**VERIFIED, "state": "unverified"}, unit="synchro", names="gl-5")["category"]
    assert (note["verdict"], note["main"]) == ("buy", "GL-5") and "change the record" in note["differs"]


# ---- additive, mixing, seals

def test_additive_is_part_of_the_fill_and_for_clutches_only(page: Page) -> None:
    # Common practice, no source. 2.35 L with 150 mL: 2.20 L of oil.
    fills = {"refill": 2.35e-3, "additive": 150e-6}
    for diff in ("clutch-ls", "cone-ls"):
        got = turns(page, fills=fills, unit="hypoid", diff=diff)["additive"]
        assert got["verdict"] == "part-of-fill" and "pour 2.20 L of oil" in " ".join(got["says"])
    for diff in ("open", "gear-ls"):
        assert turns(page, unit="hypoid", diff=diff)["additive"]["verdict"] == "none"
    assert turns(page, unit="hypoid", diff="locker")["additive"]["verdict"] == "manual"
    assert turns(page, unit="synchro", diff="clutch-ls")["additive"]["verdict"] == "none"
    # Unknown is neither: nothing is added, and nothing is called settled.
    for unknown in ({"unit": "hypoid"}, {"unit": "hypoid", "diff": "?"}, {}):
        assert turns(page, **unknown)["additive"]["verdict"] == "open"
    record = {**VERIFIED, "category": "GL-5 LS"}
    separate = turns(page, record={**record, "additive": "separate"}, fills=fills, unit="axle")["additive"]
    assert separate["main"] == "Part of the fill" and "pour 2.20 L" in " ".join(separate["says"])
    included = turns(page, record={**record, "additive": "included"}, unit="axle", diff="clutch-ls")["additive"]
    assert "Pour none at first" in included["says"][0]
    none = turns(page, record={**record, "additive": "none"}, unit="axle", diff="clutch-ls")["additive"]
    assert none["main"] == "None" and "clutches" in none["differs"]
    assert turns(page, record={**record, "additive": "unknown"}, unit="axle")["additive"]["verdict"] == "open"


def test_what_is_inside_and_its_seals(page: Page) -> None:
    # Common practice, no source.
    assert turns(page, inside="pag")["mixing"]["verdict"] == "stop"
    assert {turns(page, inside=one)["mixing"]["verdict"] for one in ("mineral", "synthetic")} == {"fits"}
    unknown = turns(page, inside="?")["mixing"]
    assert unknown["verdict"] == "open" and "drained fully" in unknown["says"][0]
    assert turns(page, seals="usual")["seals"]["verdict"] == "fits"
    assert {turns(page, seals=one)["seals"]["verdict"] for one in ("epdm", "natural")} == {"stop"}
    notes = " ".join(note["says"] for note in turns(page)["seals"]["notes"])
    assert "acetoxy" in notes and "sensors" in notes and "brake fluid" in notes


def test_the_units_with_gears_are_the_same_for_page_and_build(page: Page) -> None:
    page.goto("404.html")
    got = page.evaluate("async () => (await import(new URL('js/lib/match.js', document.baseURI).href)).GEARED")
    assert tuple(got) == GEARED
