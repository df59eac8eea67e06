"""A calculator as it was left, and its answer carried on: by a link, to the buy list, into an open job."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from answers import SITE
from browser.test_work_out import AXLE, open_, value
from harness import SiteServer, open_profile, watch
from jobs import Worker


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


def test_a_job_held_by_another_tab_takes_no_note(page: Page) -> None:
    one, two = page, page.context.new_page()
    hands = Worker(one)
    hands.begin("p11/thornback/wheels", "112500")
    open_(two, "torque-adapter/?for=thornback/wheels")
    two.get_by_role("button", name=re.compile("^Put into the open job")).click()
    expect(two.locator("[data-jobs] .say")).to_have_text(
        "NOT saved. The job is open in another tab. Close it there, or copy the line.")
    kept = one.evaluate("job => import('../js/store.js').then((store) => store.events(job))", hands.job)
    assert [event["kind"] for event in kept] == ["begin"]
    two.close()
