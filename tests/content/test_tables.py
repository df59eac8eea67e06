"""Reference tables against what is published. Each block names the source beside its numbers."""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy import constants

from fillmark.model.site import Row, Table

# SAE J306, February 2019: a lubrication distributor's reference chart in full; a test laboratory's page repeats the
# W rows, 90, 140 and 250. (°C for 150 000 mPa·s, mm²/s at 100 °C at least, below.)
J306 = {
    "70W": (-55, 3.8, None), "75W": (-40, 3.8, None), "80W": (-26, 8.5, None), "85W": (-12, 11.0, None),
    "65": (None, 3.8, 5.0), "70": (None, 5.0, 6.5), "75": (None, 6.5, 8.5), "80": (None, 8.5, 11.0),
    "85": (None, 11.0, 13.5), "90": (None, 13.5, 18.5), "110": (None, 18.5, 24.0), "140": (None, 24.0, 32.5),
    "190": (None, 32.5, 41.0), "250": (None, 41.0, None),
}
# ISO 898-1 proof loads in N, coarse thread: a fastener supplier's copy "according to EN ISO 898-1"; a second copy
# agrees for 4.8, 6.8, 8.8, 10.9 and 12.9. First the stress area in mm².
PROOF_CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9")
PROOF_LOADS = {
    "M6×1": (20.1, 4520, 6230, 5630, 7640, 8840, 11600, 13100, 16700, 19500),
    "M8×1.25": (36.6, 8240, 11400, 10200, 13900, 16100, 21200, 23800, 30400, 35500),
    "M10×1.5": (58.0, 13000, 18000, 16200, 22000, 25500, 33700, 37700, 48100, 56300),
    "M12×1.75": (84.3, 19000, 26100, 23600, 32000, 37100, 48900, 54800, 70000, 81800),
    "M14×2": (115, 25900, 35600, 32200, 43700, 50600, 66700, 74800, 95500, 112000),
}
# Shigley's Mechanical Engineering Design, 9th ed., Table 8-2, p. 413: tensile stress areas in in², from ANSI B1.1.
SHIGLEY_AREAS = {
    "1/4-20": 0.0318, "1/4-28": 0.0364, "5/16-18": 0.0524, "5/16-24": 0.0580, "3/8-16": 0.0775, "3/8-24": 0.0878,
    "7/16-14": 0.1063, "7/16-20": 0.1187, "1/2-13": 0.1419, "1/2-20": 0.1599,
}
# SAE J429 proof strength in psi: Shigley, 9th ed., Table 8-9, p. 433, and two public fastener pages.
J429 = [("grade 2", 55000), ("grade 2", 33000), ("grade 5", 85000), ("grade 5", 74000), ("grade 8", 120000)]
# Metric chart printed in at least two equipment manuals: (8.8, 10.9) in N·m.
MANUAL_CHART = {"M6×1": (10, 15), "M8×1.25": (25, 35), "M10×1.5": (50, 70), "M12×1.75": (90, 125), "M14×2": (140, 200)}
# "Bolt torque guide", 75 % of proof, K 0.20 dry, grade 5, lb·ft. Its 1/2-20 row is off by its own formula.
TORQUE_GUIDE = {"3/8-16": 31, "3/8-24": 35, "1/2-13": 75, "7/16-14": 50}
# NIST SP 811 (2008), Appendix B.8, by way of the exact definitions in scipy.constants (m³).
VOLUMES = {
    "US fl oz": constants.fluid_ounce_US, "US pt": constants.gallon_US / 8, "US qt": constants.gallon_US / 4,
    "US gal": constants.gallon_US, "imp fl oz": constants.fluid_ounce_imp, "imp pt": constants.gallon_imp / 8,
    "imp qt": constants.gallon_imp / 4, "imp gal": constants.gallon_imp,
}
NUT_FACTOR_DRY = 0.20  # Shigley, 9th ed., Table 8-15, p. 439: zinc-plated; the same guide's "dry"
PRELOAD = 0.75  # Shigley, 9th ed., Eq. 8-31: reused fasteners


def cell(row: Row, name: str) -> Any:
    """Return the cell, None for the dash."""
    return None if row.cells[name] == "–" else row.cells[name]


def three_figures(value: float) -> float:
    return float(f"{value:.3g}")


def ceilings(tables: dict[str, Table]) -> dict[tuple[str, str], Row]:
    return {(str(row.cells["thread"]), str(row.cells["class"])): row for row in tables["bolt-torque-ceiling"].rows}


def metric_proof(tables: dict[str, Table]) -> dict[str, float]:
    """Return MPa by class, for sizes up to M16."""
    return {
        str(row.cells["class"]): float(row.cells["proof"]) for row in tables["bolt-classes"].rows
        if cell(row, "proof") is not None and "over" not in str(row.cells["sizes"])
    }


def test_gear_oil_grades_are_those_of_sae_j306(tables: dict[str, Table]) -> None:
    rows = {str(row.cells["grade"]): tuple(cell(row, name) for name in ("cold", "thin", "thick"))
            for row in tables["gear-oil-grades"].rows}
    assert rows == J306


def test_hot_grades_leave_no_gap(tables: dict[str, Table]) -> None:
    # The upper limit is not part of the grade (SAE J306): each grade ends where the next begins.
    rows = tables["gear-oil-grades"].rows
    hot = [(cell(row, "thin"), cell(row, "thick")) for row in rows if cell(row, "cold") is None]
    assert [thick for _, thick in hot[:-1]] == [thin for thin, _ in hot[1:]]
    assert hot[-1][1] is None


@pytest.mark.parametrize(("viscosity", "grade"), [
    (19.5, "110"),  # the example in the abstract of SAE J306, June 2005 edition: a 90 before, a 110 since
    (18.49, "90"), (18.50, "110"), (24.0, "140"), (10.9, "80"),  # from the limits themselves
])
def test_grade_of_a_viscosity(tables: dict[str, Table], viscosity: float, grade: str) -> None:
    found = [
        row.cells["grade"] for row in tables["gear-oil-grades"].rows
        if cell(row, "cold") is None and cell(row, "thin") <= viscosity < (cell(row, "thick") or math.inf)
    ]
    assert found == [grade]


@pytest.mark.parametrize("thread", PROOF_LOADS)
def test_metric_proof_stress_gives_the_printed_proof_loads(tables: dict[str, Table], thread: str) -> None:
    area, *loads = PROOF_LOADS[thread]
    proof = metric_proof(tables)
    assert set(proof) == set(PROOF_CLASSES)
    for name, load in zip(PROOF_CLASSES, loads, strict=True):
        # Printed loads are rounded to three figures and some not from S·A, so 0.6 %.
        assert proof[name] * area == pytest.approx(load, rel=0.006), name


def test_metric_classes_from_memory_say_so(tables: dict[str, Table]) -> None:
    metric = [row for row in tables["bolt-classes"].rows if cell(row, "proof") is not None]
    assert len(metric) == 10
    assert all(row.state == "unverified" for row in metric)


def test_inch_grades_are_those_of_sae_j429(tables: dict[str, Table]) -> None:
    inch = [(row.cells["class"], row.cells["proof-inch"]) for row in tables["bolt-grades"].rows]
    assert inch == J429


@pytest.mark.parametrize("thread", SHIGLEY_AREAS)
def test_inch_stress_area(tables: dict[str, Table], thread: str) -> None:
    for grade in ("grade 5", "grade 8"):
        shown = ceilings(tables)[thread, grade].cells["area"]
        assert shown == three_figures(SHIGLEY_AREAS[thread] * (constants.inch * 1000) ** 2)


def test_metric_stress_area(tables: dict[str, Table]) -> None:
    metric = {key: row for key, row in ceilings(tables).items() if key[0].startswith("M")}
    assert len(metric) == 18
    for (thread, _), row in metric.items():
        if thread in PROOF_LOADS:
            assert row.cells["area"] == PROOF_LOADS[thread][0]
        # ISO 898-1 and ISO 724: A = π/4 · (d − 0.9382 P)², on public formula pages. Tables round to three figures.
        diameter, pitch = (float(part) for part in thread[1:].split("×"))
        assert row.cells["area"] == pytest.approx(math.pi / 4 * (diameter - 0.9382 * pitch) ** 2, rel=0.005), thread
        assert (row.state == "unverified") == (thread not in PROOF_LOADS)


def test_every_ceiling_follows_from_k_d_and_proof(tables: dict[str, Table]) -> None:
    psi, foot_pound = constants.psi, constants.lbf * constants.foot
    proof = metric_proof(tables)
    inch_proof = {"grade 5": 85000 * psi, "grade 8": 120000 * psi}  # SAE J429, up to 1 in
    for (thread, name), row in ceilings(tables).items():
        if thread.startswith("M"):
            diameter, stress = float(thread[1:].split("×")[0]) / 1000, proof[name] * 1e6
            area = float(row.cells["area"]) / 1e6
        else:
            top, bottom = thread.split("-")[0].split("/")
            diameter, stress = int(top) / int(bottom) * constants.inch, inch_proof[name]
            area = SHIGLEY_AREAS[thread] * constants.inch**2
        torque = NUT_FACTOR_DRY * diameter * PRELOAD * stress * area
        assert row.cells["ceiling"] == three_figures(torque), (thread, name)
        assert row.cells["ceiling-ft"] == three_figures(torque / foot_pound), (thread, name)


@pytest.mark.parametrize("thread", MANUAL_CHART)
def test_ceilings_agree_with_the_chart_of_equipment_manuals(tables: dict[str, Table], thread: str) -> None:
    for name, printed in zip(("8.8", "10.9"), MANUAL_CHART[thread], strict=True):
        assert ceilings(tables)[thread, name].cells["ceiling"] == pytest.approx(printed, rel=0.05)


@pytest.mark.parametrize("thread", TORQUE_GUIDE)
def test_ceilings_agree_with_the_bolt_torque_guide(tables: dict[str, Table], thread: str) -> None:
    # The guide rounds the clamp to 50 or 100 lb and the torque to 1 or 5 lb·ft: within 1.5 %.
    assert ceilings(tables)[thread, "grade 5"].cells["ceiling-ft"] == pytest.approx(TORQUE_GUIDE[thread], rel=0.015)


def test_ceiling_table_says_that_it_is_no_target(tables: dict[str, Table]) -> None:
    table = tables["bolt-torque-ceiling"]
    assert "not a target" in table.purpose
    assert any("service manual wins" in note for note in table.notes)


def test_volume_units_are_exact(tables: dict[str, Table]) -> None:
    rows = {str(row.cells["unit"]): row for row in tables["volume-units"].rows}
    assert set(rows) == set(VOLUMES)
    for name, row in rows.items():
        assert row.cells["ml"] == pytest.approx(VOLUMES[name] * 1e6, rel=1e-12), name
        assert row.cells["litre"] == pytest.approx(VOLUMES[name] * 1e3, rel=1e-12), name


def test_magnet_grades(tables: dict[str, Table]) -> None:
    # Common practice, no source: no published threshold for a magnet read by eye was found.
    table = tables["magnet-grade"]
    does = [str(row.cells["do"]) for row in table.rows]
    assert [row.cells["grade"] for row in table.rows] == ["0", "1", "2", "3", "4"]
    assert [one.split()[0].rstrip(",.") for one in does] == ["Refill", "Refill", "Refill", "Inspect", "Stop"]
    assert table.state == "unverified"
