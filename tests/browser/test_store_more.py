"""The store's second version: vehicles, entries by hand, what no backup holds, taking in; and the upgrade to it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from harness import Handsets, SiteServer, watch
from storing import KEEP_HANDLES, Tab, event, records, step

MARKS = "const { rev, made, since, backup } = await store.marks(); return [rev, made, since, backup]"

# What the first version of the site made, written out: its stores, its indexes, and one of everything in them.
FIRST_VERSION = """name => new Promise((resolve, reject) => {
  const asked = indexedDB.open(name, 1)
  asked.onupgradeneeded = () => {
    const db = asked.result
    const kept = db.createObjectStore('events', { keyPath: 'id' })
    kept.createIndex('job', 'job')
    kept.createIndex('job-seq', ['job', 'seq'], { unique: true })
    db.createObjectStore('jobs', { keyPath: 'id' })
    db.createObjectStore('photos', { keyPath: 'id' }).createIndex('job', 'job')
    db.createObjectStore('log', { keyPath: 'id' })
    db.createObjectStore('notes', { keyPath: 'key' })
    kept.add({ id: 'e1', job: 'j', seq: 1, at: 1, zone: 60, kind: 'begin', data: { copy: null } })
    kept.add({ id: 'e2', job: 'j', seq: 2, at: 2, zone: 60, kind: 'done', data: { step: 1 } })
    const stores = asked.transaction
    stores.objectStore('jobs').add({ id: 'j', title: 'Change the oil', state: 'open', count: 2 })
    stores.objectStore('photos').add({ id: 'p', job: 'j', step: 1, blob: new Blob(['abc']), width: 4, height: 3 })
    for (const id of ['l1', 'l2']) stores.objectStore('log').add({ id, entry: { id }, followUps: [], at: 5 })
    stores.objectStore('notes').add({ key: 'last', value: 7 })
  }
  asked.onerror = () => reject(asked.error)
  asked.onsuccess = () => { asked.result.close(); resolve() } })"""


def log_record(name: str, says: str = "Topped up") -> dict[str, Any]:
    return {"id": name, "entry": {"id": name, "job": "", "says": says}, "followUps": [], "at": 5}


def vehicle(rev: int, name: str = "Old blue") -> dict[str, Any]:
    return {"id": "blue", "rev": rev, "at": 1, "sheet": {"rev": rev, "name": name}}


@pytest.fixture
def tab(handsets: Handsets, served: SiteServer) -> Iterator[Tab]:
    tab = Tab(handsets.take(script=KEEP_HANDLES), served.url)
    faults = watch(tab.page, served.origin, quiet=("/favicon.ico",))
    yield tab
    tab.page.close()
    assert not faults, "\n".join(faults)


def blank(page: Page, url: str) -> None:
    """Go to a file of the same origin that runs no script, so that no code of ours has the database open."""
    page.goto(url + "manifest.webmanifest")


def test_what_the_first_version_kept_is_all_there_and_counted_as_in_no_backup(tab: Tab, served: SiteServer) -> None:
    tab.run("await store.jobs()")
    name = tab.name()
    blank(tab.page, served.url)
    tab.page.evaluate(
        "name => new Promise((done) => { indexedDB.deleteDatabase(name).onsuccess = done })", name)
    tab.page.evaluate(FIRST_VERSION, name)
    tab.open(served.url)
    assert tab.run(MARKS) == [1, 2, 2, None]
    assert tab.run("return await store.vehicles()") == []
    found = records(tab.run("return await store.exportAll({ photos: true })"))
    assert [(one["id"], one["seq"]) for one in found["events"]] == [("e1", 1), ("e2", 2)]
    assert found["photos"][0]["blob"]["data"].endswith("base64,YWJj")
    assert [one["id"] for one in found["log"]] == ["l1", "l2"] and {"key": "last", "value": 7} in found["notes"]
    assert tab.claim("j") and tab.append("j", [step(2)]) == 3, "a job half done goes on"
    tab.run("await store.putVehicle(arg)", vehicle(1))
    assert tab.run(MARKS) == [2, 3, 3, None]


def test_an_export_before_anything_was_stored_does_not_spoil_the_upgrade(tab: Tab) -> None:
    assert records(tab.run("return await store.exportAll()")) == {}
    tab.run("await store.putVehicle(arg)", vehicle(1))
    assert tab.run("return await store.vehicleRecord('blue')") == vehicle(1)


def test_a_vehicle_changed_in_another_tab_is_not_written_over(tab: Tab) -> None:
    refused = tab.run("await store.putVehicle(arg)", vehicle(2))
    assert refused["why"] == "taken"
    tab.run("await store.putVehicle(arg)", vehicle(1))
    tab.run("await store.putVehicle(arg)", vehicle(2, "Old blue, mended"))
    refused = tab.run("await store.putVehicle(arg)", vehicle(2, "Old green"))
    assert refused["why"] == "taken" and "changed in another tab" in refused["says"]
    assert tab.run("return await store.vehicles()") == [vehicle(2, "Old blue, mended")]
    tab.run("await store.putVehicle(arg)", {"id": "blue", "rev": 3, "at": 2, "sheet": None})
    assert tab.run("return (await store.vehicleRecord('blue')).sheet") is None
    assert tab.run("return await store.vehicleRecord('green')") is None
    assert tab.run(MARKS) == [3, 3, 3, None], "what was refused is no change"


def test_the_log_by_hand_is_only_added_to(tab: Tab) -> None:
    add = ("await store.addToLog(arg, [{ id: 'p', job: arg.id, step: 0, blob: new Blob(['abc']), width: 4,"
           " height: 3 }])")
    tab.run(add, log_record("a"))
    tab.run(add, log_record("a"))
    refused = tab.run(add, log_record("a", "Drained"))
    assert refused["why"] == "taken" and "Nothing was changed" in refused["says"]
    assert tab.run("return await store.log()") == [log_record("a")]
    assert tab.run("return (await store.photosOf('a')).map((one) => one.blob.size)") == [3]
    refused = tab.run("await store.addToLog(arg, [{ id: 'q', blob: () => 1 }])", log_record("b"))
    assert "DataCloneError" in refused["says"] and len(tab.run("return await store.log()")) == 1, "all or nothing"
    assert tab.run(MARKS) == [1, 1, 1, None]


def test_what_no_backup_holds_is_counted_and_a_file_counts_for_what_was_in_it(tab: Tab) -> None:
    assert tab.run(MARKS) == [0, 0, 0, None]
    job = tab.begin()
    tab.append(job, [step(1)])
    assert tab.run(MARKS) == [0, 0, 0, None], "a tap is neither log nor vehicle"
    entry = {"id": "s", "job": job}
    signed = event("signed", {"entry": entry, "followUps": []})
    assert tab.append(job, [signed], state="signed") == 3
    assert tab.append(job, [signed], state="signed") == 3
    assert tab.run(MARKS) == [1, 1, 1, None], "sent twice, logged once"
    tab.run("await store.addToLog(arg)", log_record("a"))
    made = tab.run("return (await store.marks()).made")
    tab.run("await store.addToLog(arg)", log_record("b"))
    tab.run("await store.backedUp(77, arg)", made)
    assert tab.run(MARKS) == [3, 3, 1, 77], "the entry that came after the file was read is not in it"
    tab.run("await store.backedUp(88)")
    assert tab.run(MARKS) == [3, 3, 0, 88]
    tab.run("await store.backedUp(99, 1)")
    assert tab.run(MARKS) == [3, 3, 0, 99], "an older file takes nothing back"


def test_taking_in_is_one_transaction_and_refused_where_the_store_moved_on(tab: Tab) -> None:
    tab.run("await store.addToLog(arg)", log_record("a"))
    job = tab.begin()
    tab.run("window.seen = await store.stored()")
    tab.append(job, [step(9)])
    longer = [{**one, "job": job, "seq": seq} for seq, one in enumerate([event("begin"), step(1), step(2)], 1)]
    add = {"jobs": [{"id": job, "state": "open", "count": 3}], "events": longer, "log": [log_record("b")],
           "vehicles": [vehicle(4)]}
    refused = tab.run("await store.restore(arg, seen)", add)
    assert refused["why"] == "taken" and "Nothing was taken in" in refused["says"]
    assert tab.steps(job) == [9] and tab.run("return (await store.log()).length") == 1

    tab.run("await store.restore(arg, await store.stored())", add)
    assert tab.events(job) == longer
    assert tab.run("return (await store.log()).map((one) => one.id)") == ["a", "b"]
    assert tab.run("return await store.vehicles()") == [vehicle(4)]
    assert tab.run(MARKS) == [2, 1, 1, None]
    refused = tab.append(job, [step(3)])
    assert refused["why"] == "taken", "this tab's page knows other events of the job"
    assert tab.claim(job, "takeOver") and tab.append(job, [step(3)]) == 4

    broken = {"log": [log_record("c")], "vehicles": [{"rev": 1}]}
    assert "DataError" in tab.run("await store.restore(arg)", broken)["says"]
    assert tab.run("return (await store.log()).length") == 2
    tab.run("await store.restore(arg)", {"vehicles": [{**vehicle(5), "id": "green"}]})
    assert tab.run(MARKS) == [3, 2, 2, None], "what came without a look at a backup is in none"
    assert json.loads(tab.run("return JSON.stringify(await store.stored())"))["vehicles"][0] == vehicle(4)
