"""Grades of oil, viscosity over temperature and viscosity index against what is published: chemicals (MIT) holds the
table of ASTM D2270. Each figure names its source beside it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from typing import Any

import pytest
from chemicals import viscosity as reference

from answers import SITE, refusals, says, slips
from oils import CHOICES, J306, j306, mm2, results

# SAE J300 (2015, unchanged in 2021). Grade 20 began at 5.6 before 2013, and many public charts still say so.
J300 = {
    8: (4.0, 6.1), 12: (5.0, 7.1), 16: (6.1, 8.2), 20: (6.9, 9.3), 30: (9.3, 12.5), 40: (12.5, 16.3),
    50: (16.3, 21.9), 60: (21.9, 26.1),
}
# ISO 3448: the middle of each grade at 40 °C; the grade is 10 % either side of it.
ISO_VG = {
    2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8, 10: 10, 15: 15, 22: 22, 32: 32, 46: 46, 68: 68, 100: 100, 150: 150, 220: 220,
    320: 320, 460: 460, 680: 680, 1000: 1000,
}


def edges(table: Mapping[Any, tuple[float, float]]) -> list[float]:
    """Return every limit, a hundredth either side of it, and 60 figures between."""
    chance = random.Random(306)
    at = sorted({edge for span in table.values() for edge in span if edge < 900})
    return sorted({round(edge + off, 4) for edge in at for off in (-0.01, 0, 0.01)} | {
        round(chance.uniform(at[0], at[-1]), 3) for _ in range(60)})


# -- Grades -------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("kv", [kv for kv in edges(J306) if kv >= 3.8])
def test_gear_oil_grades_of_2019(kv: float) -> None:
    assert says("old-grade", "today", label="old-90", kv100=mm2(kv)) == j306(kv)
    if kv < 41:
        assert says("engine-grade", "gear", kv100=mm2(kv)) == j306(kv).replace("SAE", "gear oil")
    if kv >= 8.5:
        inputs = {"part_a": "1 L", "part_b": "1 L", "kv_a": mm2(kv), "kv_b": mm2(kv)}
        assert says("mix-two-oils", "exact", **inputs) == says("mix-two-oils", "plain", **inputs) == j306(kv)


def test_the_table_of_grades_says_the_same() -> None:
    rows = [row.cells for row in SITE.tables["gear-oil-grades"].rows]
    hot = {f"SAE {row['grade']}": (row["thin"], row["thick"]) for row in rows if "W" not in str(row["grade"])}
    assert {grade: (least, limit if limit < 900 else "–") for grade, (least, limit) in J306.items()} == hot
    for name, choices in (("mix-two-oils", ("grade_a", "grade_b")),
                          ("two-oil-proportion", ("grade_t", "grade_a", "grade_b"))):
        for choice in choices:
            options = SITE.calculators[name].picked()[choice].choices
            spans = {f"SAE {option.label}": tuple(given.value.value for given in option.gives.values())
                     for option in options.values()}
            assert spans == {grade: J306[grade] for grade in spans} and set(options) == {f"sae-{n}" for n in CHOICES}


# SAE J306, abstract of the edition of June 2005: 19.5 mm²/s was a 90 and became a 110; 90 had been 13.5 to 24.0 and
# 140 had been 24.0 to 41.0.
@pytest.mark.parametrize(("kv", "before", "today"), [
    (19.5, "SAE 90", "SAE 110"), (13.5, "SAE 90", "SAE 90"), (23.99, "SAE 90", "SAE 110"),
    (24.0, "SAE 140", "SAE 140"), (40.99, "SAE 140", "SAE 190"), (41.0, "SAE 250", "SAE 250"),
])
def test_grades_before_2005(kv: float, before: str, today: str) -> None:
    assert says("old-grade", "before", label="old-90", kv100=mm2(kv)) == before
    assert says("old-grade", "today", label="old-90", kv100=mm2(kv)) == today
    old = {"SAE 90": "old-90", "SAE 140": "old-140"}
    for word, label in old.items():
        assert bool(slips("old-grade", label=label, kv100=mm2(kv))) == (word != before)


@pytest.mark.parametrize("kv", edges(J300))
def test_engine_oil_grades_are_a_set(kv: float) -> None:
    fits = [grade for grade, (least, limit) in J300.items() if least <= kv < limit]
    said = says("engine-grade", "grades", kv100=mm2(kv))
    assert [int(word) for word in said.replace(",", "").split() if word.isdigit()] == fits or (
        not fits and said.startswith("none"))


# SAE J300, abstract of the edition of April 2013: grade 20 begins at 6.9. Charts that still print 5.6 are wrong today.
@pytest.mark.parametrize("kv", [5.6, 5.61, 6.0, 6.5, 6.89])
def test_the_old_20_is_no_20_today(kv: float) -> None:
    assert "20" not in says("engine-grade", "grades", kv100=mm2(kv))
    assert kv == 5.6 or slips("engine-grade", kv100=mm2(kv))
    assert not slips("engine-grade", kv100="6.9 mm²/s") and not slips("engine-grade", kv100="5.59 mm²/s")


@pytest.mark.parametrize("grade", ISO_VG)
def test_iso_vg_is_ten_per_cent_either_side(grade: int) -> None:
    middle = ISO_VG[grade]
    for share in (0.9, 0.95, 1, 1.05, 1.1):
        assert says("vg-grade", "grade", kv40=mm2(middle * share)) == f"ISO VG {grade}"
    assert says("vg-grade", "grade", kv40=mm2(middle * 0.8999)) != f"ISO VG {grade}"
    assert grade == 1000 or says("vg-grade", "grade", kv40=mm2(middle * 1.1001)).startswith(f"between VG {grade} and")


# -- Viscosity over temperature, viscosity index ------------------------------------------------------------------

def test_three_oils_are_worked_out_alike() -> None:
    chance = random.Random(341)
    for _ in range(100):
        kv100 = chance.uniform(2.5, 40)
        kv40, temp = kv100 * chance.uniform(2, 20), chance.uniform(0, 150)
        two = {"kv40": mm2(kv40), "kv100": mm2(kv100)}
        others = {f"{name}_{oil}": text for name, text in two.items() for oil in "bc"}
        found = results("viscosity", **two, **others, temp=f"{temp!r} °C", hot=f"{temp!r} °C")
        assert found["nu_b"] == found["nu_c"] == pytest.approx(found["nu"], rel=1e-9)
        assert found["nu_hot"] == pytest.approx(found["nu"], rel=1e-12)


def test_one_oil_does_not_wait_for_the_others() -> None:
    found = results("viscosity", kv40="140 mm²/s", kv100="14.5 mm²/s", temp="10 °C")
    assert found["nu"] * 1e6 == pytest.approx(1066.5, abs=0.5) and math.isnan(found["nu_b"])
    assert not refusals("viscosity", kv40="140 mm²/s", kv100="14.5 mm²/s", temp="10 °C")
    assert refusals("viscosity", kv40="140 mm²/s", kv100="14.5 mm²/s", kv40_c="10 mm²/s", kv100_c="10 mm²/s")
    assert slips("viscosity", coldest="-18 °C") and not slips("viscosity", coldest="0 °C")


def index(kv40: float, kv100: float) -> dict[str, float]:
    return results("viscosity-index", kv40=mm2(kv40), kv100=mm2(kv100))


# ASTM D2270, 5.1.4 and 6.1.4. The standard rounds H of 28.975 to 28.97 on its way and so has 156.37 before it rounds
# to 156; from the table itself it is 156.42, and 156 as well.
def test_index_of_the_standard_s_examples() -> None:
    first = index(73.30, 8.86)
    assert (first["l"], first["h"]) == (pytest.approx(119.94, abs=5e-3), pytest.approx(69.48, abs=5e-3))
    assert first["vi"] == pytest.approx(92.43, abs=5e-3)
    second = index(22.83, 5.05)
    assert second["h"] == pytest.approx(28.975, abs=1e-9) and round(second["vi"]) == 156
    power = round((math.log10(28.97) - math.log10(22.83)) / math.log10(5.05), 5)
    assert power == 0.14708 and round(10 ** power, 5) == 1.40307
    assert (1.40307 - 1) / 0.00715 + 100 == pytest.approx(156.37, abs=5e-3) == pytest.approx(second["vi"], abs=0.1)
    assert round(index(53.47, 7.80)["vi"]) == 111  # 6.1.4, second example; its answer from memory


def test_every_line_of_the_standard_s_table() -> None:
    """Points on a straight line are left out of ours; between its neighbours each must still be the printed one."""
    for y, low, high in zip(reference.VI_nus, reference.VI_Ls, reference.VI_Hs, strict=True):
        found = index(10 * low, y)
        assert (found["l"], found["h"]) == (pytest.approx(low, rel=1e-9), pytest.approx(high, rel=1e-9)), y


def test_index_against_chemicals() -> None:
    """Oils between an index of about −50 and 400, up to 200 mm²/s at 100 °C: one in four beyond the table."""
    chance = random.Random(342)
    for turn in range(1000):
        kv100 = chance.uniform(70, 200) if turn % 4 == 0 else math.exp(chance.uniform(math.log(2), math.log(70)))
        base = index(1e3, kv100)
        kv40 = max(chance.uniform(0.25 * base["h"], 1.5 * base["l"]), 1.01 * kv100)
        got, expected = index(kv40, kv100)["vi"], reference.viscosity_index(kv40 * 1e-6, kv100 * 1e-6)
        assert got == pytest.approx(expected, abs=1e-6), (kv40, kv100)
        assert abs(got % 1 - 0.5) < 1e-6 or round(got) == reference.viscosity_index(kv40 * 1e-6, kv100 * 1e-6, True)


def test_index_outside_its_range() -> None:
    assert math.isnan(index(10, 1.99)["vi"])  # not defined below 2
    assert refusals("viscosity-index", kv40="10 mm²/s", kv100="10 mm²/s")
    # Either way of working meets at an index of 100, and the two ways of L and H meet at 70 within their rounding.
    h = index(200, 14.5)["h"]
    assert index(h * (1 - 1e-9), 14.5)["vi"] == pytest.approx(index(h * (1 + 1e-9), 14.5)["vi"], abs=1e-5)
    below, above = index(900, 70)["vi"], index(900, 70.0001)["vi"]
    assert below == pytest.approx(above, abs=0.2)


# -- Cold start ---------------------------------------------------------------------------------------------------

def test_a_mild_coldest_start_is_asked_back() -> None:
    assert slips("cold-start", coldest="10 °C") and not slips("cold-start", coldest="-18 °C")
    assert not slips("cold-start", coldest="10 °F") and not slips("cold-start", coldest="0 °C")
