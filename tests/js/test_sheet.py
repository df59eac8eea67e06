"""The sheet as the page works it out: text by text what the build prints, its SI values those of pint.

One shape for the site's vehicles and the phone's own, so what is held here for the demo garage holds for both.
"""

from __future__ import annotations

import json
import random
from typing import Any

import pint
import pytest
from playwright.sync_api import Page, expect

from fillmark import load, validate
from fillmark.model.amount import VolumeFigure
from fillmark.model.match import fits, units_for
from fillmark.model.site import Site
from fillmark.render import slots
from fillmark.render.figures import Figure, best_first, grouped
from harness import ROOT
from shapes import page_types
from stories import Json

PINT = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
NAMES = {"L": "litre", "mL": "millilitre", "imp pt": "imperial_pint", "US qt": "US_liquid_quart", "N·m": "newton*meter",
         "lb·ft": "foot*pound_force", "mm": "millimeter", "cm²": "centimeter**2", "mi": "mile", "km": "kilometer",
         "%": "percent", "kg": "kilogram", "°C": "degC", "°F": "degF"}


def si(text: str) -> float:
    """Return an amount as written, such as `2.2 imp pt`, in SI base units, by pint's own unit names."""
    number, unit = text.split(" ", 1)
    return float(PINT.Quantity(float(number.replace("−", "-")), NAMES[unit]).to_base_units().magnitude)


@pytest.fixture(scope="module")
def site() -> Site:
    found, problems = validate.site(load.read(ROOT / "content", ROOT / "site_src"))
    assert found, problems
    return found


def shape(figure: Figure) -> Json:
    def said(one: Figure) -> Json:
        return {"main": one.main, "also": one.also, "origin": one.origin, "note": one.note}

    return {"label": figure.label, "state": figure.state, **said(figure),
            "rivals": [{**said(one), "lost": one.lost} for one in figure.rivals]}


def ask(page: Page, call: str, *arguments: Any) -> Any:
    """Return what `call` gives; it sees `sheet`, `match`, the site's data, and `a`, the arguments."""
    if "/" not in page.url or page.url == "about:blank":
        page.goto("404.html")
    return json.loads(page.evaluate(
        f"""async a => {{
            const [sheet, match] = await Promise.all([import('./js/lib/sheet.js'), import('./js/lib/match.js')])
            const site = await (await fetch('data/site.json')).json()
            const refused = (call) => {{
                try {{ call() }} catch (error) {{ return `${{error.constructor.name}} ${{error.message}}` }}
                return ''
            }}
            return JSON.stringify({call}) ?? 'null'
        }}""", list(arguments)))


def test_every_slot_reads_as_the_build_prints_it(vehicles: dict[str, Json], site: Site) -> None:
    seen = 0
    for name, vehicle in site.vehicles.items():
        assert list(vehicles[name]["units"]) == list(vehicle.units)
        for unit_id, unit in vehicle.units.items():
            known = slots.for_unit(site, vehicle, unit)
            back = vehicles[name]["units"][unit_id]["slots"]
            assert list(back) == list(known), "in the same order"
            for slot, figure in known.items():
                assert back[slot] == shape(figure), f"{name} {unit_id} {slot}"
                seen += 1
    assert seen > 200
    # The conflict of the demo garage by hand: 1.35 L measured to the hole beats the note's 1.10 L.
    refill = vehicles["drystone"]["units"]["front-axle"]["slots"]["fill.refill"]
    assert (refill["main"], refill["also"]) == ("1.35 L", "1.43 US qt")
    assert [(one["main"], one["origin"], one["lost"]) for one in refill["rivals"]] == [
        ("1.10 L", "Note of a previous owner", True)]


def test_every_slot_of_a_card_is_the_units_or_a_blank(page: Page, vehicles: dict[str, Json], site: Site) -> None:
    """Every card filled for a unit it is for: what is known stands in its place, what is not stays a blank.

    Of several units each card takes another one, so that all of them are met.
    """
    seen, met = 0, set()
    for number, card in enumerate(site.cards.values()):
        bound = units_for(card, site.vehicles)
        vehicle, unit = bound[number % len(bound)]
        met.add((vehicle, unit))
        known = vehicles[vehicle]["units"][unit]["slots"]
        page.goto(f"cards/{card.no.lower()}/")
        used = page.locator(".card-steps .blank[data-slot]").evaluate_all("all => all.map(one => one.dataset.slot)")
        page.goto(f"cards/{card.no.lower()}/?for={vehicle}/{unit}")
        expect(page.get_by_role("link", name="Start this job")).to_be_visible()
        steps = page.locator(".card-steps")
        blank = set(steps.locator(".blank[data-slot]").evaluate_all("all => all.map(one => one.dataset.slot)"))
        assert blank == {name for name in used if name not in known}, f"{card.no} {vehicle} {unit}"
        pairs = "all => all.map(one => [one.dataset.slot, one.textContent])"
        shown = dict(steps.locator("b.slot").evaluate_all(pairs))
        for name in set(used) - blank:
            assert shown[name].startswith(known[name]["main"]), f"{card.no} {vehicle} {unit} {name}"
            seen += 1
    page.goto("404.html")  # where the other tests ask the library
    assert seen > 25 and len(met) > 12, (seen, len(met))


def test_what_is_worked_out_has_the_shape_of_the_types(vehicles: dict[str, Json]) -> None:
    types = page_types()
    for name, vehicle in vehicles.items():
        assert types.wrong(vehicle, "Vehicle") == [], name


def test_amounts_are_those_of_the_sheet_by_pint(vehicles: dict[str, Json], site: Site) -> None:
    for name, vehicle in site.vehicles.items():
        back = vehicles[name]
        assert back["coldestStart"] == pytest.approx(si(vehicle.coldest_start.text), rel=1e-12)
        for key, amount in (("wheelbase", vehicle.wheelbase), ("kerbMass", vehicle.kerb_mass),
                            ("rearShare", vehicle.rear_share)):
            assert back[key] == (pytest.approx(si(amount.text), rel=1e-12) if amount else None)
        assert back["odometer"] == {
            "unit": vehicle.odometer.unit, "digits": vehicle.odometer.digits, "rollovers": vehicle.odometer.rollovers,
            "reading": vehicle.odometer.reading.value, "asOf": vehicle.odometer.as_of}
        assert back["tyreFactor"]["factor"] == vehicle.tyre_eras[-1].factor
        assert [(era["since"], era["size"], era["factor"]) for era in back["tyreEras"]] == [
            (era.since.value, era.size, era.factor) for era in vehicle.tyre_eras]
        for unit_id, unit in vehicle.units.items():
            one = back["units"][unit_id]
            assert (one["title"], one["opensBy"], one["yellowMetal"], one["tag"], one["words"]) == (
                unit.title, unit.opens_by or "", unit.yellow_metal, unit.tag or "", list(unit.words))
            assert list(one["fills"]) == list(unit.fills)
            for role, fill in unit.fills.items():
                (first, *tied), losers = best_first(fill)
                got = one["fills"][role]
                assert (got["typed"], got["source"], got["state"]) == (first.value.text, first.source, fill.state)
                assert [got["si"], *(rival["si"] for rival in got["rivals"])] == pytest.approx(
                    [si(each.value.text) for each in (first, *tied, *losers)], rel=1e-12)
                assert [rival["lost"] for rival in got["rivals"]] == [
                    fill.state == "conflict" and each in losers for each in (*tied, *losers)]
            refill = one["fills"].get("refill")
            assert one["refill"] == (refill and {"si": refill["si"], "state": refill["state"]})
            for key, amount in (("fillHoleOffset", unit.fill_hole_offset), ("oilSurface", unit.oil_surface)):
                assert one[key] == (pytest.approx(si(amount.text), rel=1e-12) if amount else None)
            assert (one["level"] is None) == (unit.level is None)
            if unit.level:
                assert (one["level"]["low"], one["level"]["high"]) == pytest.approx(
                    (si(unit.level.low.text), si(unit.level.high.text)))
            assert list(one["fasteners"]) == list(unit.fasteners)
            for role, group in unit.fasteners.items():
                got = one["fasteners"][role]
                assert got["torque"] == pytest.approx(si(best_first(group.torque)[0][0].value.text), rel=1e-12)
                assert got["stages"] == pytest.approx([si(share.text) for share in group.stages])
                assert (got["count"], got["pattern"], got["threadState"], got["unit"]) == (
                    group.count, group.pattern, group.thread_state, group.torque.value.unit)
    # 2.2 imp pt by hand: an imperial pint is 568.261 25 mL exactly (4.546 09 L / 8), and not a US pint of 473 mL.
    assert vehicles["wicket"]["units"]["rear-axle"]["refill"]["si"] == pytest.approx(1.250_174_75e-3)


def test_numbers_are_rounded_as_in_python(page: Page) -> None:
    """Ties are where languages differ: 0.125 and 2.5 lie exactly between, 2.675 and 1.115 do not."""
    chance = random.Random(4)
    numbers = [0.125, 0.375, 2.5, 3.5, 2.675, 1.115, 0.005, 112380.5, 1234567.885, -0.4, -0.5, -17.5, 0.0, 999.995,
               999999.5]
    numbers += [round(chance.uniform(-2e5, 2e5), chance.randrange(4)) for _ in range(500)]
    asked = [(number, decimals) for number in numbers for decimals in (0, 1, 2)]
    back = ask(page, "a[0].map(([number, decimals]) => sheet.grouped(number, decimals))", asked)
    for (number, decimals), text in zip(asked, back, strict=True):
        assert text == grouped(number, decimals), (number, decimals)
        value = float(text.replace("\u202f", "").replace("−", "-"))
        assert value == float(f"{number:.{decimals}f}"), (number, decimals)


OWN: Json = {
    "rev": 3, "name": "Old Blue", "short": "Blue", "invented": False,
    "odometer": {"unit": "mi", "digits": 5, "reading": "40230 mi", "rollovers": 1, "as_of": "2026-03-01"},
    "coldest_start": "5 °F", "severity": "normal",
    "severity_eras": [{"since": "139000 mi", "since_date": "2025-11-02", "use": "severe"}],
    "tyre_eras": [{"since": "0 mi", "size": "205R16", "factor": 1, "method": "roll-out", "source": "owner-measured",
                   "state": "plausible"}],
    "service": [{"units": ["rear"], "distance": "12000 mi", "source": "service-manual-page", "state": "plausible"}],
    "units": {"rear": {
        "code": "B-RA", "kind": "axle-cover", "label": "Rear axle", "place": "rear axle", "opens_by": "cover",
        "fills": {"refill": {"value": "1.9 litre", "source": "previous-owner-note", "state": "unverified"}},
        "fasteners": {"cover": {"name": "Cover", "count": 10, "thread": "M8", "thread_state": "dry", "pattern": "ring",
                                "torque": {"value": "20 lbft", "source": "unknown", "state": "conflict", "other": [
                                    {"value": "26 Nm", "source": "service-manual-page", "state": "unverified"},
                                    {"value": "24 N·m", "source": "owner-measured", "state": "unverified"}]}}}}},
}


def test_a_sheet_typed_on_the_phone(page: Page) -> None:
    [vehicle] = ask(page, "[sheet.vehicleOf('blue', a[0], site)]", OWN)
    assert vehicle["odometer"]["reading"] == 40230 and vehicle["severityEras"] == [
        {"since": 139000, "sinceDate": "2025-11-02", "use": "severe"}]
    # 12000 international miles of 1609.344 m; half the distance where it is used hard, if the sheet says nothing else.
    assert vehicle["service"] == [{
        "units": ["rear"], "distance": pytest.approx(12000 * 1609.344), "months": None, "severeFactor": 0.5,
        "source": "service-manual-page", "state": "plausible"}]
    assert vehicle["coldestStart"] == pytest.approx(258.15)  # 5 °F = −15 °C
    unit = vehicle["units"]["rear"]
    assert unit["title"] == "Rear axle", "a label that says the place is not said twice"
    assert unit["fluid"] is None and unit["level"] is None and "fluid.name" not in unit["slots"]
    # A spelling of a unit counts as the unit and stays as typed; the manual page wins a torque, the rest has lost.
    assert unit["fills"]["refill"]["si"] == pytest.approx(1.9e-3)
    assert unit["slots"]["fill.refill"]["main"] == "1.9 litre" and unit["slots"]["fill.refill"]["also"] == "2.01 US qt"
    cover = unit["fasteners"]["cover"]
    assert (cover["torque"], cover["unit"], cover["state"]) == (pytest.approx(26), "N·m", "conflict")
    assert [(one["main"], one["also"], one["lost"]) for one in unit["slots"]["torque.cover"]["rivals"]] == [
        ("20 lbft", "27 N·m", True), ("24 N·m", "18 lb·ft", True)]


def test_a_settled_conflict(page: Page) -> None:
    """What was settled has lost, even from the source that ranks first; what is left beside it has not."""
    one = json.loads(json.dumps(OWN))
    one["units"]["rear"]["fills"]["refill"] = {
        "value": "1.9 L", "source": "service-manual-page", "state": "verified", "other": [
            {"value": "2.4 L", "source": "owner-measured", "state": "superseded", "note": "On a slope."},
            {"value": "1.85 L", "source": "service-manual-page", "state": "plausible"},
            {"value": "1.95 L", "source": "unknown", "state": "unverified"}]}
    fill = ask(page, "sheet.vehicleOf('blue', a[0], site).units.rear.fills.refill", one)
    assert (fill["typed"], fill["state"]) == ("1.9 L", "verified")
    assert [(rival["typed"], rival["lost"]) for rival in fill["rivals"]] == [
        ("1.85 L", False), ("1.95 L", False), ("2.4 L", True)]
    written = VolumeFigure.model_validate_json(json.dumps(one["units"]["rear"]["fills"]["refill"]))
    winners, losers = best_first(written)
    assert [each.value.text for each in (*winners, *losers)] == ["1.9 L", "1.85 L", "1.95 L", "2.4 L"]


@pytest.mark.parametrize(("change", "said"), [
    ("one.units.rear.fills.refill.value = '1,9 L'", "units.rear.fills.refill: ‘1,9 L’ is not an amount. Write a"),
    ("one.units.rear.fills.refill.value = '4 pt'", "units.rear.fills.refill: ‘pt’ is not a unit of this site."),
    ("one.units.rear.fills.refill.value = '4 constructor'", "‘constructor’ is not a unit of this site."),
    ("one.coldest_start = '-18'", "coldest_start: ‘-18’ is not an amount."),
    ("one.service[0].distance = '12000'", "service[0].distance: ‘12000’ is not an amount."),
], ids=["comma", "whose pint", "name of the language", "bare", "rule"])
def test_a_sheet_that_cannot_be_read_says_where(page: Page, change: str, said: str) -> None:
    words = ask(page, f"refused(() => {{ const one = a[0]; {change}; sheet.vehicleOf('blue', one, site) }})", OWN)
    assert words.startswith("SheetError ") and said in words


def test_cards_are_matched_as_the_build_does(page: Page, vehicles: dict[str, Json], site: Site) -> None:
    units = [(vehicle, unit) for vehicle in site.vehicles for unit in site.vehicles[vehicle].units]
    found = ask(page, "a[0].map((unit) => match.cardsFor(unit, site.cards).map(({ no }) => no))",
                [vehicles[vehicle]["units"][unit] for vehicle, unit in units])
    for (vehicle, unit), numbers in zip(units, found, strict=True):
        assert numbers == sorted(card.no for card in site.cards.values()
                                 if fits(card, site.vehicles[vehicle].units[unit])), f"{vehicle} {unit}"
    assert sum(map(len, found)) > 6
