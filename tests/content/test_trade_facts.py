"""What the trade takes as known, used to see that our rules let it pass. Common practice, no source, all of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from fillmark import load, validate
from fillmark.checks.ceiling import LEAST, MOST, ceiling
from fillmark.checks.vehicles import ADDITIVE_MOST
from fillmark.model.amount import TorqueFigure, parse_amount
from fillmark.model.card import predecessors
from fillmark.model.site import Site
from fillmark.model.vehicle import FastenerGroup

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found is not None, problems
    return found


def cover(thread: str, grade: str, torque: str) -> FastenerGroup:
    figure = TorqueFigure(value=parse_amount(torque), source="common-practice", state="unverified")
    return FastenerGroup(name="Cover", count=10, thread=thread, **{"class": grade}, torque=figure, thread_state="dry",
                         pattern="ring")


@pytest.mark.parametrize(("torque", "passes"), [("30 lb·ft", True), ("25 lb·ft", True), ("30 N·m", True),
                                                ("60 lb·ft", False), ("5 lb·ft", False)])
def test_cover_bolts_of_a_mid_size_axle(site: Site, torque: str, passes: bool) -> None:
    # 30 lb·ft stated, 25 lb·ft often used on old bolts: common practice, no source. 3/8-16 grade 5 bolts.
    group = cover("3/8-16", "Grade 5", torque)
    most = ceiling(site, site.calculators["torque-ceiling"], group)
    assert most is not None
    assert (LEAST <= site.units.si(group.torque.value) / most <= MOST) == passes


def test_additive_of_a_clutch_limited_slip(site: Site) -> None:
    # 4 fl oz in a 2 US qt fill is 6.25 %: common practice, no source. The check lets it pass, and not three times it.
    share = site.units.si(parse_amount("4 US fl oz")) / site.units.si(parse_amount("2 US qt"))
    assert share == pytest.approx(0.0625, rel=1e-12)
    assert share < ADDITIVE_MOST < 3 * share


def test_severe_use_comes_round_in_two_to_three_years(site: Site) -> None:
    # Severe use 2-3 years, highway use up to 50 000 mi: common practice, no source.
    rule = next(rule for rule in site.rules.service if "axle-cover" in rule.kinds)
    assert 24 <= rule.months * rule.severe_factor <= 36
    assert rule.distance is not None
    assert site.units.convert(rule.distance.value, rule.distance.unit, "mi") <= 50_000


def test_formed_sealant_sets_before_torque_and_again_before_oil(site: Site) -> None:
    # Finger-tight, an hour, torque, half an hour more, then fill: one practice, no source; the label gives the times.
    card = next(card for card in site.cards.values() if card.no == "P01")
    steps = {step.no: step for step in card.steps}
    bead = next(step for step in card.steps if "sealant" in step.variants and "bead" in step.variants["sealant"].do)
    torque = next(step for step in card.steps if (bead.no, False) in predecessors(step))
    fill = next(step for step in card.steps if (torque.no, False) in predecessors(step))
    assert "{torque.cover}" in torque.variants["sealant"].do
    assert "fill.refill" in fill.shows or "{fill.refill}" in (fill.do or "")
    for step in (bead, torque):
        sealant = steps[step.no].variants["sealant"]
        assert sealant.wait_kind == "set"
        assert sealant.label_time, "the wait is the label's, not ours"
        assert sealant.wait is not None
        assert sealant.wait.value >= 30
