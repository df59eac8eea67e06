"""A file is taken as a whole or refused in words; what another program wrote by the same rules is read."""

from __future__ import annotations

import copy
import csv
import hashlib
import io
import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

import backups
from harness import Handsets, SiteServer, watch
from stories import EVERY, START, Story, ask, reading
from stories import copy as copy_of

Json = dict[str, Any]

PARSE = """async (texts) => {
  const { parse } = await import('./js/lib/restore.js')
  const site = await (await fetch('data/site.json')).json()
  const known = { sources: site.sources, units: site.units }
  return JSON.stringify(texts.map((text) => {
    try { return parse(text, known) } catch (error) { return { threw: String(error.stack) } }
  }))
}"""

@pytest.fixture(scope="module")
def stores(dist: Path, vehicles: dict[str, Json]) -> backups.Stores:
    return backups.sample(dist)


@pytest.fixture(scope="module")
def tab(handsets: Handsets, served: SiteServer) -> Any:
    page = handsets.take("of a file").new_page()
    faults = watch(page, served.origin)
    page.goto("about/../404.html")
    yield page
    page.close()
    assert not faults, "\n".join(faults)


def parse(page: Page, *texts: str) -> list[Json]:
    return list(json.loads(page.evaluate(PARSE, list(texts))))


def test_what_another_program_wrote_by_the_same_rules_is_read(tab: Page, stores: backups.Stores) -> None:
    whole = backups.text(stores)
    old = backups.text(stores, backup=1, version=1, sha256="")
    forms = [whole, "\ufeff" + whole, whole.replace("\n", "\r\n"), whole + "Sent from a phone\n", old,
             backups.text({**stores, "notes": [{"key": "claim a", "value": 1}]})]
    for read in parse(tab, *forms):
        assert read.get("ok"), read
        assert read["records"] == stores
    payload = "".join(line + "\n" for line in backups.lines(stores))
    assert parse(tab, whole.replace("\n", "\r\n"))[0]["payload"] == payload
    bare = copy.deepcopy(stores)
    bare["photos"][0]["blob"]["data"] = None
    [read] = parse(tab, backups.text(bare))
    assert read["without"] == 1 and [one["id"] for one in read["records"]["photos"]] == ["photo-b"]


def test_every_kind_of_job_that_the_site_can_do_is_read_back(tab: Page, dist: Path) -> None:
    """No backup that this site gives out may be one that it refuses: every card, begun, done in part, signed off."""
    whole: backups.Stores = {"jobs": [], "events": [], "log": []}
    for card, vehicle, unit, option in EVERY:
        name = f"{card}-{vehicle}-{unit}-{option}"
        story = Story(copy_of(dist, card, vehicle, unit, option)).done(1).add("hold", hold=1)
        story.add("override", hold=2, reason="no room").add("label", step=1, minutes=50)
        story.add("opened", step=1, early=4.5)
        story.add("undone", steps=[1], holds=[1]).add("put-back", undone=f"{name}-7").add("bolt", step=2, tap=3)
        story.add("unbolt", step=2, tap=3).add("threads", role="cover", state="dry").add("note", step=1, text="")
        story.add("clock", by=-3_600_000, counted=False).add("rest", note="rain").add("resume")
        story.read(volume_out=reading("3.4", 0.0019320, "imp pt"), smell=reading("burnt"))
        entry, looks = ask(tab, "[follow.entry(job.replay(a[0]), 'e', a[1], 60, '', works), "
                           "(n => follow.followUps(job.replay(a[0]), 'e', a[1], () => `f${n += 1}`))(0)]",
                           story.events, START)
        entry["id"] = f"e-{name}"
        story.add("signed", entry=entry, followUps=looks)
        job, events = backups.job_of(story, name)
        whole["jobs"].append(job | {"state": "signed"})
        whole["events"] += events
        whole["log"].append({"id": entry["id"], "entry": entry, "followUps": looks, "at": START})
    kinds = set(tab.evaluate("async () => Object.keys((await import('./js/lib/shapes.js')).KINDS)"))
    assert kinds - {one["kind"] for one in whole["events"]} == {"photo", "stopped"}
    [read] = parse(tab, backups.text(whole))
    assert read.get("ok"), read
    assert read["records"]["log"] == whole["log"] and read["records"]["events"] == whole["events"]


def test_a_vehicle_that_this_version_cannot_read_keeps_no_log_back(tab: Page, stores: backups.Stores) -> None:
    [read] = parse(tab, changed(stores, "vehicles.0.sheet.odometer.unit", "leagues"))
    assert [one["id"] for one in read["records"]["vehicles"]] == ["my-drystone", "sold"]
    assert read["records"]["log"] == stores["log"]
    [says] = read["odd"]
    assert says.startswith("Vehicle my-thornback, odometer.unit: unknown word; expected one of ") and "leagues" in says


def changed(stores: backups.Stores, path: str, value: Any) -> str:
    """Write a backup with one thing in it changed, and a digest that fits: `log.0.entry.date`."""
    own = copy.deepcopy(stores)
    way = tuple(int(key) if key.isdigit() else key for key in path.split("."))
    backups.put(own, way, value)
    return backups.text(own)


SVG = {"type": "image/svg+xml", "bytes": 6, "data": "data:image/svg+xml;base64,PHN2Zy8+"}
HTML = {"type": "image/jpeg", "bytes": 6, "data": "data:image/jpeg;base64,PGh0bWw+"}


def test_every_refusal_says_what_is_wrong_where_and_what_to_do(tab: Page, stores: backups.Stores) -> None:
    whole = backups.text(stores)
    body = backups.lines(stores)
    twice = {**stores, "log": [*stores["log"], stores["log"][0]]}
    lost = {**stores, "jobs": []}
    hole = {**stores, "events": stores["events"][1:]}
    cases = {
        "": "There is nothing in it. Pick another file",
        "Dear diary,\nit rained.": "This is no backup of this site. Pick another file",
        '{"name": "a"}': "This is no backup of this site.",
        '{"store":"events","record":{}}\n{"end":1}\n': "This is the record of one job, not a backup.",
        whole[:len(whole) // 2].rpartition("\n")[0] + "\n": "The end of the file is missing: ",
        whole[:len(whole) // 2]: "is cut or changed: it is no record. Get the file again",
        backups.text(stores, version=3): "A newer version of the site made this file: store 3, this page knows up to 2",
        backups.text(stores, backup=9): "form 9, this page reads up to 2. Load this page once with a network",
        backups.text(stores, made=5): "is changed: it must say which backup this is",
        backups.text(stores, sha256="abc"): "is changed: it must say which backup this is",
        backups.text(stores, end=9): "Its last line counts 9 lines, ",
        backups.text(stores, counts={**{name: len(all_) for name, all_ in stores.items()}, "log": 27}):
            "It says that it holds 27 log, 28 are there.",
        backups.text(stores, [*body, "[]"]): f"Line {len(body) + 5} is changed: it must name a store",
        backups.text({**stores, "tools": [{"id": "jack"}]}): "there is no store called tools.",
        backups.text(twice): "log L01 stands twice.",
        backups.text(lost): "belongs to job job-a, which is not in the file.",
        backups.text(hole): 'must have its events 1 to 5, got 4.',
        changed(stores, "log.0.entry.date", "2026-02-30"):
            'Line 13: log.entry.date must be a date such as 2026-04-18, got "2026-02-30".',
        changed(stores, "log.0.at", 1e300): "is a number out of all bounds",
        changed(stores, "log.0.at", "5"): 'log.at must be a whole number from 0, got "5"',
        changed(stores, "log.0.entry.vehicle", "constructor"): "log.entry.vehicle must be an id",
        changed(stores, "log.0.entry.id", "L99"): "log.entry.id must be L01, got L99",
        changed(stores, "log.0.entry.found", {"toString": {}}):
            'holds the key "toString", which no record of this site has',
        changed(stores, "log.0.entry.__proto__", {"x": 1}): 'holds the key "__proto__"',
        changed(stores, "log.0.followUps", {}): "log.followUps must be a list",
        changed(stores, "events.1.kind", "teleported"): 'events.kind is "teleported", which this version does not know',
        changed(stores, "events.1.data", {"step": "2"}): 'events.data.step must be a whole number from 0, got "2"',
        changed(stores, "events.0.kind", "resume"): "cannot be followed: a job starts with begin",
        changed(stores, "events.0.data.copy.card.steps", "many"): "events.data.copy.card.steps must be a list",
        changed(stores, "photos.0.blob", SVG): "photos.blob must be a JPEG picture, got image/svg+xml",
        changed(stores, "photos.0.blob", HTML): "photos.blob must be a JPEG picture, got image/jpeg, data:",
        changed(stores, "photos.0.blob.bytes", 1): "photos.blob.bytes must be what its data hold",
        changed(stores, "vehicles.0.sheet", "none"): "vehicles.sheet must be a sheet or null",
        changed(stores, "vehicles.0.rev", 0): "vehicles.rev must be a whole number from 1, got 0",
    }
    for (given, says), read in zip(cases.items(), parse(tab, *cases), strict=True):
        assert read.get("ok") is False, (says, read)
        assert says in read["says"], (says, read["says"])
        assert read["says"].endswith("."), read["says"]
        assert given is not None


def test_a_hundred_spoilt_files_crash_nothing_and_write_nothing(tab: Page, stores: backups.Stores) -> None:
    assert tab.evaluate(backups.TAKE_IN, backups.text(stores)) == 1 + 2 + len(stores["log"]) + 3
    spoilt = [backups.spoilt(stores, seed) for seed in range(100)]
    refused, accepted, faults = backups.fuzz(tab, spoilt)
    assert faults == []
    # The rest changed what no rule forbids, such as the words of a note: it comes in whole, as a clash.
    assert len(refused) > 70 and len({kind.split()[0] for kind, _ in refused}) > 10
    assert accepted, "nothing that is no fault was among them"


def test_the_log_as_a_table_is_read_by_another_program(tab: Page, stores: backups.Stores) -> None:
    log = copy.deepcopy(stores["log"])
    log[2]["entry"]["says"] = '=1+1, "as typed"\r\nnext line'
    log[3]["entry"]["says"] = "-5"
    log[4]["entry"]["says"] = "@home"
    made = tab.evaluate(
        "async ([records, names]) => (await import('./js/lib/csv.js')).csv(records, names)",
        [log, {"vehicles": {"thornback": "Thornback, the old one"}, "work": {"P01": "Change the oil"}}])
    assert made.endswith("\r\n")
    rows = list(csv.DictReader(io.StringIO(made, newline=""), strict=True))
    assert sorted(row["entry"] for row in rows) == sorted(one["id"] for one in log)
    assert [row["date"] for row in rows] == sorted(one["entry"]["date"] for one in log)
    by = {row["entry"]: row for row in rows}
    assert all(None not in row and None not in row.values() for row in rows), "every row has every column"
    for one in log:
        entry, row = one["entry"], by[one["id"]]
        assert row["words"] == entry.get("says", "")
        assert row["vehicle"] == {"thornback": "Thornback, the old one"}.get(entry["vehicle"], entry["vehicle"])
        for what in ("in", "out", "additive"):
            reading = entry[what]
            assert row[f"{what} as typed"] == (reading["typed"] if reading else "")
            assert row[f"{what} unit"] == (reading["unit"] if reading else "")
            if reading and reading["si"] is not None:
                assert float(row[f"{what} (L)"]) == pytest.approx(reading["si"] * 1000, rel=1e-11)


def test_a_backup_of_ours_has_the_digest_that_another_program_makes(tab: Page, stores: backups.Stores) -> None:
    made = tab.evaluate("async () => (await import('./js/store.js')).exportAll({ photos: true })")
    body = [line for line in made.split("\n") if line.startswith('{"store":')]
    head = json.loads(next(line for line in made.split("\n") if line.startswith('{"backup":')))
    assert head["sha256"] == hashlib.sha256("".join(line + "\n" for line in body).encode()).hexdigest()
    assert len(body) == sum(head["counts"].values())
