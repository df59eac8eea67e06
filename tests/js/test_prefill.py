"""What a unit gives to a calculator: taken as its sheet has it, with its state, or refused in words, never guessed."""

from __future__ import annotations

import re
from typing import Any, get_args

import pytest
from playwright.sync_api import Page

from answers import SITE
from fillmark.model import calculator as model
from fillmark.model.amount import parse_amount
from fillmark.model.calculator import Choice

Json = dict[str, Any]
THORNBACK, DRYSTONE = (SITE.documents["vehicles", name].data for name in ("thornback", "drystone"))
GROUP = {"torque", "torque-state", "bolts", "thread", "pitch", "class"}


def typed(take: str, unit: str = "N·m") -> Json:
    return {"id": "x", "label": "Figure", "kind": "typed", "unit": unit, "take": take}


def picked(take: str, **options: str) -> Json:
    listed = {key.replace("_", "-"): {"label": label, "gives": {}} for key, label in options.items()}
    return {"id": "x", "label": "Figure", "kind": "picked", "take": take, "options": listed}


def prefill(page: Page, inputs: list[Json], sheet: Json, unit: str, group: str = "") -> Json:
    if not page.url.endswith("/about/"):
        page.goto("about/")
    got: Json = page.evaluate(
        "args => import('../js/lib/prefill.js').then(({ prefill }) => prefill(...args))",
        [inputs, {"sheet": sheet, "unit": unit, "group": group}])
    return got


def one(page: Page, asked: Json, sheet: Json, unit: str, group: str = "") -> tuple[str, str, str] | str:
    """Return (text, state, note) of the one input, or why there is none."""
    got = prefill(page, [asked], sheet, unit, group)
    if got["gone"]:
        assert got["fields"] == {}
        return str(got["gone"][0]["says"])
    field = got["fields"]["x"]
    return field["text"], field["state"], field["note"]


TAKEN = [
    ("refill", "rear-axle", ("2.35 L", "verified", "")),
    ("dry-fill", "rear-axle", ("2.50 L", "verified", "")),
    ("additive", "rear-axle", ("150 mL", "verified", "")),
    ("flush", "rear-axle", "not recorded"),
    ("torque", "wheels", ("122 N·m", "plausible", "")),
    ("bolts", "wheels", ("5", "plausible", "")),
    ("thread", "wheels", ("0.5 in", "plausible", "")),
    ("ratio", "rear-axle", ("3.73", "unverified", "no source recorded")),
    ("ring-teeth", "rear-axle", ("41", "unverified", "no source recorded")),
    ("hole-offset", "rear-axle", ("110 mm", "unverified", "no source recorded")),
    ("surface", "front-axle", "not recorded"),
    ("level-high", "rear-axle", ("10 mm", "verified", "")),
    ("tyre-width", "wheels", ("265 mm", "plausible", "")),
    ("tyre-aspect", "wheels", ("75 %", "plausible", "")),
    ("tyre-rim", "wheels", ("16 in", "plausible", "")),
    ("old-tyre-width", "wheels", ("235 mm", "unverified", "")),
    ("tyre", "whole", ("265/75R16", "plausible", "")),
    ("tyre-factor", "whole", ("1.096", "plausible", "")),
    ("kerb-mass", "whole", ("1960 kg", "unverified", "no source recorded")),
    # What the owner alone decides or reads is no worse for having no source.
    ("coldest", "engine", ("-18 °C", "", "")),
    ("odometer", "engine", ("112380 mi", "", "")),
]


@pytest.mark.parametrize(("take", "unit", "wanted"), TAKEN, ids=[f"{take} of {unit}" for take, unit, _ in TAKEN])
def test_what_a_unit_has(page: Page, take: str, unit: str, wanted: Any) -> None:
    got = one(page, typed(take), THORNBACK, unit)
    assert got == wanted or (isinstance(got, tuple) and got[0].replace("−", "-") == wanted[0] and got[1:] == wanted[1:])


def test_a_conflict_names_both_and_takes_the_better_source(page: Page) -> None:
    # The measured fill beats the note of the previous owner.
    assert one(page, typed("refill"), DRYSTONE, "front-axle") == ("1.35 L", "conflict", "another source says 1.10 L")


def test_several_groups_of_bolts_are_asked_for(page: Page) -> None:
    got = prefill(page, [typed("torque")], THORNBACK, "rear-axle")
    assert got["gone"] == [{"id": "x", "label": "Figure", "says": "pick the bolts"}]
    assert [group["role"] for group in got["groups"]] == ["cover", "fill-plug"]
    got = prefill(page, [typed("torque")], THORNBACK, "rear-axle", "cover")
    assert (got["fields"]["x"]["text"], got["group"]) == ("26 N·m", "Cover")
    assert prefill(page, [typed("torque")], THORNBACK, "rear-axle", "constructor")["gone"], "no such bolts"
    assert prefill(page, [typed("refill")], THORNBACK, "rear-axle")["groups"] == [], "where none are asked for, none"


def test_choices_are_matched_never_guessed(page: Page) -> None:
    states = picked("torque-state", dry="Dry and clean", lubricated="Oiled", anti_seize="Anti-seize compound")
    assert one(page, states, THORNBACK, "rear-axle", "cover") == ("dry", "verified", "")
    assert one(page, states, THORNBACK, "rear-axle", "fill-plug") == "not known for these bolts"
    oiled = {**DRYSTONE, "units": {"u": {**THORNBACK["units"]["wheels"], "fasteners": {
        "wheel": {**THORNBACK["units"]["wheels"]["fasteners"]["wheel"], "thread_state": "oiled", "class": "10.9"}}}}}
    assert one(page, states, oiled, "u") == ("lubricated", "plausible", "")
    grades = picked("class", a="8.8 metric", b="10.9 metric", c="Grade 5 inch")
    assert one(page, grades, oiled, "u") == ("b", "plausible", "")
    assert one(page, grades, THORNBACK, "wheels") == "not recorded"
    threads = picked("thread", m8="M8", m8fine="M8×1", half="1/2-20", coarse="1/2-13")
    assert one(page, threads, THORNBACK, "rear-axle", "cover") == ("m8", "verified", ""), "M8 alone is the coarse one"
    assert one(page, threads, THORNBACK, "wheels") == ("half", "plausible", "")
    assert one(page, threads, THORNBACK, "rear-axle", "fill-plug") == "‘M18×1.5’ is none of the choices"
    forms = picked("thread", metric="Metric", inch="Inch")
    assert one(page, forms, THORNBACK, "wheels") == ("inch", "plausible", "")
    assert one(page, forms, THORNBACK, "rear-axle", "cover") == ("metric", "verified", "")
    twice = picked("class", a="8.8 to 16 mm", b="8.8 over 16 mm")
    assert one(page, twice, THORNBACK, "rear-axle", "cover") == "‘8.8’ is none of the choices", "two fit"


@pytest.mark.parametrize(("thread", "diameter", "pitch", "plain"), [
    ("M8×1.25", "8 mm", "1.25 mm", "1.25"), ("M8", "8 mm", "1.25 mm", "1.25"), ("M18x1.5", "18 mm", "1.5 mm", "1.5"),
    ("1/2-20", "0.5 in", "1.27 mm", "20"), ("9/16-18", "0.5625 in", "1.41111 mm", "18"),
    ("1 1/8-12", "1.125 in", "2.11667 mm", "12"), ("5/16-18 UNC", "0.3125 in", "1.41111 mm", "18"),
    ("M27", "27 mm", None, None), ("taper 1/2", None, None, None), ("", None, None, None), ("M8×", None, None, None),
])
def test_a_thread_in_parts(page: Page, thread: str, diameter: str | None, pitch: str | None, plain: str | None) -> None:
    wheel = THORNBACK["units"]["wheels"]
    sheet = {**THORNBACK, "units": {"u": {**wheel, "fasteners": {
        "wheel": {**wheel["fasteners"]["wheel"], "thread": thread}}}}}
    for take, unit, wanted in (("thread", "mm", diameter), ("pitch", "mm", pitch), ("pitch", "1", plain)):
        got = one(page, typed(take, unit), sheet, "u")
        assert got == ((wanted, "plausible", "") if wanted else f"‘{thread}’ cannot be read as a number")


@pytest.mark.parametrize("size", ["265/75R16", "265/75 R 16", "LT265/75R16", "265 / 75 R16"])
def test_a_tyre_in_parts(page: Page, size: str) -> None:
    sheet = {**THORNBACK, "tyre_eras": [{**THORNBACK["tyre_eras"][0], "size": size}]}
    got = [one(page, typed(f"tyre-{part}"), sheet, "wheels") for part in ("width", "aspect", "rim")]
    assert [text for text, *_ in got] == ["265 mm", "75 %", "16 in"]
    odd = {**THORNBACK, "tyre_eras": [{**THORNBACK["tyre_eras"][0], "size": "31x10.5R15"}]}
    assert one(page, typed("tyre-width"), odd, "wheels") == "not recorded"


def test_every_take_of_the_model_is_known(page: Page) -> None:
    full = {**THORNBACK["units"]["rear-axle"], "fills": {
        **THORNBACK["units"]["rear-axle"]["fills"], "flush": {"value": "1 L", "source": "demo", "state": "unverified"},
        "swivel-each": {"value": "0.35 L", "source": "demo", "state": "unverified"}}}
    sheet = {**THORNBACK, "units": {"u": full}}
    for take in get_args(model.Take):
        asked = picked(take, dry="Dry") if take == "torque-state" else typed(take, "mm")
        got = one(page, asked, sheet, "u", "cover")
        assert isinstance(got, tuple), (take, got)


@pytest.mark.parametrize("name", sorted(name for name, one in SITE.calculators.items()
                                        if any(shape.take for shape in one.inputs.values())))
def test_every_calculator_with_every_demo_unit(page: Page, name: str) -> None:
    """A field gets a text that its own dimension can be read in, or an option that is there; else why not is said."""
    calculator = SITE.calculators[name]
    inputs = [
        {"id": key, "label": shape.label, "take": shape.take, **(
            {"kind": "picked", "options": {
                option: {"label": about.label,
                         "gives": {carried: SITE.units.si(given.value) for carried, given in about.gives.items()}}
                for option, about in shape.choices.items()}}
            if isinstance(shape, Choice) else {"kind": "typed", "unit": shape.unit})}
        for key, shape in calculator.inputs.items()]
    takes = {key: shape.take for key, shape in calculator.inputs.items() if shape.take}
    filled = set()
    for vehicle in SITE.vehicles:
        sheet = SITE.documents["vehicles", vehicle].data
        for unit, about in sheet["units"].items():
            for group in about.get("fasteners", {}) if GROUP & set(takes.values()) else [""]:
                got = prefill(page, inputs, sheet, unit, group)
                gone = {missing["id"] for missing in got["gone"]}
                assert set(got["fields"]) | gone == set(takes) and not set(got["fields"]) & gone
                for key, given in got["fields"].items():
                    filled.add(key)
                    shape = calculator.inputs[key]
                    if isinstance(shape, Choice):
                        assert given["text"] in shape.choices
                        continue
                    number, _, written = given["text"].partition(" ")
                    assert re.fullmatch(r"[-−]?\d+(\.\d+)?", number), given
                    own, other = SITE.units.known(shape.unit), SITE.units.known(written or "1")
                    assert own and other and own.dimension == other.dimension, (key, given)
                    assert parse_amount(f"{number} {written or '1'}")
    assert filled, "no unit of the demo garage gives anything"
