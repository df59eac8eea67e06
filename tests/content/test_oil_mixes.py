"""Mixes of oils and what is poured of them: a second blending method, scipy's brentq, exact fractions, pint and scipy
for measures. Each figure that was published names its source beside it.
"""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pint
import pytest
from scipy import constants, optimize

from answers import SITE, answer, refusals, says, slips
from oils import CHOICES, J306, mm2, results

# -- Blending -----------------------------------------------------------------------------------------------------

def refutas(kv: float) -> float:
    """Return the blending number of Refutas, both logarithms natural (Maples, Petroleum Refinery Process Economics)."""
    return 14.534 * math.log(math.log(kv + 0.8)) + 10.975


def refutas_blend(one: float, other: float, share: float) -> float:
    number = share * refutas(one) + (1 - share) * refutas(other)
    return math.exp(math.exp((number - 10.975) / 14.534)) - 0.8


def test_the_reference_method_itself() -> None:
    # Public pages print 12.492 and 5.008 for 2.234 mm²/s. The first slips in its fourth figure, the second takes a
    # decimal logarithm for one of the two.
    assert refutas(2.234) == pytest.approx(12.4902, abs=5e-5)
    assert abs(refutas(2.234) - 12.492) > 1e-3 and abs(refutas(2.234) - 5.008) > 7
    assert refutas(5) == pytest.approx(19.1736, abs=5e-5) and refutas(20) == pytest.approx(27.1106, abs=5e-5)


def mixed(one: float, other: float, share: float) -> dict[str, float]:
    found = results("mix-two-oils", part_a=f"{share:.15f} L", part_b=f"{1 - share:.15f} L", kv_a=mm2(one),
                    kv_b=mm2(other))
    return {name: found[name] * 1e6 for name in ("exact", "plain")}


# Worked out apart from this code with the equation of ASTM D7152: no published example with figures was found.
@pytest.mark.parametrize(("one", "other", "share", "astm", "second"), [
    (5, 20, 0.6, 8.0813, 8.1085), (68, 460, 0.5, 162.199, 162.256), (14.5, 26, 0.5, 19.1805, 19.1862),
])
def test_blend_vectors(one: float, other: float, share: float, astm: float, second: float) -> None:
    got = mixed(one, other, share)["exact"]
    assert got == pytest.approx(astm, rel=7e-6)  # half the last digit printed
    assert refutas_blend(one, other, share) == pytest.approx(second, rel=7e-6)
    assert got == pytest.approx(second, rel=4e-3)


def test_the_blend_against_refutas() -> None:
    """Gear oils of all grades that are offered, 500 pairs: two methods with other constants agree within 0.4 %."""
    chance = random.Random(7153)
    for _ in range(500):
        one, other, share = chance.uniform(8.5, 32.5), chance.uniform(8.5, 32.5), chance.uniform(0.01, 0.99)
        got = mixed(one, other, share)
        assert got["exact"] == pytest.approx(refutas_blend(one, other, share), rel=4e-3)
        # A plain average is never below the blend: the classic slip always says too thick.
        assert min(one, other) * (1 - 1e-9) <= got["exact"] <= got["plain"] * (1 + 1e-9) <= max(one, other) * (1 + 2e-9)


def test_the_plain_average_names_the_wrong_grade() -> None:
    inputs = {"part_a": "0.75 L", "part_b": "1 L", "kv_a": "25.5 mm²/s", "kv_b": "14.5 mm²/s"}
    assert says("mix-two-oils", "exact", **inputs) == "SAE 90" and says("mix-two-oils", "plain", **inputs) == "SAE 110"
    assert "Viscosities do not average" in slips("mix-two-oils", **inputs)
    assert not slips("mix-two-oils", **inputs | {"kv_a": "14.6 mm²/s"})


def test_a_mix_by_grade_holds_every_oil_of_the_two_grades() -> None:
    chance = random.Random(7154)
    for _ in range(300):
        one, other = chance.choice(CHOICES), chance.choice(CHOICES)
        share = chance.uniform(0.02, 0.98)
        found = results("mix-two-oils", part_a=f"{share!r} L", part_b=f"{1 - share!r} L", grade_a=f"sae-{one}",
                        grade_b=f"sae-{other}", kv_a=mm2(chance.uniform(*J306[f"SAE {one}"])),
                        kv_b=mm2(chance.uniform(*J306[f"SAE {other}"])))
        assert found["thin"] * (1 - 1e-12) <= found["exact"] <= found["thick"] * (1 + 1e-12)


def test_140_topped_into_90_is_90_or_110_and_never_140() -> None:
    """Three parts of any 140 in four of any 90; half and half of the two thickest would touch 140."""
    chance = random.Random(7155)
    inputs = {"grade_a": "sae-140", "grade_b": "sae-90", "part_a": "0.75 L", "part_b": "1 L"}
    assert says("mix-two-oils", "thin", **inputs) == "SAE 90" and says("mix-two-oils", "thick", **inputs) == "SAE 110"
    seen = {says("mix-two-oils", "exact", **inputs, kv_a=mm2(chance.uniform(24, 32.49)),
                 kv_b=mm2(chance.uniform(13.5, 18.49))) for _ in range(300)}
    assert seen == {"SAE 90", "SAE 110"}
    assert says("mix-two-oils", "thick", **inputs | {"part_a": "1 L"}) == "SAE 140"


@pytest.mark.parametrize("grade", CHOICES)
def test_two_oils_of_one_grade_stay_in_it(grade: str) -> None:
    inputs = {"grade_a": f"sae-{grade}", "grade_b": f"sae-{grade}", "part_a": "0.3 L", "part_b": "1.7 L"}
    assert says("mix-two-oils", "thin", **inputs) == says("mix-two-oils", "thick", **inputs) == f"SAE {grade}"


# SAE J306: a 75W must flow at −40 °C, an 80W at −26 °C; API 1560 ranks the loads of GL-5 above those of GL-4.
def test_winter_letter_and_category_are_the_poorer_of_the_two() -> None:
    letters = {"w75": "75W", "w80": "80W", "w85": "85W", "none": "no W grade"}
    categories = {"other": "not known", "gl-4": "GL-4", "gl-5": "GL-5"}
    for first, one in enumerate(letters):
        for second, other in enumerate(letters):
            assert says("mix-two-oils", "winter", winter_a=one, winter_b=other) == list(letters.values())[
                max(first, second)]
    for first, one in enumerate(categories):
        for second, other in enumerate(categories):
            inputs = {"category_a": one, "category_b": other}
            assert says("mix-two-oils", "category", **inputs) == list(categories.values())[min(first, second)]
            assert ("GL-4" in slips("mix-two-oils", **inputs)) == (one != other)
    assert any("GL-5 is not a straight upgrade" in str(say) for say in SITE.calculators["mix-two-oils"].cautions)


def test_a_data_sheet_outside_its_grade_is_said() -> None:
    inputs = {"grade_a": "sae-140", "grade_b": "sae-90", "kv_b": "14.5 mm²/s"}
    for kv, told in ((23.99, True), (24.0, False), (32.5, False), (32.51, True)):
        found = slips("mix-two-oils", **inputs, kv_a=mm2(kv))
        assert ("Oil A of" in found) == told and "Oil B of" not in found


# -- The share for a target ---------------------------------------------------------------------------------------

def test_share_against_brentq() -> None:
    chance = random.Random(7156)
    for _ in range(200):
        thin, thick = sorted((chance.uniform(5, 60), chance.uniform(5, 60)))
        target = chance.uniform(thin, thick)
        expected = optimize.brentq(lambda x: mixed(thick, thin, x)["exact"] - target, 1e-12, 1 - 1e-12)  # noqa: B023
        inputs = {"target": mm2(target), "thick": mm2(thick), "thin": mm2(thin), "total": "2.35 L"}
        got = answer("two-oil-proportion", "%", "share", **inputs) / 100
        assert got == pytest.approx(expected, abs=1e-9)
        poured = [answer("two-oil-proportion", "L", name, **inputs) for name in ("pour_a", "pour_b")]
        assert sum(poured) == pytest.approx(2.35) and poured[0] == pytest.approx(2.35 * expected, abs=1e-8)


def test_share_of_a_68_in_a_460_for_100() -> None:
    # Worked out apart from this code: 0.76702 of the 68.
    got = answer("two-oil-proportion", "1", "share", target="100 mm²/s", thick="460 mm²/s", thin="68 mm²/s")
    assert 1 - got == pytest.approx(0.76702, abs=5e-6)


@pytest.mark.parametrize("target", ["14.4", "26.1", "60"])
def test_a_target_outside_the_two_oils_is_refused(target: str) -> None:
    assert refusals("two-oil-proportion", target=f"{target} mm²/s", thick="26 mm²/s", thin="14.5 mm²/s")


def test_a_target_between_the_two_oils_is_not_refused() -> None:
    for target in ("14.5", "20", "26"):
        assert not refusals("two-oil-proportion", target=f"{target} mm²/s", thick="26 mm²/s", thin="14.5 mm²/s")
    assert refusals("two-oil-proportion", target="20 mm²/s", thick="20 mm²/s", thin="20 mm²/s")


def test_a_share_that_is_sure_is_sure_for_every_oil() -> None:
    """All wanted, thicker and thinner grades: between the two shares no oil misses, outside them one does."""
    chance = random.Random(7157)
    sure = 0
    for at, thick in enumerate(CHOICES):
        for thin in CHOICES[:at]:
            for wanted in CHOICES[CHOICES.index(thin):at + 1]:
                inputs = {"grade_t": f"sae-{wanted}", "grade_a": f"sae-{thick}", "grade_b": f"sae-{thin}"}
                found = results("two-oil-proportion", **inputs)
                low, high = found["enough"], found["above"]
                word = says("two-oil-proportion", "sure", **inputs)
                assert word.startswith("any share") == (low <= high + 1e-12), inputs
                assert not refusals("two-oil-proportion", **inputs)
                (a_least, a_limit), (b_least, b_limit) = J306[f"SAE {thick}"], J306[f"SAE {thin}"]
                least, limit = J306[f"SAE {wanted}"]
                if 0.001 < low < 1:
                    assert mixed(a_least, b_least, low - 0.001)["exact"] < least
                if 0 < high < 0.999:
                    assert mixed(a_limit, b_limit, high + 0.001)["exact"] > limit
                if low + 0.001 < high:
                    sure += 1
                    for _ in range(20):
                        share = chance.uniform(max(low, 1e-6), min(high, 1 - 1e-6))
                        kv = mixed(chance.uniform(a_least, a_limit), chance.uniform(b_least, b_limit), share)["exact"]
                        assert least * (1 - 1e-9) <= kv < limit
    assert sure >= 1


@pytest.mark.parametrize(("wanted", "thick", "thin"), [("140", "110", "90"), ("80", "110", "90"), ("90", "90", "90")])
def test_a_grade_outside_the_two_grades_is_refused(wanted: str, thick: str, thin: str) -> None:
    assert refusals("two-oil-proportion", grade_t=f"sae-{wanted}", grade_a=f"sae-{thick}", grade_b=f"sae-{thin}")


# -- Additive, partial change -------------------------------------------------------------------------------------

def test_additive_step_by_step() -> None:
    chance = random.Random(7158)
    for _ in range(200):
        refill, dose, step = chance.uniform(500, 5000), chance.uniform(0, 300), chance.uniform(5, 200)
        steps = chance.randrange(11)
        inside = dose
        for _ in range(steps):
            inside += step - inside * step / refill
        found = results("ls-additive", refill=f"{refill!r} mL", dose=f"{dose!r} mL", label="150 mL", oil="plain",
                        step=f"{step!r} mL", steps=f"{steps} 1")
        assert found["after"] * 1e6 == pytest.approx(inside, rel=1e-9, abs=1e-9)
        assert found["oil_pour"] * 1e6 == pytest.approx(refill - dose)
        assert found["share_after"] == pytest.approx(inside / refill, rel=1e-9, abs=1e-12)


# Pints: NIST SP 811, appendix B.8. 2.2 imp pt filled from a jug of US pints is the axle that stays short.
@pytest.mark.parametrize(("inputs", "first"), [
    ({"dose": "149 mL", "oil": "plain"}, "{dose} is less than the label asks"),
    ({"dose": "150 mL", "oil": "plain"}, ""), ({"dose": "0 mL", "oil": "ls"}, ""),
    ({"dose": "10 mL", "oil": "ls"}, "Oil marked for limited slip"),
    ({"dose": "150 mL", "oil": "plain", "steps": "1 1", "most": "190 mL"}, "{after} is more than the label allows"),
    ({"dose": "150 mL", "oil": "plain", "steps": "1 1", "most": "200 mL"}, ""),
    ({"dose": "150 mL", "oil": "plain", "noted": "1.957 L"}, "{noted} for {refill} is a US pint"),
    ({"dose": "150 mL", "oil": "plain", "noted": "2.30 L"}, ""),
])
def test_slips_of_the_additive(inputs: dict[str, str], first: str) -> None:
    found = slips("ls-additive", refill="2.35 L", label="150 mL", step="50 mL", **{"steps": "0 1"} | inputs)
    assert bool(found) == bool(first) and found.startswith(first)


# Exercises of arithmetic textbooks: 40 L, 4 L taken and made up three times, 29.16 L left; 50 L and 5 L, 36.45 L.
@pytest.mark.parametrize(("total", "each", "changes", "left"), [(40, 4, 3, 29.16), (50, 5, 3, 36.45), (40, 4, 2, 32.4)])
def test_repeated_dilution_of_the_textbooks(total: int, each: int, changes: int, left: float) -> None:
    found = results("partial-change", total=f"{total} L", each=f"{each} L", target="90 %", changes=f"{changes} 1")
    assert found["left"] * total == pytest.approx(left, abs=1e-9) and found["fresh"] == pytest.approx(1 - left / total)


def test_number_of_changes_by_doing_them() -> None:
    """Exact fractions, change after change, until the target is reached."""
    for tenths in range(1, 10):
        for target in (1, 10, 25, 50, 60, 75, 80, 90, 95, 99):
            kept, fresh, changes = 1 - Fraction(tenths, 10), Fraction(0), 0
            while fresh < Fraction(target, 100):
                changes += 1
                fresh = 1 - kept ** changes
            got = answer("partial-change", "1", "needed", total="10 L", each=f"{tenths} L", target=f"{target} %")
            assert got == changes, (tenths, target)
    assert answer("partial-change", "1", "needed", total="9.6 L", each="9.6 L", target="99.9 %") == 1


def test_half_a_change_and_too_much_of_one_are_refused() -> None:
    inputs = {"total": "9.6 L", "each": "4.2 L", "target": "90 %"}
    assert refusals("partial-change", **inputs, changes="2.5 1") and not refusals("partial-change", **inputs)
    assert not refusals("partial-change", **inputs, changes="3 1")
    assert refusals("partial-change", **inputs | {"each": "9.7 L"}, changes="1 1")


def test_adding_up_volumes_is_the_slip() -> None:
    inputs = {"total": "9.6 L", "each": "4.2 L", "target": "90 %"}
    # 3 · 4.2 L is 131 % of the unit, and 82.2 % fresh; five do reach 90 %, two do not even add up to it.
    found = {changes: bool(slips("partial-change", **inputs, changes=f"{changes} 1")) for changes in range(7)}
    assert found == {0: False, 1: False, 2: False, 3: True, 4: True, 5: False, 6: False}


# -- Volumes ------------------------------------------------------------------------------------------------------

PINT = {
    "L": "litre", "mL": "millilitre", "US qt": "US_liquid_quart", "US pt": "US_pint", "US fl oz": "US_fluid_ounce",
    "US gal": "US_liquid_gallon", "imp qt": "imperial_quart", "imp pt": "imperial_pint",
    "imp fl oz": "imperial_fluid_ounce", "imp gal": "imperial_gallon",
}
SCIPY = {
    "L": constants.liter, "mL": constants.milli * constants.liter, "US gal": constants.gallon_US,
    "US qt": constants.gallon_US / 4, "US pt": constants.gallon_US / 8, "US fl oz": constants.fluid_ounce_US,
    "imp gal": constants.gallon_imp, "imp qt": constants.gallon_imp / 4, "imp pt": constants.gallon_imp / 8,
    "imp fl oz": constants.fluid_ounce_imp,
}


def test_every_measure_against_pint_and_scipy() -> None:
    registry = pint.UnitRegistry()
    shown = SITE.calculators["volumes"].outputs["litres"]
    assert {shown.unit, *shown.also} == set(PINT) == set(SCIPY)
    for unit in PINT:
        for other in PINT:
            got = answer("volumes", other, "litres", volume=f"3.4 {unit}")
            assert got == pytest.approx(registry.Quantity(3.4, PINT[unit]).to(PINT[other]).magnitude, rel=1e-12)
            assert got == pytest.approx(3.4 * SCIPY[unit] / SCIPY[other], rel=1e-9)


# NIST SP 811, appendix B.8, and the factors that follow from it; each printed to its last digit.
@pytest.mark.parametrize(("unit", "per_litre"), [
    ("US qt", 1.0566882), ("US fl oz", 33.814023), ("imp pt", 1.7597540),
])
def test_measures_of_a_litre(unit: str, per_litre: float) -> None:
    assert answer("volumes", unit, "litres", volume="1 L") == pytest.approx(per_litre, rel=3e-8)


@pytest.mark.parametrize(("volume", "jug", "part"), [
    ("2.2 imp pt", "1.04 L", "US pint for every imperial"), ("2.2 imp pt", "2.2 US pt", "US pint for every imperial"),
    ("2.2 US pt", "2.2 imp pt", "imperial pint for every US"), ("1 US qt", "1 imp qt", "imperial pint for every US"),
    ("2.2 imp pt", "1.25 L", ""), ("2.35 L", "2.3 L", ""), ("2.35 L", "1.7 L", ""),
])
def test_pints_of_the_other_country_are_caught(volume: str, jug: str, part: str) -> None:
    found = slips("volumes", volume=volume, jug=jug)
    assert bool(found) == bool(part) and part in found
