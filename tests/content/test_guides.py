"""The two guides: the words of the records, sizes as the tables and the calculator have them, rungs in a safe order.

Trade facts: common practice, no source, unless a line names one.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest

from answers import SITE, answer
from content.conftest import read
from fillmark.model.card import Card
from fillmark.model.guide import Guide, Ladder, Sign
from fillmark.model.site import Table

SIGNS = read("guides", Guide)["what-came-out"].signs
LADDERS = read("guides", Guide)["when-it-is-stuck"].ladders
BY_FIELD = [name for name, sign in SIGNS.items() if sign.field]
SIZES = ("M6", "M8", "M10", "M12", "1/4", "5/16", "3/8", "1/2")


def first_column(table: Table) -> list[str]:
    return [str(row.cells[table.columns[0].id]) for row in table.rows]


def said(ladder: Ladder) -> list[str]:
    """Return what each rung says, stops and hold included."""
    return [" ".join((rung.hold or "", *rung.stop, rung.do)) for rung in ladder.rungs]


def rung_with(ladder: Ladder, words: str) -> int:
    """Return which rung is the first to say this, the first one being 1."""
    return next(at for at, rung in enumerate(ladder.rungs, 1) if re.search(words, rung.do))


# -- Signs ------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", BY_FIELD)
def test_the_words_are_those_of_the_record(cards: dict[str, Card], name: str) -> None:
    sign = SIGNS[name]
    field = next(one for one in cards[sign.card].record if one.id == sign.field)
    assert tuple(sign.words) == field.words
    # What a word means stands on the card; where the card is silent, the guide speaks; it never says stop by itself.
    for option in field.options:
        assert bool(option.means) != bool(sign.words[option.word].means), option.word
        assert not sign.words[option.word].stop


@pytest.mark.parametrize(("name", "table"), [("magnet", "magnet-grade"), ("table", "used-oil-signs")])
def test_the_words_are_those_of_the_table(tables: dict[str, Table], name: str, table: str) -> None:
    assert SIGNS[name].table == table
    assert list(SIGNS[name].words) == first_column(tables[table])


def test_every_shared_sign_of_wear_and_water_is_explained(cards: dict[str, Card]) -> None:
    explained = {sign.field for sign in SIGNS.values()} | {name for sign in SIGNS.values() for name in sign.record}
    assert {"colour", "smell", "water", "volume-out", "magnet", "teeth", "leak-grade", "debris-note",
            "water-in-column"} <= explained
    # All jars of the card after water are read by the same words.
    jars = [one for one in cards["P13"].record if one.id.startswith("jar-")]
    assert len(jars) == 6 and {jar.words for jar in jars} == {tuple(SIGNS["settled"].words)}


@pytest.mark.parametrize("name", SIGNS)
def test_what_is_written_down_is_a_field_of_the_card(cards: dict[str, Card], name: str) -> None:
    sign = SIGNS[name]
    known = {one.id for one in cards[sign.card].record}
    assert {*sign.record, *([sign.field] if sign.field else [])} <= known
    assert sign.field or sign.record


def test_what_has_a_form_is_drawn_and_no_two_words_of_a_sign_alike() -> None:
    formless = {"smell", "engine-smell", "gearbox-smell"}
    for name, sign in SIGNS.items():
        drawn = [word.draw for text, word in sign.words.items() if text not in ("not fitted", "not drawn")]
        assert all(drawn) != (name in formless), name
        assert name in formless or len({repr(one) for one in drawn}) == len(drawn) or name == "table", name


def test_the_worse_the_grade_the_more_is_drawn() -> None:
    grades = [word.draw for word in SIGNS["magnet"].words.values()]
    assert [getattr(one, "slivers", 0) > 0 for one in grades] == [False, False, False, True, False]
    assert [getattr(one, "chips", 0) > 0 for one in grades] == [False, False, False, False, True]
    leaks = [word.draw for word in SIGNS["leak"].words.values()]
    assert [(one.damp, one.bead, one.drops > 0) for one in leaks if one and one.draw == "leak"] == [
        (False, False, False), (True, False, False), (True, True, False), (True, True, True)]


def test_two_per_cent_of_a_column() -> None:
    looks = SIGNS["settled"].words["more than 2 % settled"].looks
    column, layer = (float(one) for one in re.findall(r"([\d.]+) mm", looks))
    assert layer / column == pytest.approx(0.02)


def test_a_tenth_is_what_the_cards_let_pass() -> None:
    # The hold of the cards asks why when litres differ by more than 10 %; the jugs are drawn on either side of it.
    shares = [word.draw.share for word in SIGNS["volume"].words.values() if word.draw and word.draw.draw == "jug"]
    assert shares[0] < 0.9 < shares[1] < 1.1 < shares[2]
    assert "tenth" in SIGNS["volume"].words["far under"].looks


@pytest.mark.parametrize(("name", "topic"), [
    ("bearing-noise", "support"), ("pump-noise", "exhaust-gas"), ("pump-noise", "spinning"), ("colour", "hot-oil"),
    ("magnet", "skin"), ("rollers", "air-line"), ("leak", "support"),
])
def test_a_look_that_can_hurt_is_warned_of(name: str, topic: str) -> None:
    assert topic in {one.topic for one in SIGNS[name].cautions}


def test_no_oil_is_heated_to_be_read() -> None:
    # Hot oil burns; the one card that does it outdoors has its own warnings.
    for sign in SIGNS.values():
        assert not re.search(r"hot plate|heat (it|the)", describes(sign))


def describes(sign: Sign) -> str:
    return " ".join((sign.look, *(word.looks for word in sign.words.values())))


# -- Sizes ------------------------------------------------------------------------------------------------------------

def test_the_common_sizes_are_there_with_every_pitch_of_the_tables(tables: dict[str, Table]) -> None:
    for name in ("bolt", "thread"):
        rows = [row for one in LADDERS[name].sizes for row in one.rows]
        wanted = [thread for one in LADDERS[name].sizes for thread in first_column(tables[one.table])
                  if re.split("[×-]", thread)[0] in SIZES]
        assert rows == wanted and len(rows) == 16


@pytest.mark.parametrize("which", ["thread-sizes-metric", "thread-sizes-inch"])
def test_what_a_ladder_shows_is_what_the_calculator_works_out(tables: dict[str, Table], which: str) -> None:
    sizes = [one for ladder in LADDERS.values() for one in ladder.sizes if one.table == which]
    shown = {column for one in sizes for column in one.columns}
    assert shown == {"thread", "drill", "insert-drill", "iron", "aluminium"}
    inch = which.endswith("inch")
    for row in tables[which].rows:
        thread = str(row.cells["thread"])
        size, lead = thread.split("-") if inch else thread[1:].split("×")
        given = {"form": "inch" if inch else "metric", "d": f"{float(Fraction(size))} {'in' if inch else 'mm'}",
                 "lead": f"{lead} 1"}
        for output, column in (("drill", "drill"), ("insert_drill", "insert-drill")):
            assert answer("thread-repair", "mm", output, **given) == pytest.approx(float(row.cells[column])), thread
        for parent in ("iron", "aluminium"):
            reach = answer("thread-repair", "in" if inch else "mm", "depth", **given, parent=parent)
            assert float(row.cells[parent]) == pytest.approx(reach, abs=0.0051 if inch else 0.01), thread
        # ISO 724 and ASME B1.1: the hole for a thread is its diameter less its pitch, here to the next tenth.
        mm = Fraction("25.4")
        exact = mm * (Fraction(size) - 1 / Fraction(lead)) if inch else Fraction(size) - Fraction(lead)
        assert float(row.cells["drill"]) == math.ceil(exact * 10) / 10, thread


def test_a_size_is_typed_in_no_ladder() -> None:
    for ladder in LADDERS.values():
        assert not re.search(r"\bM\d|\d/\d", " ".join(said(ladder)))


# -- Ladders ----------------------------------------------------------------------------------------------------------

def test_the_five_ladders() -> None:
    assert list(LADDERS) == ["cover", "plug", "bolt", "thread", "chatter"]
    assert [ladder.cards[0] for ladder in LADDERS.values()] == ["P01", "P19", "P19", "P19", "P21"]
    assert all("thread-repair" in LADDERS[name].work_out for name in ("bolt", "thread"))
    assert "ls-additive" in LADDERS["chatter"].work_out


@pytest.mark.parametrize("name", LADDERS)
def test_a_ladder_ends_where_a_workshop_begins(name: str) -> None:
    ladder = LADDERS[name]
    assert re.search(r"\b(workshop|leave)\b", ladder.rungs[-1].do, re.I)
    assert len(ladder.tell) >= 3 and ladder.done
    assert sum(len(rung.stop) for rung in ladder.rungs) >= 3
    for rung in ladder.rungs:
        for stop in rung.stop:
            assert stop[0].islower() and stop.endswith("."), "it goes on from “Stop if”"


def test_nothing_is_drained_before_a_way_to_fill_is_proved() -> None:
    first = LADDERS["plug"].rungs[0]
    assert first.hold and first.hold.startswith("Drain and open nothing until")
    assert any("Drain nothing" in stop for stop in LADDERS["plug"].rungs[-1].stop)
    cover = LADDERS["cover"].rungs[0]
    assert cover.hold == "Do not slacken a cover bolt until the fill plug is out."
    assert "two bolts at the top" in cover.do and "5 to 6 mm" in cover.do


def test_patience_before_force_before_heat() -> None:
    plug = LADDERS["plug"]
    order = [rung_with(plug, words) for words in (
        "Clean the recess", "two knocks", "penetrant", "warm", "hammer-in", "another way")]
    assert order == sorted(set(order))
    heat = plug.rungs[rung_with(plug, "warm") - 1]
    assert heat.hold and re.search("No heat until .*penetrant and fuel.* extinguisher", heat.hold)
    assert {"fire", "hot-oil"} <= {one.topic for one in heat.cautions}
    assert any("uel tank" in stop for stop in heat.stop)
    for ladder in LADDERS.values():
        for text in said(ladder):
            assert not re.search(r"\bflame\b", text) or re.search("Never with a flame|flame is all that is left", text)


def test_the_extractor_comes_after_the_drill_and_the_drill_after_the_punch() -> None:
    bolt = LADDERS["bolt"]
    order = [rung_with(bolt, words) for words in (
        "penetrant", "locking pliers", "punch", "left-hand drill", "extractor", "own thread")]
    assert order == sorted(set(order))
    for name in ("bolt", "thread"):
        ladder = LADDERS[name]
        cut = next(rung for rung in ladder.rungs if re.match("Drill", rung.do))
        assert cut.hold and "stopped against chips" in cut.hold
        assert any("off centre" in stop for stop in cut.stop)
        assert any("wheel, a brake or the steering" in stop for stop in ladder.rungs[0].stop)
    assert any("snapped off" in stop for stop in bolt.rungs[rung_with(bolt, "extractor") - 1].stop)


@pytest.mark.parametrize("name", ["plug", "bolt", "thread"])
def test_a_repair_is_proved_twice(name: str) -> None:
    assert any("full torque twice" in line for line in LADDERS[name].done)


def test_welding_is_no_rung() -> None:
    for ladder in LADDERS.values():
        for rung in ladder.rungs:
            assert not re.search(r"\bweld", rung.do)
            assert all("off the vehicle only" in stop and "chlorinated" in stop for stop in rung.stop if "weld" in stop)


def test_additive_in_steps_and_never_past_the_label() -> None:
    chatter = LADDERS["chatter"]
    step = chatter.rungs[rung_with(chatter, "Draw off") - 1]
    assert "25 to 50 mL" in step.do and "same measure" in step.do
    assert step.hold and "greatest dose on the label" in step.hold
    assert rung_with(chatter, "limited-slip") < rung_with(chatter, "figure-eights") < rung_with(chatter, "Draw off")
    assert "160 km" in chatter.says
    assert "driven-wheels" in {one.topic for one in chatter.cautions if one.severity == "danger"}


# -- The cards beside them --------------------------------------------------------------------------------------------

def test_the_sub_cards_serve_every_kind_that_calls_them(cards: dict[str, Card]) -> None:
    # A bleed screw is no plug: brakes are sent to a workshop, not to the ladders.
    for card in cards.values():
        for sub in card.see:
            target = SITE.cards[sub]
            kinds = set(card.applies.kinds) - ({"brakes", "battery"} if target.no in ("P19", "P25") else set())
            assert kinds <= set(target.applies.kinds) or "vehicle" in target.applies.kinds, (card.no, target.no)


def test_what_the_law_says_of_waste_is_left_to_local_rules(cards: dict[str, Card]) -> None:
    # 40 CFR 279.10(b)(1)(ii): above 1000 ppm of halogens used oil is presumed hazardous; households are apart.
    note = cards["P25"].source_note
    assert "1000 ppm" in note and "40 CFR 279" in note and "local rules win" in note
    chlorine = next(one for one in cards["P25"].record if one.id == "chlorinated")
    assert "Unknown counts as yes." in (chlorine.options[-1].means or "")
    assert "waste-chlorine" in cards["P25"].work_out


def test_the_rescue_card_takes_its_time_and_says_so(cards: dict[str, Card]) -> None:
    card = cards["P19"]
    assert "15 to 90 minutes" in card.source_note and "half an hour" in card.source_note
    guards = [(hold.guard, min(hold.blocks)) for hold in card.holds]
    assert guards == [("fill-plug-first", 2), ("energy", 4), ("seated", 8), ("count", 11)]
    assert card.steps[0].proves_fill and "drain nothing" in (card.steps[0].do or "")
    assert "to the figure again" in (card.steps[10].do or "")
