"""What the drawings of calculators take from the reference tables."""

from __future__ import annotations

import dataclasses
import json

import pytest

from answers import SITE
from fillmark.model.site import Site
from fillmark.render import figure_data


def grades(site: Site) -> dict[str, tuple[float, float | None]]:
    found = json.loads(figure_data.grades(site).removeprefix("export const grades = ").removesuffix(";\n"))
    return {one["grade"]: (one["thin"], one["thick"]) for one in found}


def test_grades_by_thickness_follow_each_other_without_a_gap() -> None:
    # SAE J306 (2019), mm²/s at 100 °C, read in two public copies; the W grades are told by the cold
    found = grades(SITE)
    assert list(found) == ["65", "70", "75", "80", "85", "90", "110", "140", "190", "250"]
    assert [1e6 * thin for thin, _ in found.values()] == pytest.approx([3.8, 5, 6.5, 8.5, 11, 13.5, 18.5, 24, 32.5, 41])
    assert [thick for _, thick in found.values()] == [*[thin for thin, _ in found.values()][1:], None]


def test_a_garage_without_the_table_has_no_grades() -> None:
    assert grades(dataclasses.replace(SITE, tables={})) == {}
