"""What a unit lacks for its cards: the phone's answer is the build's, and both are what a person finds on the sheet."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from fillmark import load, validate
from fillmark.model.site import Site
from fillmark.render import coverage
from own import add_marten, press

ROOT = Path(__file__).resolve().parents[2]


@lru_cache
def site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found, problems
    return found


def on_the_phone(page: Page, vehicle: dict[str, Any]) -> dict[str, Any]:
    """Return {unit: lacks} of a sheet."""
    page.goto("404.html")
    return dict(json.loads(page.evaluate(
        """async sheet => {
            const { lacks } = await import('./js/lib/coverage.js')
            const { vehicleOf } = await import('./js/lib/sheet.js')
            const site = await (await fetch('data/site.json')).json()
            const { units } = vehicleOf('x', sheet, site)
            const all = Object.entries(units).map(([id, one]) => [id, lacks(one, site)])
            return JSON.stringify(Object.fromEntries(all)) }""",
        vehicle)))


@pytest.mark.parametrize("name", ["thornback", "drystone", "wicket"])
def test_the_phone_says_what_the_build_says(page: Page, dist: Path, name: str) -> None:
    sheet = json.loads((dist / "data" / "vehicles" / f"{name}.json").read_text("utf-8"))
    found = on_the_phone(page, sheet)
    assert found == {unit: coverage.lacks(site(), name, unit) for unit in site().vehicles[name].units}
    assert any(row["missing"] for rows in found.values() for row in rows)


def test_what_is_taken_off_the_sheet_is_asked_for(page: Page, dist: Path) -> None:
    sheet = json.loads((dist / "data" / "vehicles" / "thornback.json").read_text("utf-8"))
    box = sheet["units"]["auto-box"]
    assert {row["no"]: row["missing"] for row in on_the_phone(page, sheet)["auto-box"]}["P06"] == []
    del box["fasteners"]
    assert {row["no"]: row["missing"] for row in on_the_phone(page, sheet)["auto-box"]}["P06"] == ["pan torque"]
    # Additive is asked for where it is wanted, or may be: never of an open differential.
    rear, front = sheet["units"]["rear-axle"], sheet["units"]["front-axle"]
    del rear["fills"]["additive"]
    found = on_the_phone(page, sheet)
    assert "additive, inside the refill" in found["rear-axle"][0]["missing"]
    assert front["diff"] == "open" and "additive, inside the refill" not in found["front-axle"][0]["missing"]


def test_ones_own_vehicle_stands_first_on_the_page(page: Page) -> None:
    tab = page
    add_marten(tab)
    tab.goto("coverage/")
    mine = tab.locator("[data-own] section")
    expect(mine.locator("h2")).to_have_text("Corrie Marten")
    expect(mine).to_contain_text("To run P01 fill in:")
    expect(tab.locator("[data-vehicle=thornback]")).to_be_visible()
    tab.goto("garage/")
    press(tab, "Hide the demo garage")
    expect(tab.get_by_role("button", name="Show the demo garage again")).to_be_visible()  # then it is kept
    tab.goto("coverage/")
    expect(mine).to_contain_text("To run P01 fill in:")
    expect(tab.locator("[data-vehicle=thornback]")).to_have_count(0)
