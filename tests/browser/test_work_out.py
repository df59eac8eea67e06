"""Work out as one uses it: from a unit, backwards, as it was left, carried on; its list, where nothing is missing."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

from answers import SITE
from fillmark.model import tools
from harness import SiteServer, open_profile, watch
from jobs import Worker
from own import add_marten, own_tab

AXLE = "for=thornback/rear-axle"


@pytest.fixture
def tab(chromium: Browser, served: SiteServer) -> Iterator[Page]:
    yield from own_tab(chromium, served)


def open_(page: Page, address: str) -> None:
    page.goto(f"work-out/{address}")
    expect(page.locator("[data-say]").first).not_to_be_empty()
    # What needs more scripts is there too: the unit is told, or the list of it.
    if "for=" in address:
        expect(page.locator("[data-from]")).to_be_visible()


def value(page: Page, output: str) -> str:
    return page.locator(f'[data-output="{output}"] [data-value]').inner_text()


def back(page: Page, want: str, free: str = "", output: str = "", unit: str = "") -> str:
    """Ask backwards; return what is said."""
    if not page.locator("#back-free").is_visible():
        page.locator("[data-backwards] summary").click()
    for box, pick in (("#back-out", output), ("#back-free", free), ("[data-back] .pair select", unit)):
        if pick:
            page.locator(box).select_option(pick)
    page.fill("#back-want", want)
    return page.locator("#back-says").inner_text()


# ---- slips

def test_a_slip_is_said_beside_the_result_once_all_is_there(page: Page) -> None:
    open_(page, "axle-ratio/?shaft=37.4&wheel=20&held=both")
    slip = page.locator("[data-slips] .warn.caution")
    expect(slip).to_have_text(
        "CAUTION 1.87 is too low for such an axle. Was one wheel held? Then the other goes twice as far: "
        "pick one wheel, which doubles it.")
    assert value(page, "counted") == "1.87", "the result still stands"
    page.select_option("#in-held", "one")
    expect(slip).to_have_count(0)
    page.fill("#in-shaft", "")
    expect(slip).to_have_count(0)


# ---- backwards

def test_an_answer_found_backwards_goes_into_its_field(page: Page) -> None:
    open_(page, "torque-adapter/?torque=26 N·m&lever=400 mm&adapter=60 mm&angle=0")
    # T · L / (L + E): 20 = 26 · 400 / (400 + E) at E = 120 mm
    assert back(page, "20", "adapter") == "Adapter, drive to bolt: 120 mm"
    page.get_by_role("button", name="Use 120 mm").click()
    assert page.locator("#in-adapter").input_value() == "120"
    assert value(page, "setting") == "20.0 N·m"
    page.select_option('[data-input="adapter"] select', "in")
    page.fill("#in-adapter", "1")
    assert back(page, "20", "adapter") == "Adapter, drive to bolt: 4.72441 in", "in the unit that is picked there"
    # 14.7512 lb·ft is 20 N·m: what is wanted may be said in another unit
    assert back(page, "14,7512", "adapter", unit="lb·ft").startswith("Adapter, drive to bolt: 4.7244")
    assert back(page, "400", "adapter", unit="N·m") == "Adapter, drive to bolt: no answer between 0 in and 15.748 in."
    assert back(page, "1,234", "adapter") == "Not used. 1,234 may be 1234 or 1.234. Type one of the two."
    back(page, "20", "adapter")
    page.fill("#in-torque", "")
    expect(page.locator("#back-says")).to_have_text("Needs: Torque at the bolt")


def test_two_answers_are_both_told(page: Page) -> None:
    # A joint bends as much whether the shaft falls away from it or rises.
    open_(page, "propshaft-angles/")
    output = "front"
    said = back(page, "1", output=output)
    match = re.fullmatch(r".+: two answers: (\S+) ° and (\S+) °\.", said)
    assert match, said
    for index in (0, 1):
        page.locator("[data-back] button").nth(index).click()
        expect(page.locator(f'[data-output="{output}"] [data-also]')).to_have_text("1.0 °")
        back(page, "1", output=output)


# ---- from a unit

def test_a_unit_fills_the_fields_with_its_states(page: Page) -> None:
    open_(page, f"thread-condition/?{AXLE}&group=cover")
    assert page.locator("#in-target").input_value() == "26"
    assert page.locator("#in-stated").input_value() == "dry"
    told = page.locator("[data-from]")
    expect(told).to_contain_text("Filled from Ardmoor Thornback, HR-225C rear axle, cover. A demo vehicle, invented.")
    expect(told.get_by_role("link", name="HR-225C rear axle")).to_have_attribute(
        "href", "../../vehicles/thornback/#thornback-rear-axle")
    open_(page, "thread-condition/?for=drystone/wheels")
    page.select_option("#in-actual", "lubricated")
    assert "113 N·m: plausible." in told.inner_text()


def test_the_poorest_state_wins_and_goes_with_its_number(page: Page) -> None:
    open_(page, "fill-reconcile/?for=drystone/front-axle")
    state = page.locator("[data-state]")
    expect(state).to_have_text("conflict")
    expect(page.locator("[data-from] li")).to_have_text(
        ["Table, drain and refill 1.35 L: conflict, another source says 1.10 L."])
    assert page.locator("#line").input_value().endswith(" · conflict")
    page.fill("#in-table", "1.3")
    expect(state).to_have_text("unverified")  # the method's own
    page.fill("#in-table", "1.35")
    expect(state).to_have_text("conflict")


def test_what_the_unit_does_not_have_is_said_and_left_empty(page: Page) -> None:
    open_(page, "hole-tilt/?for=thornback/front-axle")
    expect(page.locator("[data-from]")).to_contain_text("Surface of the oil: not recorded. Type or pick it.")
    assert page.locator("#in-surface").input_value() == "", "never the example's figure"
    expect(page.locator("[data-example]")).to_have_text(
        "What the unit does not give are example figures. Type your own.")


def test_several_groups_of_bolts_are_one_tap_apart(page: Page) -> None:
    open_(page, f"torque-units/?{AXLE}")
    assert page.locator("#in-target").input_value() == ""
    expect(page.locator("[data-from]")).to_contain_text("Torque wanted: pick the bolts.")
    page.get_by_role("link", name="Fill plug", exact=True).click()
    expect(page.locator("#in-target")).to_have_value("45")
    expect(page.locator("[data-from]")).to_contain_text("Torque wanted 45 N·m: unverified.")
    expect(page.get_by_role("link", name="Fill plug", exact=True)).to_have_attribute("aria-current", "true")


@pytest.mark.parametrize(("asked", "says"), [
    ("nowhere/rear-axle", "Not filled from a unit. There is no vehicle ‘nowhere’ on this phone. "
                          "It may be on another one, or was taken away."),
    ("thornback/sidecar", "Not filled from a unit. Ardmoor Thornback has no unit ‘sidecar’."),
    ("thornback", "Not filled from a unit. Ardmoor Thornback has no unit ‘’."),
    ("thornback/__proto__", "Not filled from a unit. Ardmoor Thornback has no unit ‘__proto__’."),
])
def test_a_unit_that_is_not_there_is_said_and_the_page_works(page: Page, asked: str, says: str) -> None:
    open_(page, f"torque-adapter/?for={asked}&torque=26 N·m")
    expect(page.get_by_role("alert").filter(has_text="Not filled")).to_have_text(says)
    assert value(page, "setting") == "22.6 N·m"


def test_a_unit_of_ones_own_fills_it_too(tab: Page) -> None:
    vehicle = add_marten(tab)
    tab.locator("section.entry", has=tab.get_by_role("heading", name="Rear axle")).get_by_role(
        "link", name="Work out for this unit").click()
    expect(tab.locator("[data-from]")).to_contain_text("For Corrie Marten, Rear axle.")
    tab.goto(f"work-out/cold-start/?for={vehicle}/rear-axle")
    expect(tab.locator("[data-from]")).to_contain_text("Filled from Corrie Marten, Rear axle.")
    expect(tab.locator("#in-coldest")).to_have_value("-12")


# ---- as it was left

def test_the_figures_are_found_as_they_were_left(page: Page) -> None:
    left = page.locator("[data-left]")
    open_(page, "torque-adapter/")
    expect(left).to_be_hidden()
    page.fill("#in-torque", "31,5")
    page.select_option('[data-input="adapter"] select', "in")
    open_(page, "torque-adapter/")
    day = page.evaluate("new Date().toLocaleDateString('en-CA')")
    expect(left).to_contain_text(f"As you left it on {day}.")
    assert page.locator("#in-torque").input_value() == "31,5"
    assert page.locator('[data-input="adapter"] select').input_value() == "in"
    expect(page.locator("[data-example]")).to_be_hidden()
    open_(page, "torque-adapter/?torque=26 N·m")
    assert page.locator("#in-torque").input_value() == "26", "the address wins"
    expect(left).to_be_hidden()
    open_(page, "torque-adapter/")
    page.get_by_role("button", name="Start anew").click()
    expect(page.locator("[data-example]")).to_be_visible()
    expect(left).to_be_hidden()
    open_(page, "torque-adapter/")
    expect(left).to_be_hidden()


def test_each_unit_has_its_own_and_a_changed_unit_wins(page: Page) -> None:
    open_(page, f"fill-reconcile/?{AXLE}")
    page.fill("#in-out", "1.9")
    open_(page, "fill-reconcile/?for=thornback/front-axle")
    assert page.locator("#in-out").input_value() != "1.9"
    open_(page, f"fill-reconcile/?{AXLE}")
    expect(page.locator("[data-left]")).to_be_visible()
    assert page.locator("#in-out").input_value() == "1.9"
    # As if the sheet had said another refill when it was left.
    page.evaluate("""() => { for (const key of Object.keys(localStorage)) if (key.includes(':inputs:')) {
      const kept = JSON.parse(localStorage.getItem(key)); kept.unit.table = '2.20 L';
      localStorage.setItem(key, JSON.stringify(kept)) } }""")
    open_(page, f"fill-reconcile/?{AXLE}")
    expect(page.locator("[data-from]")).to_contain_text(
        "Its figures have changed since you were here, so these are the new ones.")
    assert page.locator("#in-out").input_value() != "1.9"
    assert page.locator("#in-table").input_value() == "2.35"


@pytest.mark.parametrize("kept", ["{", "null", '"x"', '{"at": 1}', '{"at": 1, "fields": {"torque": 5}, "unit": {}}'])
def test_what_is_kept_and_no_good_is_let_be(page: Page, kept: str) -> None:
    open_(page, "torque-adapter/")
    page.fill("#in-torque", "31")
    page.evaluate("""kept => localStorage.setItem(
        Object.keys(localStorage).find((key) => key.includes(':inputs:')), kept)""", kept)
    open_(page, "torque-adapter/")
    expect(page.locator("[data-example]")).to_be_visible()
    expect(page.locator("[data-left]")).to_be_hidden()


def test_only_so_many_are_kept(page: Page) -> None:
    open_(page, "torque-adapter/")
    count = page.evaluate("""async () => { const { inputs } = await import('../../js/store/inputs.js');
      for (let i = 0; i < 100; i += 1) inputs.write(`made-up ${i}`, { at: i, fields: {}, unit: {} });
      return [Object.keys(localStorage).filter((key) => key.includes(':inputs:')).length,
        inputs.read('made-up 0'), inputs.read('made-up 99')?.at] }""")
    assert count == [80, None, 99]


# ---- carried on

def test_the_link_holds_the_figures_and_works_without_signal(stored: tuple[BrowserContext, str]) -> None:
    context, origin = stored
    context.grant_permissions(["clipboard-read", "clipboard-write"], origin=origin)
    page = context.new_page()
    faults = watch(page, origin, quiet=("/sw.js",))
    open_(page, f"thread-condition/?{AXLE}&group=cover")
    page.fill("#in-target", "19,2")
    page.select_option('[data-input="target"] select', "lb·ft")
    page.select_option("#in-actual", "lubricated")
    before = value(page, "torque")
    page.get_by_role("button", name="Copy link with these figures").click()
    expect(page.locator("[data-copied]")).to_have_text("Copied.")
    link = page.evaluate("navigator.clipboard.readText()")
    assert parse_qs(urlsplit(link).query) == {
        "for": ["thornback/rear-axle"], "group": ["cover"], "target": ["19,2 lb·ft"], "stated": ["dry"],
        "actual": ["lubricated"], **{key: found for key, found in parse_qs(urlsplit(link).query).items()
                                     if key not in {"for", "group", "target", "stated", "actual"}}}
    page.evaluate("localStorage.clear()")
    page.goto(link)
    expect(page.locator("#in-target")).to_have_value("19,2")
    expect(page.locator("[data-from]")).to_contain_text("HR-225C rear axle")
    assert (value(page, "torque"), page.locator("#in-actual").input_value()) == (before, "lubricated")
    assert faults == []
    page.close()


def test_litres_go_to_the_buy_list(page: Page) -> None:
    open_(page, f"ls-additive/?{AXLE}")
    link = page.locator('[data-output="oil_pour"]').get_by_role("link", name="Put it on the buy list")
    expect(link).to_be_visible()
    wanted = value(page, "oil_pour")
    need = parse_qs(urlsplit(link.get_attribute("href") or "").query)["need"][0]
    assert float(need.split()[0]) == pytest.approx(float(wanted.split()[0]), rel=0.01)
    link.click()
    page.wait_for_url("**/work-out/buy-list/?*")
    expect(page.locator("#in-need")).to_have_value(need.split()[0])


def test_an_answer_becomes_a_note_of_the_open_job_and_outlives_a_restart(
    playwright: Playwright, chromium_path: str, tmp_path: Path, served: SiteServer,
) -> None:
    def start() -> tuple[BrowserContext, Page]:
        context = open_profile(playwright, tmp_path / "phone", chromium_path, base_url=served.url,
                               service_workers="block")
        return context, context.new_page()

    context, page = start()
    hands = Worker(page)
    hands.begin("p11/thornback/wheels", "112500")
    job = hands.job
    page.get_by_role("link", name="Work out", exact=True).first.click()
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"^\d+ for this unit$"))
    page.locator("a.row.big", has_text=SITE.calculators["torque-adapter"].title).click()
    put = page.get_by_role("button", name="Put into the open job P11, Thornback wheels")
    expect(put).to_be_enabled()
    line = page.locator("#line").input_value()
    assert "122 N·m" in line and line.endswith("plausible")
    put.click()
    expect(page.get_by_text(re.compile(r"^In the job as a note\. Saved \d\d:\d\d\.$"))).to_be_visible()
    expect(put).to_be_disabled()
    open_(page, "torque-adapter/?for=drystone/wheels")
    expect(page.locator("[data-jobs] button")).to_have_count(0)  # the job of another unit is none of its business
    context.close()

    context, page = start()
    page.goto(f"job/?open={job}")
    expect(page.get_by_label("Notes of no step").get_by_role("listitem")).to_have_text([line])
    kept = page.evaluate("job => import('../js/store.js').then((store) => store.events(job))", job)
    notes = [event["data"] for event in kept if event["kind"] == "note"]
    assert notes == [{"step": 0, "text": line}]
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    expect(page.locator(".decided", has_text="Notes.")).to_contain_text(line)
    context.close()


def test_a_job_held_by_another_tab_takes_no_note(chromium: Browser, served: SiteServer) -> None:
    context = chromium.new_context(base_url=served.url, service_workers="block")
    one, two = context.new_page(), context.new_page()
    hands = Worker(one)
    hands.begin("p11/thornback/wheels", "112500")
    open_(two, "torque-adapter/?for=thornback/wheels")
    two.get_by_role("button", name=re.compile("^Put into the open job")).click()
    expect(two.locator("[data-jobs] .say")).to_have_text(
        "NOT saved. The job is open in another tab. Close it there, or copy the line.")
    kept = one.evaluate("job => import('../js/store.js').then((store) => store.events(job))", hands.job)
    assert [event["kind"] for event in kept] == ["begin"]
    context.close()


# ---- the list

def test_the_list_narrows_as_one_types(page: Page) -> None:
    page.goto("work-out/")
    rows = page.locator("a[data-kinds]")
    every = rows.count()
    assert every == len(tools.every(SITE))
    page.fill("#q", "coolant")
    expect(page.locator("[data-count]")).to_have_text(re.compile(r"^\d found$"))
    assert page.locator("a[data-kinds]:visible b").all_inner_texts()[0].lower().count("coolant")
    expect(page.locator(".group:visible h2")).to_have_text(["Other fluids"])
    page.fill("#q", "zzzz")
    expect(page.locator("[data-count]")).to_have_text("Nothing found for “zzzz”. Try one word less.")
    page.fill("#q", "")
    expect(page.locator("a[data-kinds]:visible")).to_have_count(every)


def test_the_list_of_a_unit_keeps_the_unit(page: Page) -> None:
    page.goto("vehicles/thornback/")
    page.locator("#thornback-cooling").get_by_role("link", name="Work out for this unit").click()
    expect(page.locator("[data-from]")).to_contain_text("For Ardmoor Thornback, TB coolant cooling system.")
    shown = page.locator("a[data-kinds]:visible")
    titles = shown.locator("b").all_inner_texts()
    assert SITE.calculators["coolant-share"].title in titles
    assert SITE.calculators["axle-ratio"].title not in titles
    page.get_by_role("button", name="Show all").click()
    expect(shown).to_have_count(len(tools.every(SITE)))
    page.locator("a[data-kinds]", has_text=SITE.calculators["coolant-share"].title).click()
    expect(page.locator("[data-from]")).to_contain_text("Filled from Ardmoor Thornback, TB coolant cooling system.")


def test_no_page_of_work_out_is_an_orphan(dist: Path) -> None:
    """Each is on the list, for some kind of unit whose page leads there, and no card asks for what is not there."""
    listed = (dist / "work-out/index.html").read_text("utf-8")
    found = re.findall(r'href="\.\./work-out/([^/]+)/" data-kinds="([^"]*)"', listed)
    rows = {name: set(kinds.split()) for name, kinds in found}
    there = {path.parent.name for path in dist.glob("work-out/*/index.html")}
    assert set(rows) == there == set(tools.every(SITE))
    kinds = {unit.kind for vehicle in SITE.vehicles.values() for unit in vehicle.units.values()}
    on_cards = {name for card in SITE.cards.values() for name in card.work_out}
    assert [name for name, fits in rows.items() if not fits & kinds and name not in on_cards] == []
    for name in SITE.vehicles:
        page = (dist / f"vehicles/{name}/index.html").read_text("utf-8")
        for unit in SITE.vehicles[name].units:
            assert f"work-out/?for={name}/{unit}" in page
    for card in SITE.cards.values():
        page = (dist / f"cards/{card.no.lower()}/index.html").read_text("utf-8")
        assert card.work_out and all(f"work-out/{one}/" in page for one in card.work_out), card.no
    assert json.loads((dist / "data/site.json").read_text("utf-8"))["cards"]
