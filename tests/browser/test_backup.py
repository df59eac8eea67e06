"""The backup page: all that is kept goes out as one file and comes back, whole or not at all, also on another phone."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Download, Page, expect

import backups
from backuppage import DATA, kept, on_store, own_log, pick, wipe
from harness import LONDON, Handsets, SiteServer, watch
from jobs import Worker

NASTY = '<img src=x onerror="alert(1)"> =1+1, "two"\nlines'
# A stand-in for the share sheet, which this browser does not have: it takes text only, and answers as told.
SHEET = """answer => {
  window.sheet = []
  navigator.canShare = ({ files }) => files.every((one) => one.type === 'text/plain')
  navigator.share = async ({ files }) => {
    sheet.push([files[0].name, files[0].type, navigator.userActivation.isActive, await files[0].text()])
    if (answer) throw new DOMException('no', answer)
  }
}"""


@pytest.fixture
def page(handsets: Handsets, served: SiteServer) -> Iterator[Page]:
    page = handsets.take(**LONDON).new_page()
    faults = watch(page, served.origin, quiet=("/favicon.ico",))
    yield page
    page.close()
    assert faults == []


def fill(page: Page, dist: Path, tmp_path: Path) -> None:
    """Work: a job with a photo and a note, three entries by hand, one's own vehicle changed once."""
    Image.effect_noise((300, 200), 90).convert("RGB").save(tmp_path / "photo.jpg", "JPEG")
    worker = Worker(page)
    worker.begin("p01/thornback/rear-axle", "112410", "gasket")
    worker.done(1)
    page.locator("[data-step='1'] .more summary").click()
    page.locator("[data-step='1'] input[type=file]").set_input_files(tmp_path / "photo.jpg")
    expect(page.locator("[data-step='1'] .kept-with img")).to_be_visible()
    worker.saved()
    records = own_log(dist, 3)
    records[0]["entry"]["says"] = NASTY
    sheet = json.loads((dist / "data/vehicles/drystone.json").read_text("utf-8"))
    on_store(page, """for (const one of arg.records) await store.addToLog(one)
        for (const rev of [1, 2]) {
          await store.putVehicle({ id: 'my-drystone', rev, at: rev, sheet: { ...arg.sheet, rev } })
        }""",
             {"records": records, "sheet": {key: value for key, value in sheet.items() if key != "changed"}})


def sums(page: Page) -> tuple[int, ...]:
    """Wait for the preview and return what it adds, what is here, what takes an older one's place, what clashes."""
    line = page.locator("section .sums")
    expect(line).to_contain_text("Adds")
    return tuple(int(number) for number in re.findall(r"\d+", line.inner_text()))


def given_out(page: Page) -> str:
    """Give the backup out as a download, and say that it arrived."""
    with page.expect_download() as caught:
        page.get_by_role("button", name=re.compile("^Give out the backup, ")).click()
    text = Path(caught.value.path()).read_text("utf-8")
    assert re.fullmatch(r"fillmark-backup-\d{4}-\d\d-\d\d\.txt", caught.value.suggested_filename)
    return text


def test_a_lost_phone_is_brought_back_to_the_byte(page: Page, dist: Path, tmp_path: Path) -> None:
    fill(page, dist, tmp_path)
    before = kept(page)
    state = page.locator("p.sums").first
    expect(state).to_have_text("No backup yet: 5 entries are only on this phone")
    text = given_out(page)
    expect(state).to_have_text("No backup yet: 5 entries are only on this phone"), "a download may have failed"
    page.get_by_role("button", name="It arrived").click()
    expect(state).to_have_text("No entry waits for a backup.")
    expect(page.locator(".facts").first).to_contain_text("Photos1, ")

    body = [line + "\n" for line in text.split("\n") if line.startswith('{"store":')]
    head = next(json.loads(line) for line in text.split("\n") if line.startswith('{"backup":'))
    assert head["sha256"] == hashlib.sha256("".join(body).encode()).hexdigest()
    assert any("Axle oil change" in line for line in text.split("\n")[:6]), "a person can read what is in it"

    wipe(page)
    assert kept(page) == []
    pick(page, text)
    assert sums(page) == (6, 0, 0, 0), "one job, three entries, one vehicle, one photo"
    assert kept(page) == [], "shown, and not stored"
    pick(page, text)
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text(
        "Taken in and read back. 1 job, 3 log entries, 1 photo, 1 vehicle.")
    assert kept(page) == before
    pick(page, text)
    assert sums(page) == (0, 6, 0, 0)
    expect(page.locator("section").last).to_contain_text("Nothing to take in.")
    expect(page.locator("[data-take]")).to_have_count(0)
    # The job goes on where it was, with its photo; what was typed is text.
    job = json.loads(next(line for line in before if line.startswith('{"store":"jobs"')))["record"]["id"]
    page.goto(f"job/?open={job}")
    expect(page.locator("[data-step='1']")).to_have_class(re.compile(r"\bdone\b"))
    Worker(page).done(2)
    page.goto("log/?entry=L01")
    expect(page.locator("main")).to_contain_text("<img src=x onerror")
    assert page.locator("img[src=x]").count() == 0


def test_two_phones_that_went_apart_are_shown_side_by_side(page: Page, dist: Path) -> None:
    first, second, third = own_log(dist, 3)
    sheet = json.loads((dist / "data/vehicles/thornback.json").read_text("utf-8"))
    other = {**sheet, "name": NASTY.replace("\n", " ")}
    on_store(page, "for (const one of arg.log) await store.addToLog(one); await store.putVehicle(arg.vehicle)",
             {"log": [first, second], "vehicle": {"id": "mine", "rev": 1, "at": 5, "sheet": sheet}})
    changed = json.loads(json.dumps(second))
    changed["entry"]["fluid"] = "another oil"
    text = backups.text({"log": [second | {"entry": changed["entry"]}, third],
                         "vehicles": [{"id": "mine", "rev": 1, "at": 5, "sheet": other}]})
    page.goto("backup/")
    pick(page, text)
    assert sums(page) == (1, 0, 0, 2)
    clashes = page.locator(".clash")
    expect(clashes.first).to_contain_text(f"fluid, here{second['entry']['fluid'] or 'nothing'}")
    expect(clashes.first).to_contain_text("fluid, in the fileanother oil")
    expect(clashes.last).to_contain_text(f"name, in the file{other['name']}")
    stays = [one.inner_text() for one in clashes.locator("b").all()]
    before = kept(page)
    pick(page, text)
    with page.expect_download() as caught:
        page.get_by_role("button", name="Give out what is here now").click()
    saved = Path(caught.value.path()).read_text("utf-8").split("\n")
    assert [line for line in before if line not in saved] == [], "the state before can be had back"
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]").last).to_contain_text("Taken in and read back.")
    log = {one["id"]: one for one in on_store(page, "return await store.log()")}
    assert set(log) == {first["id"], second["id"], third["id"]}
    theirs = "What is in the file takes its place" in stays[0]
    assert log[second["id"]]["entry"]["fluid"] == ("another oil" if theirs else second["entry"]["fluid"])
    pick(page, text)
    assert sums(page)[0] == 0, "the other way round nothing more is to be added"


def test_story_15_in_an_app_on_the_home_screen_what_was_not_handed_over_is_no_backup(page: Page, dist: Path) -> None:
    """There a download is a trap. Such an app is stood in for: only other browsers say `standalone`."""
    [one, two] = own_log(dist, 2)
    on_store(page, "await store.addToLog(arg)", one)
    page.goto("backup/")
    state = page.locator("p.sums").first
    give = page.locator("[data-give]")
    downloads: list[Download] = []
    page.on("download", lambda one: downloads.append(one))
    page.evaluate("Object.defineProperty(navigator, 'standalone', { value: true, configurable: true })")
    for answer, says in {"AbortError": "was NOT handed over: the share sheet was closed.",
                         "NotAllowedError": "was NOT handed over. Tap again, or copy the text."}.items():
        page.evaluate(SHEET, answer)
        give.click()
        expect(page.get_by_text(says)).to_be_visible()
        expect(state).to_have_text("No backup yet: 1 entry is only on this phone")
        expect(page.get_by_role("button", name="It arrived")).to_have_count(0)
    expect(page.get_by_role("button", name="Copy the text")).to_be_visible()
    expect(give).to_be_enabled()
    page.evaluate(SHEET, "")
    on_store(page, "await store.addToLog(arg)", two)  # after the file was made: it is not in it
    give.click()
    expect(page.get_by_text("Counted as backed up.")).to_be_visible()
    expect(state).to_have_text("1 entry since the last backup")
    [[name, kind, in_the_tap, text]] = page.evaluate("sheet")
    assert (kind, in_the_tap, downloads) == ("text/plain", True, [])
    assert name.endswith(".txt") and f'"id":"{one["id"]}"' in text and f'"id":"{two["id"]}"' not in text
    with page.expect_download() as caught:
        page.evaluate("delete navigator.share; delete navigator.standalone")
        page.get_by_role("button", name="Give out the log as a table").click()
    table = Path(caught.value.path()).read_bytes()
    assert table.count(b"\r\n") == 3 and caught.value.suggested_filename.endswith(".csv")


def test_story_16_a_backup_of_any_name_can_be_picked_and_taken_in(page: Page, dist: Path) -> None:
    """An input that asks for certain kinds of file greys out a backup whose kind the phone does not know."""
    page.goto("backup/")
    assert page.locator("#backup-file").get_attribute("accept") is None
    for record, name in zip(own_log(dist, 4), ("log.txt", "log.json", "log.jsonl", "log"), strict=True):
        pick(page, backups.text({"log": [record]}), name)
        assert sums(page) == (1, 0, 0, 0), name
        page.locator("[data-take]").click()
        expect(page.locator("section [role=alert]"), name).to_have_text("Taken in and read back. 1 log entry.")
    assert len(kept(page)) == 4
    page.goto("garage/")
    page.get_by_role("button", name="Take in a vehicle").click()
    assert page.locator("#own-file").get_attribute("accept") is None


def test_story_17_an_app_on_the_home_screen_with_nothing_kept_offers_the_backup_first(page: Page, dist: Path) -> None:
    """To install can leave the record behind in the browser. The app is stood in for, as in story 15."""
    first = page.locator("main h1 + section")
    page.goto("")
    expect(page.locator("[data-install-steps]")).to_be_visible()
    expect(first).to_have_count(0)
    page.add_init_script("Object.defineProperty(navigator, 'standalone', { value: true })")
    page.goto("")
    first.get_by_role("link", name="Take in a backup").click()
    text = backups.text({"log": own_log(dist, 3)})
    pick(page, text)
    assert sums(page) == (3, 0, 0, 0)
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text("Taken in and read back. 3 log entries.")
    once = kept(page)
    pick(page, text)
    assert sums(page) == (0, 3, 0, 0)
    expect(page.locator("section").last).to_contain_text("Nothing to take in.")
    expect(page.locator("[data-take]")).to_have_count(0)
    assert kept(page) == once
    page.goto("")
    expect(page.locator("[data-module=install]")).to_be_hidden()
    expect(page.locator("[data-module=today] .sums")).to_be_visible()
    expect(first).to_have_count(0)


def test_story_18_a_hostile_file_is_refused_whole_and_a_script_is_text(
    page: Page, dist: Path, tmp_path: Path
) -> None:
    page.goto("backup/")
    log = own_log(dist, 2)
    whole = backups.text({"log": log})
    wrong = backups.text({"log": [log[0], log[1] | {"at": "5"}]})
    polluting = backups.text({"log": [log[0], json.loads('{"__proto__": {"polluted": true}}') | log[1]]})
    refused = page.locator("section .refused")
    page.get_by_text("Or paste its text").click()
    for text, says in {
        whole.replace('"date":"20', '"date":"19', 1): "its digest is not that of its records.",
        whole[:900]: "is cut or changed: it is no record.",
        "Dear diary": "This is no backup of this site.",
        wrong: 'log.at must be a whole number from 0, got "5"',
        polluting: 'holds the key "__proto__"',
        backups.text({"photos": [backups.photo("p", "j", b"<svg onload=alert(1)>")]}): "must be a JPEG picture",
    }.items():
        page.get_by_label("All of the text").fill(text)
        page.get_by_role("button", name="Look it over").click()
        expect(refused).to_contain_text(says)
        expect(refused).to_contain_text("Nothing was taken in.")
        pick(page, text)
        expect(refused).to_contain_text(says)
    heavy = [log[0], log[1] | {"entry": log[1]["entry"] | {"says": "x" * 50_000_000}}]
    (tmp_path / "heavy.txt").write_text(backups.text({"log": heavy}), "utf-8")
    page.locator("#backup-file").set_input_files(tmp_path / "heavy.txt")
    expect(refused).to_contain_text("is longer than any record, 50000", timeout=20_000)
    assert page.evaluate("'polluted' in {} || Object.keys(Object.prototype).length") == 0
    assert kept(page) == [], "not even the good entry beside the bad one"

    script = "<script>window.hacked = 1</script><img src=x onerror='window.hacked = 1'>"
    pick(page, backups.text({"log": [log[0] | {"entry": log[0]["entry"] | {"says": script}}]}))
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text("Taken in and read back. 1 log entry.")
    page.goto(f"log/?entry={log[0]['id']}")
    expect(page.locator("main")).to_contain_text(script)
    assert page.evaluate("'hacked' in window") is False


def test_without_https_no_digest_is_made_and_that_is_said(page: Page, dist: Path) -> None:
    page.add_init_script("Object.defineProperty(Crypto.prototype, 'subtle', { value: undefined })")
    [one, two] = own_log(dist, 2)
    on_store(page, "await store.addToLog(arg)", one)
    text = str(page.evaluate(DATA))
    assert '"sha256":""' in text and "No digest could be made on this page" in text
    page.goto("backup/")
    pick(page, text)
    taking = page.locator("section").last
    expect(taking).to_contain_text("The file carries no digest, so a change of it would not show.")
    pick(page, backups.text({"log": [two]}))
    expect(taking).to_contain_text("Its digest could not be checked on this page, which has no https.")
