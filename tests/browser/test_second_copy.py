"""What is saved stands twice on the phone: a database that the browser threw away is put back from its second copy."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import expect

from harness import Handsets, SiteServer, watch
from storing import KEEP_HANDLES, Tab, records, step

WORDS = "It was put back from the second copy."
ALL = "return await store.exportAll({ photos: true })"
ENTRIES = """async () => {
  const [name] = (await caches.keys()).filter((one) => one.startsWith('second '))
  return (await (await caches.open(name)).keys()).map(({ url }) => url.replace(/.*[?]/, '')).sort()
}"""
# A vehicle, a log entry with its photo, and a setting: what is saved besides jobs.
MORE = """await store.putVehicle({ id: 'own-blue', rev: 1, at: 1, sheet: { name: 'Old Blue' } })
const blob = new Blob(['not a real picture'], { type: 'image/jpeg' })
await store.addToLog({ id: 'e1', entry: { id: 'e1' }, followUps: [], at: 5 },
  [{ id: 'p1', job: 'e1', step: 0, blob, width: 4, height: 3 }])
await store.note('plan', { jobs: ['p01'] })"""
# The number of transactions that the database itself remembers, set back, and one event taken out.
SET_BACK = """async (job) => {
  const base = new URL(document.documentElement.dataset.base, location.href).pathname
  const db = await new Promise((resolve) => {
    const asked = indexedDB.open('fillmark ' + base)
    asked.onsuccess = () => resolve(asked.result)
  })
  const tx = db.transaction(['events', 'notes'], 'readwrite')
  const notes = tx.objectStore('notes')
  notes.get('number').onsuccess = ({ target }) => notes.put({ key: 'number', value: target.result.value - 1 })
  tx.objectStore('events').index('job-seq').openCursor([job, 3]).onsuccess = ({ target }) => target.result.delete()
  await new Promise((resolve) => (tx.oncomplete = resolve))
  db.close()
}"""


@pytest.fixture
def tab(handsets: Handsets, served: SiteServer) -> Iterator[Tab]:
    tab = Tab(handsets.take(script=KEEP_HANDLES), served.url)
    faults = watch(tab.page, served.origin)
    yield tab
    tab.page.close()
    assert not faults, "\n".join(faults)


def kept(tab: Tab) -> dict[str, Any]:
    """Return all records that are stored, photos with their bytes; not who holds a job."""
    return {store: found for store, found in records(tab.run(ALL)).items() if store != "notes"}


def throw_away(tab: Tab, served: SiteServer) -> None:
    """Take the whole database of the site away, as the browser does with one that it finds damaged."""
    devtools = tab.page.context.new_cdp_session(tab.page)
    devtools.send("Storage.clearDataForOrigin", {"origin": served.origin, "storageTypes": "indexeddb"})


def test_a_database_that_was_thrown_away_is_put_back_whole(tab: Tab, served: SiteServer) -> None:
    job = tab.begin()
    assert tab.append(job, [step(1), step(2)]) == 3
    assert tab.append(job, [step(3)], photo=50_000) == 4
    tab.run(MORE)
    before = kept(tab)
    assert {store: len(found) for store, found in before.items()} == {
        "jobs": 1, "events": 4, "photos": 2, "log": 1, "vehicles": 1}

    throw_away(tab, served)
    tab.open(served.url)
    assert kept(tab) == before
    assert tab.run("return await store.noted('plan')") == {"jobs": ["p01"]}
    assert WORDS in tab.page.evaluate("news.at(-1)")
    expect(tab.page.locator("main [role=alert]")).to_contain_text(WORDS)
    assert tab.claim(job) and tab.append(job, [step(4)]) == 5, "and the job goes on"

    throw_away(tab, served)
    tab.open(served.url)
    assert tab.steps(job) == [1, 2, 3, 4], "twice as well as once"


def test_a_first_visit_is_told_nothing(tab: Tab) -> None:
    assert tab.run("return await store.jobs()") == []
    assert tab.page.evaluate("news") == [] and tab.page.evaluate("caches.keys()") == []
    expect(tab.page.locator("main [role=alert]")).to_have_count(0)


def test_the_copy_is_written_anew_before_it_grows_long(tab: Tab, served: SiteServer) -> None:
    job = tab.begin()
    assert tab.page.evaluate(ENTRIES) == ["whole=1"]
    for number in range(2, 6):
        tab.append(job, [step(number)])
    assert tab.page.evaluate(ENTRIES) == ["entry=2", "entry=3", "entry=4", "entry=5", "whole=1"]
    for number in range(6, 270):
        tab.append(job, [step(number)])
    entries = tab.page.evaluate(ENTRIES)
    assert len(entries) <= 251 and "whole=1" not in entries
    throw_away(tab, served)
    tab.open(served.url)
    assert tab.steps(job) == list(range(2, 270))


def test_what_a_kill_left_in_one_of_the_two_the_other_gets(tab: Tab, served: SiteServer) -> None:
    tab.page.clock.install()
    tab.open(served.url)
    job = tab.begin()
    assert tab.append(job, [step(1)]) == 2 and tab.append(job, [step(2)]) == 3
    # Killed after the database had it and before its copy did: the last entry is missing.
    tab.page.evaluate("""async () => {
      const [name] = (await caches.keys()).filter((one) => one.startsWith('second '))
      await (await caches.open(name)).delete('/?entry=3')
    }""")
    tab.open(served.url)
    assert tab.steps(job) == [1, 2]
    tab.page.clock.run_for(4000)  # both are held against each other three seconds after the first use
    tab.soon(f"({ENTRIES})().then((found) => `${{found}}` === 'whole=3')", 5)

    # A database that came back as it was a moment ago: its last transaction is missing.
    assert tab.claim(job, "takeOver")
    assert tab.append(job, [step(3)]) == 4 and tab.append(job, [step(4)]) == 5
    tab.page.evaluate(SET_BACK, job)
    tab.open(served.url)
    assert [one["seq"] for one in tab.events(job)] == [1, 2, 4, 5]
    tab.page.clock.run_for(4000)
    tab.soon(f"news.at(-1)?.includes({WORDS!r})", 5)
    assert tab.steps(job) == [1, 2, 3, 4]


def test_two_tabs_keep_one_copy(tab: Tab, served: SiteServer) -> None:
    job = tab.begin()
    other = Tab(tab.page.context, served.url)
    second = other.begin()
    for number in range(1, 9):
        assert tab.append(job, [step(number)]) and other.append(second, [step(number)])
    other.page.close()
    throw_away(tab, served)
    tab.open(served.url)
    assert tab.steps(job) == tab.steps(second) == list(range(1, 9))


def test_no_caches_or_no_room_for_a_copy_is_no_reason_not_to_save(tab: Tab, served: SiteServer) -> None:
    """The cache is made to refuse, since a quota cannot be set for it alone."""
    tab.page.evaluate(
        "void (Cache.prototype.put = async () => { throw new DOMException('', 'QuotaExceededError') })")
    job = tab.begin()
    assert tab.append(job, [step(1)]) == 2
    tab.page.add_init_script("delete globalThis.caches")
    tab.open(served.url)
    assert tab.page.evaluate("typeof caches") == "undefined"
    assert tab.claim(job, "takeOver") and tab.append(job, [step(2)], state="resting") == 3
    assert tab.steps(job) == [1, 2]
