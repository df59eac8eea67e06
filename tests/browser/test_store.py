"""Saved means on the disk: what the store keeps, refuses and hands out, in one tab."""

from __future__ import annotations

import base64
import secrets
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from conftest import Opener
from harness import Handsets, SiteServer, watch
from storing import KEEP_HANDLES, Tab, close_by_force, event, records, set_room, step

ALL = "return await store.exportAll(arg ?? {})"


DURABILITIES = """() => {
  const real = IDBDatabase.prototype.transaction
  window.durabilities = []
  IDBDatabase.prototype.transaction = function (...args) {
    const tx = real.apply(this, args)
    durabilities.push(`${tx.mode} ${tx.durability}`)
    return tx
  }
}"""


@pytest.fixture
def tab(handsets: Handsets, served: SiteServer) -> Iterator[Tab]:
    tab = Tab(handsets.take(script=KEEP_HANDLES), served.url)
    faults = watch(tab.page, served.origin)
    yield tab
    tab.page.close()
    assert not faults, "\n".join(faults)


def test_a_job_is_there_after_a_restart(profile: Opener, served: SiteServer) -> None:
    tab = Tab(profile(), served.url)
    job = tab.begin()
    tab.page.evaluate(DURABILITIES)
    taps = [step(1), event("note", {"step": 1, "text": "Oil is milky: 2,3 l"}), step(2)]
    assert tab.append(job, taps[:1]) == 2
    assert tab.append(job, taps[1:], photo=200_000) == 4
    assert tab.page.evaluate("durabilities") == ["readwrite strict"] * 2, "complete has to mean flushed"
    tab.page.context.close()

    tab = Tab(profile(), served.url)
    found = tab.events(job)
    assert found[1:] == [{**one, "job": job, "seq": seq} for seq, one in enumerate(taps, 2)]
    assert tab.steps(job) == [1, 2]
    [listed] = tab.run("return await store.jobs()")
    assert (listed["id"], listed["title"], listed["state"], listed["count"]) == (job, "Change the oil", "open", 4)
    [photo] = tab.run(
        "return Promise.all((await store.photosOf(arg)).map(async (one) =>"
        " ({ ...one, blob: 0, bytes: (await store.photo(one.id)).size })))", job)
    assert (photo["bytes"], photo["job"], photo["step"], photo["width"]) == (200_000, job, 1, 4)
    assert tab.run("return await store.photo('0')") is None
    assert tab.events("0" * 32) == []


def test_the_database_is_of_this_site_alone(profile: Opener, dist: Path) -> None:
    with SiteServer(dist, "/a/b/") as server, SiteServer(dist, "/repo/") as other:
        context = profile()
        tab = Tab(context, server.url)
        tab.begin()
        assert tab.name() == "fillmark /a/b/"
        neighbour = Tab(context, other.url)
        assert neighbour.run("return await store.jobs()") == []


def full(profile: Opener, served: SiteServer) -> tuple[Tab, str]:
    """Return a tab of a phone with no room left, and a job that was begun before."""
    tab = Tab(profile(), served.url)
    job = tab.begin()
    tab.page.context.close()
    tab = Tab(profile(), served.url)
    set_room(tab.page, served.origin, 1)
    assert tab.claim(job), "no room is no reason to keep a job shut"
    return tab, job


def test_story_7_no_room_leaves_nothing_of_an_append_and_text_still_fits(profile: Opener, served: SiteServer) -> None:
    tab, job = full(profile, served)
    for photo in (0, 900_000):
        refused = tab.append(job, [step(1), step(2)], photo=photo)
        assert refused["why"] == "full" and "no room left" in refused["says"]
    assert tab.steps(job) == [] and tab.run("return (await store.jobs())[0].count") == 1
    assert tab.run("return (await store.photosOf(arg)).length", job) == 0
    assert job in tab.run(ALL), "what is there can leave the phone all the same"

    devtools = tab.page.context.new_cdp_session(tab.page)
    used = int(devtools.send("Storage.getUsageAndQuota", {"origin": served.origin})["usage"])
    set_room(tab.page, served.origin, used + 500_000)
    assert tab.append(job, [step(1), step(2)], photo=5_000_000)["why"] == "full"
    assert tab.append(job, [step(3)]) == 2, "text without the photo fits"

    set_room(tab.page, served.origin, None)
    assert tab.append(job, [step(4)], photo=5_000_000) == 3
    assert tab.steps(job) == [3, 4]


def test_an_append_is_all_or_nothing_when_one_event_cannot_be_stored(tab: Tab) -> None:
    job = tab.begin()
    twice = step(1)
    refused = tab.append(job, [step(5), twice, twice])
    assert refused["why"] == "unknown" and "ConstraintError" in refused["says"]
    refused = tab.run(
        "await store.append(arg, [{ id: store.newId(), kind: 'done', data: { step: () => 1 } }], {})", job)
    assert refused["why"] == "unknown" and "DataCloneError" in refused["says"]
    assert tab.steps(job) == []


@pytest.mark.parametrize("cut", [
    "handles.at(-1).close()",
    "handles.at(-1).close(); handles.at(-1).dispatchEvent(new Event('close'))",
])
def test_story_6_a_connection_closed_under_the_store_is_replaced(tab: Tab, cut: str) -> None:
    job = tab.begin()
    tab.page.evaluate(cut)
    assert tab.append(job, [step(1)]) == 2
    assert tab.page.evaluate("handles.length") == 2
    tab.page.evaluate(cut)
    assert tab.steps(job) == [1]
    assert tab.page.evaluate("handles.length") == 3


def test_a_connection_closed_by_the_browser_in_the_middle_of_work_loses_nothing(tab: Tab) -> None:
    """The browser's own page of its databases can close one by force: its transactions abort."""
    job = tab.begin()
    tab.page.evaluate(RUNNING, [tab_module(tab), job])
    close_by_force(tab.page.context, times=5)
    tab.page.evaluate("window.enough = true")
    told = tab.soon("window.told", 10)
    assert tab.page.evaluate("handles.length") > 1, "never closed"
    assert told["failed"] == [] and told["saved"] == tab.steps(job) and len(told["saved"]) > 20


RUNNING = """([url, job]) => { import(url).then(async (store) => {
  const saved = [], failed = []
  for (let n = 1; !window.enough;) {
    await Promise.all([1, 2, 3, 4, 5].map(() => {
      const step = n++, done = { id: store.newId(), job, at: 1, zone: 0, kind: 'done', data: { step } }
      return store.append(job, [done], { state: 'open' })
        .then(() => saved.push(step), (error) => failed.push(`${step} ${error}`))
    }))
  }
  window.told = { saved, failed }
}) }"""


def test_an_append_that_needs_a_second_try_is_not_overtaken_by_the_next(tab: Tab) -> None:
    job = tab.begin()
    told = tab.run(
        """const real = IDBFactory.prototype.open
        let dying = 2 // connections that are closed the moment they are there
        IDBFactory.prototype.open = function (...args) {
          const asked = real.apply(this, args)
          if (dying-- > 0) asked.addEventListener('success', () => asked.result.close())
          return asked
        }
        handles.at(-1).close()
        const send = (step) => store.append(arg, [{ id: store.newId(), kind: 'done', data: { step } }], {})
        const first = send(1)
        await new Promise((resolve) => setTimeout(resolve, 50)) // the first one waits before its next try
        return Promise.all([first, send(2)])""", job)
    assert told == [2, 3] and tab.steps(job) == [1, 2]


def tab_module(tab: Tab) -> str:
    return str(tab.page.evaluate("new URL('../js/store.js', location.href).href"))


def test_a_storage_that_never_answers_is_said_within_five_seconds(handsets: Handsets, served: SiteServer) -> None:
    """Seen in the field on iOS after the page was in the background: requests that neither succeed nor fail.

    The page's own clock is stopped and goes ahead, so that nobody waits for it.
    """
    context = handsets.take("with a clock", script=KEEP_HANDLES)
    context.clock.install(time=0)
    tab = Tab(context, served.url)
    job = tab.begin()
    tab.page.clock.pause_at(10_000_000)
    tab.page.evaluate(
        """() => { const real = IDBFactory.prototype.open
        IDBFactory.prototype.open = function () { return new EventTarget() }
        handles.at(-1).close()
        window.heal = () => { IDBFactory.prototype.open = real } }""")
    tab.run(
        """window.refused = []
        for (const n of [1, 2, 3]) {
          store.append(arg, [{ id: store.newId(), kind: 'done', data: { step: n } }], {})
            .catch((error) => refused.push(error.why))
        }""", job)
    tab.page.clock.run_for(4800)
    assert tab.page.evaluate("refused") == []
    tab.page.clock.run_for(300)
    assert tab.soon("refused.length === 3 && refused", 1) == ["lost"] * 3
    tab.page.evaluate("heal()")
    tab.page.clock.resume()
    assert tab.append(job, [step(1)]) == 2
    assert tab.steps(job) == [1]
    tab.page.close()


def test_an_event_is_written_once_however_often_it_is_sent(tab: Tab) -> None:
    job = tab.begin()
    first, second, third = step(1), step(2), step(3)
    assert tab.append(job, [first, second]) == 3
    assert tab.append(job, [first, second]) == 3
    assert tab.append(job, [second, third]) == 4
    assert tab.steps(job) == [1, 2, 3]


def test_two_hundred_appends_at_once_are_numbered_in_their_order(tab: Tab) -> None:
    job = tab.begin()
    last = tab.run(
        """const sent = Array.from({ length: 200 }, (_, n) => store.append(arg, [{ id: store.newId(), job: arg, at: n,
             zone: 0, kind: 'done', data: { step: n } }], { state: 'open' }))
        return Promise.all(sent)""", job)
    assert last == list(range(2, 202))
    assert tab.steps(job) == list(range(200))


def test_a_job_whose_beginning_is_gone_is_not_begun_in_the_middle(tab: Tab, served: SiteServer) -> None:
    """The browser may clear a site's data while its tab stands open. Half a job must not look saved."""
    job = tab.begin()
    devtools = tab.page.context.new_cdp_session(tab.page)
    devtools.send("Storage.clearDataForOrigin", {"origin": served.origin, "storageTypes": "indexeddb,cache_storage"})
    assert tab.claim(job, "takeOver")
    refused = tab.append(job, [step(7)])
    assert refused["why"] == "lost" and "first part of this job" in refused["says"]
    assert tab.events(job) == [] and tab.run("return await store.jobs()") == []
    assert tab.append(job, [event("begin"), step(7)]) == 2, "all of it from the page's memory is taken"


def test_signing_off_writes_the_log_with_the_event_or_not_at_all(profile: Opener, served: SiteServer) -> None:
    tab, job = full(profile, served)
    entry = {"id": secrets.token_hex(16), "job": job, "procedure": "P01"}
    signed = event("signed", {"entry": entry, "followUps": [{"id": "f", "entry": entry["id"]}]})
    assert tab.append(job, [signed], state="signed")["why"] == "full"
    assert tab.run("return await store.log()") == []
    set_room(tab.page, served.origin, None)
    assert tab.append(job, [signed], state="signed") == 2
    assert tab.run("return await store.log()") == [
        {"id": entry["id"], "entry": entry, "followUps": [{"id": "f", "entry": entry["id"]}], "at": signed["at"]}]
    assert tab.run("return (await store.jobs())[0].state") == "signed"


def test_everything_leaves_as_text(tab: Tab) -> None:
    assert records(tab.run(ALL)) == {}, "an export before anything was stored"
    job = tab.begin()
    nasty = event("note", {"step": 2, "text": '{"store":"jobs"}\n{"end":1}\r\u2028 </script> Öl'})
    assert tab.append(job, [nasty], photo=70_000) == 2
    assert tab.run("await store.note('last-backup', { at: 5 }); return await store.noted('last-backup')") == {"at": 5}
    text = tab.run(ALL)
    found = records(text)
    assert sorted(found["events"], key=lambda one: one["seq"]) == tab.events(job)
    assert text.split("\n")[:3][2] == "- Change the oil, Thornback, Rear axle: open, 2 events"
    assert found["photos"][0]["blob"] == {"type": "", "bytes": 70_000, "data": None}
    assert {"key": "last-backup", "value": {"at": 5}} in found["notes"]

    data = records(tab.run(ALL, {"photos": True}))["photos"][0]["blob"]["data"]
    bytes_there = tab.run("return [...new Uint8Array(await (await store.photosOf(arg))[0].blob.arrayBuffer())]", job)
    assert base64.b64decode(data.partition("base64,")[2]) == bytes(bytes_there)


def test_events_that_are_not_stored_leave_as_words_and_data(tab: Tab) -> None:
    lost = [step(4), event("note", {"step": 4, "text": "Two\n{lines}"}), event("undone", {"steps": [4], "holds": []}),
            event("signed-in-a-later-version", {"odd": 1}), event("begin", {"copy": None})]
    text = tab.run("return store.exportText(arg)", lost)
    assert text.split("\n")[1:4] == [
        "2025-06-15 16:06 Step 4 done", "2025-06-15 16:06 Note at step 4: Two {lines}",
        "2025-06-15 16:06 Taken back: step 4"]
    assert records(text)["events"] == lost


def test_a_browser_that_refuses_storage_is_said_in_words(tab: Tab, served: SiteServer) -> None:
    tab.page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined })")
    tab.open(served.url)
    job = secrets.token_hex(16)
    assert tab.claim(job)
    for refused in (tab.append(job, [event("begin")]), tab.run("return await store.jobs()"), tab.run(ALL)):
        assert refused["why"] == "refused" and "private mode" in refused["says"]


def test_the_phone_says_how_much_room_there_is(tab: Tab) -> None:
    assert tab.run("return (await store.room()).free") > 1_000_000
    assert tab.run("return await store.persist()") in (True, False)
    ids = tab.run("return Array.from({ length: 1000 }, store.newId)")
    assert len(set(ids)) == 1000 and all(len(one) == 32 and int(one, 16) >= 0 for one in ids)


def test_the_theme_is_kept_as_before(tab: Tab, served: SiteServer) -> None:
    assert tab.page.evaluate("import('../js/store/early.js').then(({ theme }) => theme.write('dark'))") is True
    tab.open(served.url)
    expect(tab.page.locator("html")).to_have_attribute("data-theme", "dark")
