"""Several tabs, several versions: one writer, nobody waits without a word, nothing is shut in."""

from __future__ import annotations

import contextlib
import re
import secrets
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Route

from harness import Handsets, SiteServer, watch
from storing import KEEP_HANDLES, RUN, Tab, event, records, step

# A person must be told within two seconds. Seconds are not counted here, where the machine may be busy: what is told
# must not need any clock to run on, nor what it is told about to end.
ROOM_FOR_WORDS = 20.0
ALL = "return await store.exportAll()"
SEEN = "document.querySelector('main > .warning[role=alert]')?.innerText"  # what stands on the page, for the person
BOTH = pytest.mark.parametrize("locks", ["locks", "lease"])


@pytest.fixture
def locks() -> str:
    """With the browser's locks, or by a lease as on a page that has no https; BOTH runs a test with each."""
    return "locks"


@pytest.fixture
def context(handsets: Handsets, locks: str) -> BrowserContext:
    without = "delete Navigator.prototype.locks" if locks == "lease" else ""
    return handsets.take("with a clock", script=f"{KEEP_HANDLES}\n{without}")


@pytest.fixture
def tabs(context: BrowserContext, served: SiteServer) -> Iterator[Callable[[], Tab]]:
    """Open one more tab of the same browser. A fault in any of them fails the test."""
    heard: list[list[str]] = []

    def listen(page: Page) -> None:
        heard.append(watch(page, served.origin))

    context.on("page", listen)
    yield lambda: Tab(context, served.url)
    context.remove_listener("page", listen)
    faults = [fault for one in heard for fault in one]
    assert not faults, "\n".join(faults)


def crash(tab: Tab) -> None:
    """Kill the tab's process, as a phone short of memory does."""
    with contextlib.suppress(Error):
        tab.page.goto("chrome://crash", timeout=3000)
    tab.page.close()


@BOTH
def test_one_tab_writes_and_the_other_reads_and_is_told(locks: str, tabs: Callable[[], Tab]) -> None:
    one, two = tabs(), tabs()
    assert one.page.evaluate("'locks' in navigator") is (locks == "locks")
    job = one.begin()
    assert two.claim(job) is False
    refused = two.append(job, [step(1)])
    assert refused["why"] == "taken" and refused["says"].startswith("Another tab holds this job.")
    two.page.evaluate("seen.length = 0")
    assert one.append(job, [step(2)]) == 2
    assert two.soon(f"seen.includes('{job}')", ROOM_FOR_WORDS)
    assert two.steps(job) == [2]

    one.run("held.release()")
    two.soon("seen.length > 1", ROOM_FOR_WORDS)
    assert one.append(job, [step(3)])["why"] == "taken"
    assert two.claim(job) is True and two.append(job, [step(4)]) == 3
    assert one.page.evaluate("lost") == 0, "who let go by himself has lost nothing"


@BOTH
def test_taking_over_tells_the_old_tab_and_shuts_it(tabs: Callable[[], Tab]) -> None:
    one, two = tabs(), tabs()
    job, other = one.begin(), secrets.token_hex(16)
    assert two.claim(other), "another job is another claim"
    assert two.claim(job, "takeOver") is True
    assert one.soon("lost", ROOM_FOR_WORDS) == 1
    assert one.append(job, [step(1)])["why"] == "taken"
    assert two.append(job, [step(2)]) == 2
    assert one.claim(job) is False
    assert one.claim(job, "takeOver") is True and two.soon("lost", ROOM_FOR_WORDS) == 1
    assert one.append(job, [step(3)]) == 3 and two.append(job, [step(4)])["why"] == "taken"
    assert one.steps(job) == [2, 3]


def test_a_tab_that_does_not_know_yet_that_it_was_overtaken_writes_nothing(tabs: Callable[[], Tab]) -> None:
    """A phone freezes tabs in the background: the word that the claim is gone comes late. The store itself refuses."""
    one, two = tabs(), tabs()
    one.page.evaluate("""() => {
      const real = LockManager.prototype.request
      LockManager.prototype.request = function (...args) {
        real.apply(this, args).catch(() => {})
        return new Promise(() => {})
      }
    }""")
    job = one.begin()
    assert two.claim(job, "takeOver")
    assert two.append(job, [step(2)]) == 2, "with this its sign is in the store; the claim alone does not wait for that"
    assert one.append(job, [step(1)])["why"] == "taken"
    assert one.page.evaluate("lost") == 0, "it should not have known"
    assert two.steps(job) == [2]


@BOTH
def test_a_reloaded_tab_has_its_claim_again(tabs: Callable[[], Tab], served: SiteServer) -> None:
    tab = tabs()
    job = tab.begin()
    for number in range(3):
        tab.open(served.url)
        assert tab.claim(job) is True
        assert tab.append(job, [step(number)]) == number + 2


def test_a_tab_killed_frees_the_claim(tabs: Callable[[], Tab]) -> None:
    one, two = tabs(), tabs()
    job = one.begin()
    assert two.claim(job) is False
    crash(one)
    assert two.claim(job) is True
    assert two.append(job, [step(1)]) == 2


@pytest.mark.parametrize("locks", ["lease"])
def test_without_locks_a_living_tab_renews_its_lease_and_a_killed_one_loses_it(
    context: BrowserContext, tabs: Callable[[], Tab]
) -> None:
    """The tabs' own clock goes ahead, so that nobody waits for it: signs every 5 s, stale after 15 s."""
    context.clock.install()
    one, two = tabs(), tabs()
    job = one.begin()
    sign = f"return Number((await store.exportAll()).match(/\"claim {job}\".*\"at\":(\\d+)/)[1])"
    for _ in range(4):  # it lives longer than a lease without a sign
        before = two.run(sign)
        context.clock.fast_forward(5100)
        assert two.soon(f"({RUN % sign})().then((at) => at >= {before + 4900})", ROOM_FOR_WORDS)
    assert two.claim(job) is False
    crash(one)
    context.clock.fast_forward(8000)
    assert two.claim(job) is False, "a lease that was just renewed was not respected"
    context.clock.fast_forward(9000)
    assert two.claim(job) is True, "never stale"
    assert two.append(job, [step(1)]) == 2


# ---- versions

def next_version(context: BrowserContext, served: SiteServer) -> Tab:
    """Open a tab with the next version of the store, as a deploy would bring it: same code, version 3."""
    def serve(route: Route) -> None:
        body = (served.folder / "js/store.js").read_text()
        body, changed = re.subn(r"(const VERSION ?= ?)2\b", r"\g<1>3", body)
        assert changed == 1
        route.fulfill(body=body, content_type="text/javascript")

    context.route("**/js/store.js", serve)
    tab = Tab(context, served.url)
    context.unroute("**/js/store.js")
    return tab


def test_story_8_a_newer_tab_goes_on_and_the_old_one_says_what_to_do(
    context: BrowserContext, tabs: Callable[[], Tab], served: SiteServer
) -> None:
    old = tabs()
    job = old.begin()
    new = next_version(context, served)
    newer_job = new.begin()
    assert old.soon("news.at(-1)", ROOM_FOR_WORDS) == "Another tab has a newer version. Reload this one."
    assert new.page.evaluate("news") == []
    refused = old.append(job, [step(1)])
    assert refused["why"] == "newer" and "Save the record as text" in refused["says"]
    assert old.run("return await store.jobs()")["why"] == "newer"
    found = records(old.run(ALL))
    assert [one["job"] for one in found["events"]].count(job) == 1 and len(found["events"]) == 2
    assert new.steps(newer_job) == [] and new.events(job)[0]["kind"] == "begin"


def test_story_8_an_upgrade_in_the_middle_of_a_write_is_told_to_both_and_loses_nothing(
    context: BrowserContext, tabs: Callable[[], Tab], served: SiteServer
) -> None:
    old = tabs()
    job = old.begin()
    old.page.evaluate("""job => {
      const store = handles.at(-1).transaction('notes', 'readwrite').objectStore('notes')
      const go = () => { store.put({ key: 'long', value: performance.now() }).onsuccess = () =>
        { if (!self.enough) go() } }
      go() }""", job)
    new = next_version(context, served)
    new.run("window.waiting = store.claim(arg, () => {}); waiting.catch(() => {})", "f" * 32)
    assert old.soon("news.at(-1)", ROOM_FOR_WORDS) == "Another tab has a newer version. Reload this one."
    assert old.soon(SEEN, ROOM_FOR_WORDS) == "Another tab has a newer version. Reload this one."
    assert new.soon(SEEN, ROOM_FOR_WORDS).endswith("Close all other tabs of this site.")
    old.page.evaluate("self.enough = true")
    assert new.run("return (await waiting).mine") is True
    assert new.append("f" * 32, [event("begin")]) == 1
    assert new.page.evaluate("news.at(-1)") == "", "the word is taken back when the way is free"
    assert any(one["key"] == "long" for one in records(new.run(ALL))["notes"]), "the write of the old tab was cut"


def test_story_8_an_old_tab_that_never_lets_go_is_said_at_once_and_nothing_hangs(
    context: BrowserContext, tabs: Callable[[], Tab], served: SiteServer
) -> None:
    """A version that does not listen: only closing its tab helps, and the new tab has to say so."""
    context.clock.install()
    old = tabs()
    job = old.begin()
    old.page.evaluate("handles.at(-1).onversionchange = null")
    new = next_version(context, served)
    new.page.clock.pause_at(new.page.evaluate("Date.now() + 1000"))
    new.run("store.jobs().catch((error) => { window.refused = [error.why, error.says] })")
    says = "An older tab holds the storage. Close all other tabs of this site."
    assert new.soon("news[0]", ROOM_FOR_WORDS) == says
    context.clock.fast_forward(5000)  # that a request is given
    assert new.soon("window.refused", ROOM_FOR_WORDS) == ["lost", says]
    assert old.append(job, [step(1)]) == 2, "the old tab works on"
    old.page.close()
    assert new.claim(job) and new.append(job, [step(2)]) == 3
    assert new.steps(job) == [1, 2]


def test_story_8_a_store_made_by_a_newer_version_is_not_written_and_all_of_it_leaves_as_text(
    tabs: Callable[[], Tab], served: SiteServer
) -> None:
    tab = tabs()
    job = tab.begin()
    tab.append(job, [step(1)], photo=1000)
    name = tab.name()
    tab.page.goto(served.url + "about/")
    tab.page.evaluate(
        """name => new Promise((resolve, reject) => {
          const asked = indexedDB.open(name, 3)
          asked.onupgradeneeded = () => asked.result.createObjectStore('tools', { keyPath: 'id' }).put({ id: 'jack' })
          asked.onerror = () => reject(asked.error)
          asked.onsuccess = () => { asked.result.close(); resolve() } })""", name)
    tab.open(served.url)
    assert tab.claim(job)
    refused = tab.append(job, [step(2)])
    assert refused["why"] == "newer" and refused["says"].endswith("then reload this tab.")
    text = tab.run(ALL)
    found = records(text)
    assert '"version":3' in text and found["tools"] == [{"id": "jack"}]
    assert sorted(one["seq"] for one in found["events"]) == [1, 2] and len(found["photos"]) == 1
    assert tab.run("return store.exportText(arg)", [step(2)]).split("\n")[1].endswith("Step 2 done")


def test_a_tab_has_one_connection(tabs: Callable[[], Tab]) -> None:
    tab = tabs()
    job = tab.begin()
    tab.run("await Promise.all([store.jobs(), store.log(), store.events(arg), store.photosOf(arg)])", job)
    assert tab.page.evaluate("handles.length") == 1
