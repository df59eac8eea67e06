"""Where pages get vehicles and entries from: the phone's own first, the demo ones shown, hidden and apart, and a job on
a vehicle that was typed on the phone."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import Page, expect

from jobs import Worker

BLUE: dict[str, Any] = {
    "rev": 1, "name": "Old Blue", "short": "Blue", "invented": False,
    "odometer": {"unit": "km", "digits": 6, "reading": "188000 km", "as_of": "2026-03-01"},
    "coldest_start": "-12 °C", "severity": "normal",
    "tyre_eras": [{"since": "0 km", "size": "205R16", "factor": 1, "method": "roll-out", "source": "owner-measured",
                   "state": "plausible"}],
    "units": {"rear": {
        "code": "B-RA", "kind": "axle-cover", "label": "R-200", "place": "rear axle", "opens_by": "cover",
        "fills": {"refill": {"value": "1.9 L", "source": "previous-owner-note", "state": "unverified"}},
        "fasteners": {"cover": {
            "name": "Cover", "count": 10, "thread": "M8×1.25", "thread_state": "dry", "pattern": "ring",
            "stages": ["50 %", "100 %"],
            "torque": {"value": "24 N·m", "source": "service-manual-page", "state": "plausible"}}}}},
}


def garage(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees `garage`, `store` and `a`, the arguments."""
    return json.loads(page.evaluate(
        f"""async a => {{
            const [garage, store] = await Promise.all([import('./js/garage.js'), import('./js/store.js')])
            return JSON.stringify(await {call}) ?? 'null'
        }}""", list(arguments)))


def test_own_vehicles_come_first_and_a_job_is_done_on_one(page: Page) -> None:
    page.goto("404.html")
    page.evaluate("document.documentElement.dataset.base = './'")
    theirs = [one["id"] for one in garage(page, "garage.sheets()")]
    assert sorted(theirs) == ["drystone", "thornback", "wicket"]
    for number, name in ((1, "z-first"), (2, "a-second")):
        garage(page, "store.putVehicle({ id: a[0], rev: 1, at: a[1], sheet: a[2] })", name, number, BLUE)
    listed = garage(page, "garage.sheets()")
    assert [(one["id"], one["own"]) for one in listed] == [
        ("z-first", True), ("a-second", True), *((name, False) for name in theirs)]
    assert listed[0]["sheet"] == BLUE
    assert garage(page, "garage.vehicle('z-first')")["units"]["rear"]["refill"] == {"si": 0.0019, "state": "unverified"}
    assert garage(page, "garage.vehicle('nobody')") is None
    # Taken away: gone from the list, and the other one still there.
    garage(page, "store.putVehicle({ id: 'a-second', rev: 2, at: 3, sheet: null })")
    assert [one["id"] for one in garage(page, "garage.sheets()")] == ["z-first", *theirs]
    assert garage(page, "garage.sheet('a-second')") is None
    # Its sheet as written stands in place of the site's, where both have the same id.
    garage(page, "store.putVehicle({ id: 'wicket', rev: 1, at: 4, sheet: a[0] })", {**BLUE, "name": "My Wicket"})
    assert [one["id"] for one in garage(page, "garage.sheets()")].count("wicket") == 1
    assert garage(page, "garage.sheet('wicket')")["sheet"]["name"] == "My Wicket"

    worker = Worker(page)
    worker.begin("p01/z-first/rear", "188500", "gasket")
    expect(page.locator(".card-head")).to_contain_text("Old Blue")
    expect(page.locator(".card-head")).to_contain_text("1.9 L")
    expect(page.locator(".card-steps")).to_contain_text("24 N·m / 18 lb·ft")
    expect(page.locator(".card-steps [data-slot='plug.fill'].blank").first).to_be_attached()
    page.goto("job/?start=p01/nobody/rear")
    expect(page.get_by_role("alert")).to_contain_text("There is no vehicle ‘nobody’ in this browser.")
    page.goto("job/?start=p01/z-first/constructor")
    expect(page.get_by_role("alert")).to_contain_text("Old Blue has no unit ‘constructor’.")


def test_the_demo_garage_is_hidden_and_its_log_never_kept(page: Page) -> None:
    page.goto("404.html")
    page.evaluate("document.documentElement.dataset.base = './'")
    assert garage(page, "garage.demo()") == {"hidden": False, "log": False}
    assert garage(page, "garage.records()") == []
    garage(page, "garage.loadDemoLog(true)")
    shown = garage(page, "garage.records()")
    assert [one["id"] for one in shown] == [f"L{number:02}" for number in range(1, 29)]
    assert all(one["entry"]["demo"] for one in shown)
    assert garage(page, "store.log()") == [], "loaded is not stored"
    assert "L14" not in garage(page, "store.exportAll()")
    garage(page, "garage.showDemo(false)")
    assert garage(page, "garage.sheets()") == garage(page, "garage.records()") == []
    assert garage(page, "garage.vehicle('wicket')")["name"] == "Skarholt Wicket", "an old entry still finds its vehicle"
    garage(page, "garage.showDemo(true)")
    assert len(garage(page, "garage.sheets()")) == 3 and len(garage(page, "garage.records()")) == 28
    garage(page, "garage.loadDemoLog(false)")
    assert garage(page, "garage.records()") == []
