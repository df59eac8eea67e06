"""The cards say what the trade says. Trade facts: common practice, no source, unless a line names one."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from fillmark.model.card import SLOT, Card, Step, Variant, predecessors
from fillmark.model.hazards import SEVERITIES
from fillmark.model.site import Table
from fillmark.model.slot import SLOTS

CARDS = tuple(f"P{number:02}" for number in range(1, 26))
LIFTING = ("P01", "P02", "P03", "P04", "P05", "P06", "P07", "P10", "P11", "P15", "P23", "P24")
WET = ("P01", "P02", "P03", "P04", "P05", "P06", "P07")


def chosen(step: Step, option: str | None) -> Step | Variant:
    return step.variants[option] if step.variants and option else step


def minutes(card: Card, option: str | None) -> tuple[float, float]:
    """Return (hands, waits) summed over all steps."""
    taken = [chosen(step, option) for step in card.steps]
    return sum(one.hands.value for one in taken if one.hands), sum(one.wait.value for one in taken if one.wait)


def longest_path(card: Card, option: str | None) -> float:
    """Return the earliest end of the whole card when hands are unlimited, final wait included."""
    hands_end: dict[int, float] = {}
    wait_end: dict[int, float] = {}
    for step in card.steps:
        ends = [hands_end[no] if hands_only else wait_end[no] for no, hands_only in predecessors(step)]
        start = max(ends, default=0.0)
        one = chosen(step, option)
        assert one.hands is not None
        hands_end[step.no] = start + one.hands.value
        wait_end[step.no] = hands_end[step.no] + (one.wait.value if one.wait else 0.0)
    return max(wait_end.values())


def earlier(card: Card, number: int) -> set[int]:
    """Return all steps that must be over before `number`, however far back."""
    direct = {no for no, _ in predecessors(card.steps[number - 1])}
    return direct.union(*(earlier(card, no) for no in direct))


def spoken(card: Card) -> list[str]:
    """Return every text that a step may show."""
    return [text for step in card.steps for text in (step.do, *(one.do for one in step.variants.values())) if text]


# The planning times of the trade notes, summed by hand; the last column is the longest way through the step graph.
@pytest.mark.parametrize(("no", "option", "hands", "waits", "longest"), [
    ("P01", "sealant", 219, 190, 349), ("P01", "gasket", 215, 70, 225), ("P02", None, 115, 45, 136),
])
def test_minutes_and_longest_path(
    cards: dict[str, Card], no: str, option: str | None, hands: int, waits: int, longest: int
) -> None:
    assert minutes(cards[no], option) == (hands, waits)
    assert longest_path(cards[no], option) == longest


# Work that fits into a wait: chocks while the exhaust cools, bench work while oil drips, the magnet while it drains.
@pytest.mark.parametrize(("no", "overlaps"), [
    ("P01", {(3, 2), (8, 7), (9, 7), (15, 7)}), ("P02", {(3, 2), (7, 6)}),
])
def test_hands_work_while_the_clock_waits(cards: dict[str, Card], no: str, overlaps: set[tuple[int, int]]) -> None:
    found = {(step.no, number) for step in cards[no].steps for number, hands_only in predecessors(step) if hands_only}
    assert found == overlaps


def test_small_cards_keep_their_planning_time(cards: dict[str, Card]) -> None:
    assert minutes(cards["P24"], None) == (15, 0)
    # 22 minutes for each wheel: crack 3, lift 6, off and clean and look 6, on and snug 3, torque 4.
    wheel = {3, 4, 5, 6, 7, 8, 9, 12, 13}
    assert sum(step.hands.value for step in cards["P11"].steps if step.no in wheel and step.hands) == 22


def test_all_25_cards_are_there(cards: dict[str, Card]) -> None:
    assert set(CARDS) == set(cards)
    assert {no for no, one in cards.items() if one.sub} == {"P19", "P20", "P24", "P25"}
    assert {no for no, one in cards.items() if any(step.lifts for step in one.steps)} == set(LIFTING)
    assert {no for no, one in cards.items() if any(step.opens for step in one.steps)} == set(WET)


@pytest.mark.parametrize("no", WET)
def test_wet_card_proves_the_way_in_before_it_opens(cards: dict[str, Card], no: str) -> None:
    card = cards[no]
    opening = [step.no for step in card.steps if step.opens]
    proving = {step.no for step in card.steps if step.proves_fill}
    assert opening
    # A fill plug, or the dipstick tube of an automatic and the cap of an engine.
    way_in = r"[Tt]ake the (?:axle's )?(?:fill plug out|filler cap off)|prove that the way in is open"
    assert all(re.search(way_in, card.steps[number - 1].do or "") for number in proving)
    held = {number for hold in card.holds if hold.guard == "fill-plug-first" for number in hold.blocks}
    for number in opening:
        assert number in held
        assert proving & earlier(card, number)


@pytest.mark.parametrize("no", ["P01", "P02", "P03", "P04", "P05", "P07"])
def test_oil_goes_in_only_after_joint_or_plug_is_tight(cards: dict[str, Card], no: str) -> None:
    card = cards[no]
    filling = next(step for step in card.steps if "fill.refill" in step.shows and "fluid.grade" in step.shows)
    closing = {step.no for step in card.steps if {"torque.cover", "torque.drain-plug"} & set(step.shows)}
    assert closing
    assert closing <= earlier(card, filling.no)


@pytest.mark.parametrize("no", LIFTING)
def test_crush_danger_stands_before_the_lift(cards: dict[str, Card], no: str) -> None:
    card = cards[no]
    lift = next(step.no for step in card.steps if step.lifts)
    early = [one for one in card.cautions if one.before <= lift]
    dangers = [one for one in early if one.severity == "danger" and one.topic == "support"]
    assert dangers
    assert "kill" in dangers[0].says
    assert any(hold.guard == "support" and min(hold.blocks) > lift for hold in card.holds)
    assert card.sub or "lift-and-support" in card.includes


@pytest.mark.parametrize("no", CARDS)
def test_a_step_says_at_most_two_sentences(cards: dict[str, Card], no: str) -> None:
    for text in spoken(cards[no]):
        sentences = [one for one in re.split(r"(?<=[.!?])\s+", SLOT.sub("slot", text)) if one]
        assert 1 <= len(sentences) <= 2, text
        assert text.endswith("."), text
        assert "!" not in text
        assert "please" not in text.lower()


def test_the_words_of_severity() -> None:
    """As in ANSI Z535.6: DANGER will kill or maim, WARNING could, CAUTION minor injury, NOTICE damage only. Which
    hazard gets which word is common practice, no source."""
    by_word = {word: {topic for topic, allowed in SEVERITIES.items() if word in allowed}
               for word in ("danger", "warning", "caution", "notice")}
    assert by_word["danger"] == {"support", "driven-wheels", "scald", "exhaust-gas", "tyre-burst",
                                 "roll-away"}, "these kill at once"
    assert {"brakes", "hot-oil", "solvent", "asbestos", "eyes", "battery", "springs", "spinning", "air-line",
            "coolant-poison", "wheel-nuts", "oily-cloths", "metal-splinters", "fire"} <= by_word["warning"]
    assert by_word["caution"] == {"skin", "sharp", "manual-handling"}
    assert {"environment", "abrasive", "paint"} <= by_word["notice"]


# The column “on cards” of the trade notes on cautions: what is named there must be there. Common practice, no source.
@pytest.mark.parametrize(("topic", "severity", "on"), [
    ("support", "danger", LIFTING), ("driven-wheels", "danger", ("P01", "P02", "P04", "P06", "P12", "P21")),
    ("scald", "danger", ("P08",)), ("brakes", "warning", ("P09", "P15")), ("hot-oil", "warning", WET),
    ("solvent", "warning", ("P01", "P15", "P19", "P20")), ("exhaust-gas", "danger", ("P06", "P08", "P10")),
    ("asbestos", "warning", ("P01", "P03", "P15", "P20")), ("battery", "warning", ("P14",)), ("skin", "caution", WET),
    ("coolant-poison", "warning", ("P08", "P25")), ("springs", "warning", ("P16", "P23")),
    ("spinning", "warning", ("P06", "P08", "P12", "P16")), ("air-line", "warning", ("P15",)),
    ("sharp", "caution", ("P01", "P20")), ("manual-handling", "caution", ("P03", "P11", "P14")),
    ("environment", "notice", ("P25", *WET)),
])
def test_the_cautions_of_the_notes(cards: dict[str, Card], topic: str, severity: str, on: tuple[str, ...]) -> None:
    for no in on:
        assert any(one.topic == topic and one.severity == severity for one in cards[no].cautions), no


@pytest.mark.parametrize("no", CARDS)
def test_every_slot_of_every_text_is_known(cards: dict[str, Card], no: str) -> None:
    slots = [slot for text in cards[no].model_dump_json().split('"') for slot in SLOT.findall(text) if "." in slot]
    assert slots or no in ("P13", "P16", "P17", "P18", "P19", "P20", "P22", "P25")
    assert set(slots) <= set(SLOTS)


def test_label_times_can_be_told_from_planning_times(cards: dict[str, Card]) -> None:
    # Sealant times are the label's: 50 min to set and 70 more to fluid are an invented label. A gasket has none.
    card = cards["P01"]
    labelled = {
        (step.no, name): variant.wait.value
        for step in card.steps for name, variant in step.variants.items() if variant.label_time and variant.wait
    }
    assert labelled == {(13, "sealant"): 50, (14, "sealant"): 70}
    hold = next(one for one in card.holds if one.guard == "label-time")
    assert hold.blocks == (16,)
    assert hold.write == "clock time"


def test_wheel_is_torqued_twice_on_the_ground_and_again_later(cards: dict[str, Card]) -> None:
    card = cards["P11"]
    torque_steps = [step.no for step in card.steps if step.shows == ("torque.wheel",)]
    lowered = next(step.no for step in card.steps if "Lower until" in (step.do or ""))
    assert len(torque_steps) == 2
    assert all(lowered in earlier(card, number) for number in torque_steps)
    # "Recheck after about 50 miles (80 km)": TM 5-3820-256-24. The 50 km and the stop at 160 km: common practice.
    again = next(one for one in card.follow_ups if one.kind == "re-torque")
    assert again.earliest and again.latest and again.hard_stop
    assert (again.earliest.value, again.latest.value, again.hard_stop.value) == (50, 80, 160)
    assert again.latest.value == pytest.approx(50 * 1.609344, abs=0.5)


@pytest.mark.parametrize("no", ["P01", "P02"])
def test_leak_look_next_morning_and_at_160_km(cards: dict[str, Card], no: str) -> None:
    leaks = [one for one in cards[no].follow_ups if one.kind == "leak"]
    assert [one.days for one in leaks] == [1, None]
    assert leaks[1].latest is not None
    assert leaks[1].latest.text == "160 km"


def test_safety_page_has_every_caution(safety_page: str) -> None:
    words = Counter(re.findall(r"^\*\*(DANGER|WARNING|CAUTION|NOTICE): ", safety_page, re.M))
    assert words == {"DANGER": 4, "WARNING": 11, "CAUTION": 3, "NOTICE": 1}
    assert len(re.findall(r"^- ", safety_page.split("## Stop here")[1], re.M)) == 14
    assert "<" not in safety_page


def test_magnet_words_are_those_of_the_table(cards: dict[str, Card], tables: dict[str, Table]) -> None:
    rows = {str(row.cells["grade"]): row.cells for row in tables["magnet-grade"].rows}
    for no in ("P01", "P02"):
        field = next(one for one in cards[no].record if one.id == "magnet")
        assert field.words == tuple(rows)
        for option in field.options:
            means = (option.means or "").lower()
            assert str(rows[option.word]["seen"]).lower() in means, option
            # From slivers on: what has a shape came off a part that is going. Common practice, no source.
            assert option.stop == (int(option.word) >= 3), option
            if option.word == "4":
                assert "service manual or a workshop" in means
            else:
                assert str(rows[option.word]["do"]).lower() in means, option


@pytest.mark.parametrize("no", CARDS)
def test_stop_says_what_to_turn_to(cards: dict[str, Card], no: str) -> None:
    for field in cards[no].record:
        for option in field.options:
            means = option.means or ""
            assert means.startswith("Stop. ") == option.stop, option
            assert not option.stop or re.search(r"\b[Tt]urn to ", means), option
            assert len(re.findall(r"[.!?](?:\s|$)", means)) <= 3, option


def read_at(card: Card) -> dict[str, int]:
    return {name: step.no for step in card.steps for name in step.reads}


@pytest.mark.parametrize("no", CARDS)
def test_a_hold_can_be_judged_before_the_steps_it_blocks(cards: dict[str, Card], no: str) -> None:
    card = cards[no]
    at = read_at(card)
    for hold in card.holds:
        for name in hold.reads:
            for number in hold.blocks:
                assert at[name] in earlier(card, number), f"{no}: hold {hold.no} asks for {name} of step {at[name]}"


def test_what_is_judged_is_read_where_the_trade_reads_it(cards: dict[str, Card]) -> None:
    cover, plugs = read_at(cards["P01"]), read_at(cards["P02"])
    for at, lets_out, closes in ((cover, 6, 13), (plugs, 6, 8)):
        # Before anything is wiped, while the housing or the plug lies open.
        assert all(lets_out < at[name] < closes for name in ("colour", "smell", "water", "magnet"))
        assert at["level-found"] < lets_out, "the level before the oil leaves"
        assert at["volume-out"] < at["volume-in"]
    assert cover["cloths-in"] < cover["cloths-out"] < 13
    assert {cover[name] for name in ("air-temp", "humidity", "metal-temp")} == {12}, "at the faces, after the last wipe"


def test_counts_are_counts_and_amounts_have_units(cards: dict[str, Card]) -> None:
    for card in cards.values():
        entry = {field.id: field.entry for field in card.record}
        assert all(entry.get(name, "count") == "count" for name in ("cloths-in", "cloths-out"))
        amounts = ("air-temp", "humidity", "metal-temp", "volume-in")
        assert all(entry.get(name, "amount") == "amount" for name in amounts)
        assert entry.get("water", "pick") == "pick"
        assert entry.get("litres-why", "text") == "text"
