"""The log by hand on a phone at 360 px: top-up, crossing, test with photo, correction, demo log, printed history."""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Iterator
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, FilePayload, expect

from harness import LONDON, Handsets, SiteServer, watch
from jobs import Worker

DAY = dt.datetime(2026, 4, 18, 8, 0, tzinfo=dt.UTC)  # the demo garage's own day, 9:00 in London


# Twelve hundred entries more: every twelfth is of the Drystone.
MANY = """async () => {
  const store = await import('../js/store.js')
  const [{ entry }] = await store.log()
  const log = Array.from({ length: 1200 }, (_, n) => ({ id: `m${n}`, at: n, followUps: [], entry: {
    ...entry, id: `m${n}`, replaces: '', closes: [], event: '', procedure: 'P14', photos: [],
    vehicle: n % 12 ? 'wicket' : 'drystone', unit: n % 12 ? 'battery' : 'wheels',
    date: `${2000 + Math.floor(n / 60)}-01-01`, odometer: { typed: `${n}`, unit: 'km', si: n * 1000 } } }))
  await store.restore({ log })
}"""


@pytest.fixture(scope="module")
def phone(handsets: Handsets) -> BrowserContext:
    return handsets.take("with a clock", has_touch=True, **LONDON)


@pytest.fixture
def hands(phone: BrowserContext, served: SiteServer) -> Iterator[Hand]:
    page = phone.new_page()
    faults = watch(page, served.origin)
    page.clock.install(time=DAY)
    yield Hand(page)
    page.close()
    assert faults == []


class Hand(Worker):
    """Picks and fields of the quick form."""

    def add(self, vehicle: str, unit: str, work: str, event: str = "") -> None:
        self.page.goto("log/add/")
        for pick in filter(None, (vehicle, unit, work, event)):
            button = self.page.locator(f"[data-pick='{pick}']")
            expect(button).to_be_attached()
            if not button.is_visible():
                self.page.locator(".pick details summary").click()
            button.click()

    def type(self, **values: str) -> None:
        for name, value in values.items():
            amount, _, unit = value.partition(" ")
            place = self.page.locator(f"[data-field='{name.replace('_', '-')}']")
            pick = place.locator("select.unit")
            if pick.count() and unit:
                pick.select_option(unit)
                value = amount
            self._enter(place, value)

    def save(self, name: str = "Save the entry") -> None:
        self.page.get_by_role("button", name=name).click()
        self.saved_as = self.page.get_by_role("link", name="See it in the log").get_attribute("href") or ""

    def refused(self, words: str) -> None:
        self.page.get_by_role("button", name=re.compile("^Save the")).click()
        expect(self.page.locator(".quick > .refused")).to_contain_text(words)
        assert "Saved." not in self.page.locator("main").inner_text()

    def stored(self) -> dict[str, Any]:
        id_ = self.saved_as.rpartition("=")[2]
        [found] = [one["entry"] for one in self.log() if one["id"] == id_]
        return dict(found)

    def open_log(self, query: str = "") -> None:
        self.page.goto(f"log/{query}")
        expect(self.page.get_by_role("link", name="Log an entry")).to_be_visible()


def test_a_top_up_without_signal(worker: Worker) -> None:
    """The odometer is held against the last one, litres against the table; saved is said when the store has it."""
    hand, page = Hand(worker.page), worker.page
    hand.add("thornback", "rear-axle", "P18")
    expect(page.locator(".quick")).to_be_focused()
    hand.refused("Type the odometer.")
    hand.type(odometer="11238 mi")
    expect(page.locator(".odd")).to_contain_text(re.compile("less than the last reading, 112.380.mi on 2026-04-18"))
    hand.refused("Say why the odometer reading is right")
    hand.type(odometer="180900 km")
    expect(page.locator(".odd")).to_be_hidden()
    expect(page.locator(".quick")).to_contain_text(re.compile("180900 km is 112.406.mi"))  # 180 900 / 1.609344
    hand.type(odometer="112400 mi")
    hand.refused("Nothing is told yet.")
    hand.type(**{"in": "0,63 imp pt"}, level_found="15 mm", level_verified="yes", vehicle_level="no")
    # 0.63 x 0.56826 L = 0.358 L, of 2.35 L that is 15 %.
    expect(page.locator(".verdict")).to_contain_text("0,63 imp pt (0.358 L) is 15 % of the refill, 2.35 L.")
    page.get_by_role("button", name="As the table: 75W-110 GL-5 LS").click()
    page.get_by_role("button", name="Change unit: HR-225C rear axle").click()
    page.locator("[data-pick=rear-axle]").click()  # the same again: what was typed stays
    hand.type(level_found="1,234 mm")
    hand.refused("Level found, below the hole: Not used.")
    hand.type(level_found="15 mm", says="filled on the yard slope")
    page.locator("summary", has_text="Parts, receipt, waste").click()
    hand.type(receipt="drawer 3", waste_what="cloths", waste_where="the depot")
    hand.save()
    [record] = hand.log()
    entry = record["entry"]
    assert (entry["date"], entry["unit"], entry["procedure"], entry["job"]) == ("2026-06-10", "rear-axle", "P18", "")
    assert (entry["in"]["typed"], entry["in"]["unit"]) == ("0,63", "imp pt")
    assert entry["in"]["si"] == pytest.approx(0.63 * 0.56826125e-3)
    assert entry["found"]["level-found"] == {"typed": "15", "unit": "mm", "si": pytest.approx(0.015)}
    assert (entry["fluid"], entry["levelVerified"], entry["vehicleLevel"]) == ("75W-110, GL-5 LS", "yes", "no")
    assert (entry["receipt"], entry["waste"], entry["deviations"]) == ("drawer 3", "cloths, to the depot", [])
    page.get_by_role("link", name="See it in the log").click()
    expect(page.locator(".entry-of")).to_contain_text("P18 Level look and top-up")
    expect(page.locator(".entry-of")).to_contain_text("filled on the yard slope")


def test_a_crossing_and_the_look_that_settles_it(hands: Hand) -> None:
    page = hands.page
    hands.add("thornback", "whole", "event", "water-crossing")
    hands.type(odometer="112385", water_depth="0.65", breather_height="1.05", says="causeway, ten minutes, axles hot")
    hands.save()
    crossing = hands.stored()
    assert (crossing["event"], crossing["unit"]) == ("water-crossing", "whole")
    assert crossing["found"]["water-depth"] == {"typed": "0.65", "unit": "m", "si": 0.65}

    hands.add("thornback", "front-axle", "P13")
    looks = page.locator("fieldset label", has_text="Inspect after water")
    expect(looks).to_have_count(5)  # both axles, transfer case, gearbox, engine
    own = looks.filter(has_text="front axle").locator("input")
    expect(own).to_be_checked()
    expect(looks.filter(has_text="transfer case").locator("input")).not_to_be_checked()
    hands.type(odometer="112386", colour="clear amber", water="none seen", magnet="0")
    hands.save()
    assert hands.stored()["closes"] == [f"{crossing['id']}:water-crossing:front-axle"]
    hands.add("thornback", "transfer", "P13")
    expect(looks).to_have_count(4)
    hands.open_log(f"?entry={crossing['id']}")
    expect(page.locator(".entry-of")).to_contain_text("HF-190C front axle (2026-04-19) closed by 2026-04-18 P13")
    expect(page.locator(".entry-of")).to_contain_text("TP2C transfer case (2026-04-19) open")


def test_a_test_with_a_photo(hands: Hand) -> None:
    page = hands.page
    shot = io.BytesIO()
    Image.effect_noise((900, 700), 90).convert("RGB").save(shot, "JPEG")
    photo: FilePayload = {"name": "IMG_7.jpg", "mimeType": "image/jpeg", "buffer": shot.getvalue()}
    hands.add("thornback", "cooling", "test")
    hands.type(odometer="112390", glycol_share="33", temperature="12 °C")
    box = page.locator("#entry-photo")
    box.set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"})
    expect(page.locator(".quick")).to_contain_text("No photo kept: a.jpg is not a photo.")
    for _ in range(2):
        box.set_input_files(photo)
        expect(page.locator(".quick")).to_contain_text("Photo ready")
    page.get_by_role("button", name="Take it away").first.click()
    expect(page.locator(".kept-with img")).to_have_count(1)
    hands.save()
    entry = hands.stored()
    assert entry["found"]["glycol-share"] == {"typed": "33", "unit": "%", "si": pytest.approx(0.33)}
    [kept] = hands._ask(f"(await store.photosOf('{entry['id']}')).map(one => [one.id, one.width, one.blob.type])")
    assert kept == [entry["photos"][0], 900, "image/jpeg"]
    hands.open_log(f"?entry={entry['id']}")
    expect(page.locator(".entry-of img")).to_be_visible()
    assert page.locator(".entry-of img").evaluate("img => img.decode().then(() => img.naturalWidth)") == 900


def test_a_correction_keeps_the_old_one(hands: Hand) -> None:
    page = hands.page
    page.goto("log/add/?vehicle=wicket&unit=gearbox&work=P05")
    hands.type(odometer="1452", out="2.4 imp pt", **{"in": "1.0 L"}, colour="clear brown", says="bottle of a litre")
    # 1.0 of 2.5 imp pt = 1.42 L is 30 % less.
    expect(page.locator(".verdict")).to_contain_text("1.0 L is 30 % less than the refill, 1.42 L (plausible).")
    hands.save()
    old = hands.stored()
    hands.open_log()
    row = page.locator(f"[data-entry='{old['id']}']")
    row.locator("summary").click()
    row.get_by_role("link", name="Correct this").click()
    expect(page.locator("[data-field=in] input")).to_have_value("1.0")
    hands.type(**{"in": "2.5 imp pt"})
    hands.save("Save the correction")
    new = hands.stored()
    assert (new["replaces"], new["in"]["typed"], new["out"]["typed"]) == (old["id"], "2.5", "2.4")
    assert new["found"] == old["found"] and new["says"] == "bottle of a litre"
    assert [one["entry"] for one in hands.log() if one["id"] == old["id"]] == [old], "the old one stays as it was"
    hands.open_log("?vehicle=wicket")
    expect(row.locator("s").first).to_have_text("2026-04-18 · P05 Manual gearbox oil")
    row.locator("summary").click()
    expect(row.get_by_role("link", name="Correct this")).to_have_count(0)
    expect(row.get_by_role("link", name="The correction of 2026-04-18")).to_be_visible()
    page.goto(f"log/add/?replaces={old['id']}")
    expect(page.locator("main")).to_contain_text("corrected on 2026-04-18 already")
    page.get_by_role("link", name="Correct the correction").click()
    page.locator("summary", has_text="It was never done").click()
    page.get_by_role("button", name="Withdraw the entry").click()
    expect(page.locator(".quick > .refused")).to_contain_text("Say why")
    page.locator("#withdraw-why").fill("the other vehicle it was")
    hands.save("Withdraw the entry")
    assert hands.stored()["says"] == "Withdrawn, this was not done: the other vehicle it was"


def test_a_re_torque_by_hand_and_an_odd_odometer_with_its_reason(hands: Hand) -> None:
    page = hands.page
    hands.add("thornback", "wheels", "P11")
    hands.type(odometer="140000", re_torque_found="some nuts moved", torque_wheel="90 lb·ft", threads="dry")
    expect(page.locator(".odd")).to_contain_text("Read it again, digit by digit.")  # more than 25 000 mi in one go
    hands.refused("Say why the odometer reading is right")
    page.locator("#odometer-why").fill("towed home on its own wheels")
    hands.save()
    entry = hands.stored()
    assert entry["deviations"] == ["Odometer: towed home on its own wheels"]
    [used] = entry["torque"]
    assert (used["role"], used["target"], used["state"]) == ("wheel", 122, "dry")
    assert used["used"] == pytest.approx(122.02, abs=0.01)  # 90 x 1.3558179 N·m per lb·ft
    assert entry["left"] == {"re-torque-found": {"typed": "some nuts moved", "unit": "", "si": None}}
    hands.open_log(f"?entry={entry['id']}")
    expect(page.locator(".entry-of")).to_contain_text("Wheel nuts 122 N·m / 90 lb·ft, as the table, threads dry")
    expect(page.locator(".entry-of")).to_contain_text("Odometer: towed home on its own wheels")


def test_the_demo_log_comes_and_goes_and_leaves_ones_own(hands: Hand) -> None:
    page = hands.page
    hands.open_log()
    count, rows = page.locator("[data-module=log] .of[role=status]").nth(1), page.locator(".entry-of")
    own = rows.count()
    assert own > 0 and own == len(hands.log())
    page.get_by_role("button", name="Load the demo log").click()
    expect(count).to_have_text(f"{own + 28} entries")
    expect(page.locator("[data-entry=L21]")).to_contain_text("2.2 US pt (1.04 L)")
    expect(page.locator("[data-entry=L06] s").first).to_have_text("2021-03-06 · P05 Manual gearbox oil")
    assert "Demo." in page.locator("[data-entry=L28]").inner_text()
    assert rows.first.get_attribute("data-entry") not in {f"L{n:02}" for n in range(29)}, "the newest first"
    page.locator("#log-vehicle").select_option("drystone")
    expect(count).to_have_text("7 entries")  # L05, L06, L07, L13, L20, L22, L26
    page.locator("#log-unit").select_option("gearbox")
    expect(count).to_have_text("2 entries")
    assert len(hands.log()) == own, "it is never stored"
    page.get_by_role("button", name="Take the demo log away").click()
    expect(count).to_have_text(f"{own} entries")
    expect(page.locator("[data-entry^=L]")).to_have_count(0)


def test_of_many_entries_only_those_shown_are_built(hands: Hand) -> None:
    page = hands.page
    hands.open_log()
    own = len(hands.log())
    page.evaluate(MANY)
    hands.open_log()
    rows, count = page.locator(".entry-of"), page.locator("[data-module=log] .of[role=status]").nth(1)
    expect(count).to_have_text(f"{own + 1200} entries, the newest 50 shown")
    expect(rows).to_have_count(50)
    page.locator("#log-vehicle").select_option("drystone")
    expect(count).to_have_text("100 entries, the newest 50 shown")
    page.get_by_role("button", name="Show 50 more").click()
    expect(count).to_have_text("100 entries")
    expect(rows).to_have_count(100)
    expect(page.get_by_role("button", name=re.compile("^Show"))).to_be_hidden()
    expect(rows.last).to_contain_text("2000-01-01")
