"""The demo garage is invented, so its facts have no published source; what follows from them has, where named."""

from __future__ import annotations

import pytest
from scipy import constants

from fillmark.model.site import Table
from fillmark.model.vehicle import Unit, Vehicle

# NIST SP 811, App. B: imperial pint an eighth of the gallon of 4.54609 L, US liquid pint an eighth of 231 cubic inches.
LITRES = {"L": 1.0, "mL": 0.001, "imp pt": constants.gallon_imp / 8 * 1000, "US pt": constants.gallon_US / 8 * 1000}


def litres(unit: Unit, role: str) -> float:
    amount = unit.fills[role].value  # type: ignore[index]
    return amount.value * LITRES[amount.unit]


def all_units(garage: dict[str, Vehicle]) -> dict[str, Unit]:
    return {unit.code: unit for vehicle in garage.values() for unit in vehicle.units.values()}


def test_three_invented_vehicles(garage: dict[str, Vehicle]) -> None:
    assert {one.name for one in garage.values()} == {"Ardmoor Thornback", "Pellister Drystone", "Skarholt Wicket"}
    assert all(one.invented and "Invented" in (one.note or "") for one in garage.values())
    assert [garage[one].odometer.reading.text for one in ("thornback", "drystone", "wicket")] == [
        "112380 mi", "214600 km", "1450 mi"]
    assert garage["wicket"].odometer.rollovers == 1


def test_every_unit_is_there(garage: dict[str, Vehicle]) -> None:
    codes = [unit.code for vehicle in garage.values() for unit in vehicle.units.values()]
    assert len(codes) == len(set(codes))
    assert set(codes) == {
        "TB-RA", "TB-FA", "TB-TC", "TB-AT", "TB-EN", "TB-CO", "TB-WH", "TB-ALL",
        "DS-RA", "DS-FA", "DS-MT", "DS-TC", "DS-BR", "DS-WH", "DS-ALL",
        "WK-RA", "WK-FA", "WK-GB", "WK-BT", "WK-WH", "WK-ALL",
    }
    for vehicle in garage.values():
        assert [unit.kind for unit in vehicle.units.values()].count("vehicle") == 1


@pytest.mark.parametrize(("code", "role", "typed", "state"), [
    ("TB-RA", "refill", "2.35 L", "verified"),
    ("TB-RA", "dry", "2.50 L", "verified"),
    ("TB-RA", "additive", "150 mL", "verified"),
    ("TB-FA", "refill", "1.45 L", "verified"),
    ("TB-FA", "dry", "1.55 L", "verified"),
    ("TB-TC", "refill", "1.30 L", "verified"),
    ("TB-AT", "refill", "4.2 L", "verified"),
    ("TB-AT", "dry", "9.6 L", "verified"),
    ("TB-EN", "refill", "5.7 L", "verified"),
    ("TB-CO", "refill", "8.1 L", "verified"),
    ("TB-CO", "dry", "11.4 L", "verified"),
    ("DS-RA", "refill", "2.60 L", "verified"),
    ("DS-FA", "refill", "1.10 L", "conflict"),
    ("DS-MT", "refill", "2.40 L", "verified"),
    ("DS-TC", "refill", "1.10 L", "unverified"),
    ("WK-RA", "refill", "2.2 imp pt", "verified"),
    ("WK-FA", "refill", "2.0 imp pt", "plausible"),
    ("WK-FA", "swivel-each", "0.35 L", "plausible"),
    ("WK-GB", "refill", "2.5 imp pt", "plausible"),
])
def test_capacity(garage: dict[str, Vehicle], code: str, role: str, typed: str, state: str) -> None:
    figure = all_units(garage)[code].fills[role]  # type: ignore[index]
    assert (figure.value.text, figure.state) == (typed, state)


@pytest.mark.parametrize(("code", "role", "count", "thread", "typed", "state"), [
    ("TB-RA", "cover", 10, "M8×1.25", "26 N·m", "verified"),
    ("TB-FA", "cover", 10, "M8×1.25", "26 N·m", "plausible"),
    ("TB-RA", "fill-plug", 1, "M18×1.5", "45 N·m", "unverified"),
    ("TB-AT", "pan", 14, "M6×1", "10 N·m", "plausible"),
    ("TB-TC", "fill-plug", 1, "M18×1.5", "32 N·m", "plausible"),
    ("TB-TC", "drain-plug", 1, "M18×1.5", "32 N·m", "plausible"),
    ("TB-EN", "drain-plug", 1, "M14×1.5", "33 N·m", "plausible"),
    ("TB-WH", "wheel", 5, "1/2-20", "122 N·m", "plausible"),
    ("DS-RA", "fill-plug", 1, "M18×1.5", "49 N·m", "plausible"),
    ("DS-FA", "drain-plug", 1, "M18×1.5", "49 N·m", "plausible"),
    ("DS-WH", "wheel", 6, "M12×1.5", "113 N·m", "plausible"),
    ("WK-RA", "drain-plug", 1, "taper 1/2", "27 N·m", "plausible"),
    ("WK-WH", "wheel", 5, "9/16-18", "100 N·m", "plausible"),
    ("WK-FA", "hub-seat", 1, "M38×1.5", "40 N·m", "plausible"),
    ("WK-FA", "hub-lock", 1, "M38×1.5", "60 N·m", "plausible"),
])
def test_torque(
    garage: dict[str, Vehicle], code: str, role: str, count: int, thread: str, typed: str, state: str
) -> None:
    group = all_units(garage)[code].fasteners[role]  # type: ignore[index]
    assert (group.count, group.thread, group.torque.value.text, group.torque.state) == (count, thread, typed, state)


def test_groups_are_tightened_by_stages_and_single_plugs_are_not(garage: dict[str, Vehicle]) -> None:
    # 50, 75, 100 %: common practice, no source.
    for unit in all_units(garage).values():
        for group in unit.fasteners.values():
            stages = [stage.value for stage in group.stages]
            assert stages == ([] if group.count == 1 else [50, 75, 100]), group.name
            assert (group.pattern == "single") == (group.count == 1)


def test_a_refill_never_exceeds_the_dry_fill(garage: dict[str, Vehicle]) -> None:
    both = [unit for unit in all_units(garage).values() if "dry" in unit.fills]
    assert len(both) == 4
    for unit in both:
        assert litres(unit, "refill") <= litres(unit, "dry"), unit.code


def test_additive_is_a_few_per_cent_of_the_refill(garage: dict[str, Vehicle]) -> None:
    # At most 15 % of the fill: common practice, no source.
    unit = all_units(garage)["TB-RA"]
    assert unit.fluid is not None
    assert unit.fluid.additive == "separate"
    assert litres(unit, "additive") / litres(unit, "refill") == pytest.approx(0.064, abs=0.0005)


def test_imperial_pints_by_exact_definition(garage: dict[str, Vehicle]) -> None:
    # NIST SP 811 (2008), Appendix B.8: 1 UK gallon = 4.546 09 L, 1 US liquid pint = 0.473 1765 L.
    units = all_units(garage)
    assert litres(units["WK-RA"], "refill") == pytest.approx(2.2 * 4.54609 / 8, rel=1e-12)
    assert f"{litres(units['WK-RA'], 'refill'):.2f}" == "1.25"
    assert f"{litres(units['WK-FA'], 'refill'):.2f}" == "1.14"
    assert f"{litres(units['WK-GB'], 'refill'):.2f}" == "1.42"
    short = 1 - LITRES["US pt"] / LITRES["imp pt"]
    assert f"{short:.0%}" == "17%"
    assert "17 % short" in (units["WK-RA"].fills["refill"].note or "")


def test_conflict_keeps_both_values(garage: dict[str, Vehicle]) -> None:
    figure = all_units(garage)["DS-FA"].fills["refill"]
    rivals = [(one.value.text, one.source, one.date) for one in figure.other]
    assert rivals == [("1.35 L", "owner-measured", "2024-04-13")]
    # Sources that differ by more than 5 % are a conflict: rule of the house.
    assert figure.other[0].value.value / figure.value.value - 1 > 0.05


def test_level_rule_only_where_it_is_known(garage: dict[str, Vehicle]) -> None:
    ruled = {code: unit.level for code, unit in all_units(garage).items() if unit.level}
    assert set(ruled) == {"TB-RA", "TB-FA"}
    assert all((rule.low.text, rule.high.text) == ("0 mm", "10 mm") for rule in ruled.values())


def test_ratio_agrees_with_the_teeth_on_the_tag(garage: dict[str, Vehicle]) -> None:
    # Ring teeth over pinion teeth; 41/11 is printed as 3.73 in public axle tables.
    toothed = [unit for unit in all_units(garage).values() if unit.ring_teeth and unit.pinion_teeth]
    assert {unit.code for unit in toothed} == {"TB-RA", "DS-RA"}
    for unit in toothed:
        assert unit.ring_teeth and unit.pinion_teeth
        assert unit.ring_teeth / unit.pinion_teeth == pytest.approx(unit.ratio, abs=0.005)


def test_front_and_rear_ratio_agree(garage: dict[str, Vehicle]) -> None:
    axles = garage["thornback"].units
    assert axles["front-axle"].ratio == axles["rear-axle"].ratio


def test_tyre_factor_follows_from_the_size_codes(garage: dict[str, Vehicle]) -> None:
    # Overall diameter = 2 · width · aspect/100 + 25.4 · rim: the size code itself; public tyre calculators agree on it.
    first, second = garage["thornback"].tyre_eras

    def diameter(size: str) -> float:
        width, rest = size.split("/")
        aspect, rim = rest.split("R")
        return 2 * float(width) * float(aspect) / 100 + 25.4 * float(rim)

    assert second.factor == pytest.approx(diameter(second.size) / diameter(first.size), abs=5e-5)


def test_cover_and_pan_torques_keep_below_the_ceiling(garage: dict[str, Vehicle], tables: dict[str, Table]) -> None:
    # Ceiling: K 0.20 dry and 75 % of proof (ISO 898-1), which charts printed in equipment manuals round by up to 5 %;
    # the invented 26 N·m is such a rounding of 25.5. Floor: 30 % of proof, rule of the house against a wrong unit.
    ceiling = {
        (str(row.cells["thread"]), str(row.cells["class"])): float(row.cells["ceiling"])
        for row in tables["bolt-torque-ceiling"].rows
    }
    classed = [group for unit in all_units(garage).values() for group in unit.fasteners.values() if group.strength]
    assert len(classed) == 3
    for group in classed:
        limit = ceiling[group.thread, str(group.strength)]
        assert 0.30 * limit / 0.75 <= group.torque.value.value <= 1.05 * limit, group.name
