"""A Chromium that can be killed as a phone with a flat battery is, and rounds of writing that end in such a kill.

The browser is started here and not by the test driver, as the leader of a session of its own, so that every process
of it can be found and killed, and nothing else.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, Playwright

import chromium
from harness import PHONE

START = 20.0  # seconds that a browser may take until it listens
Batch = dict[str, Any]  # {"events": [...], "photo": bytes or 0}: what one append takes


class Killable:
    """Chromium (at `path`) on the profile in `folder`: start, kill, start again."""

    def __init__(self, playwright: Playwright, folder: Path, path: str) -> None:
        self.playwright, self.folder, self.path = playwright, folder, path
        self._leader: subprocess.Popen[bytes] | None = None
        self._browser: Browser | None = None

    def start(self) -> Page:
        """Start the browser and return a new page of it."""
        assert self._leader is None, "already started"
        self.folder.mkdir(parents=True, exist_ok=True)
        told = self.folder / "DevToolsActivePort"
        told.unlink(missing_ok=True)
        for lock in self.folder.glob("Singleton*"):  # left by the one that was killed
            lock.unlink()
        flags = [*chromium.FLAGS, "--headless=new", "--remote-debugging-port=0", f"--user-data-dir={self.folder}",
                 f"--window-size={PHONE['width']},{PHONE['height']}"]
        quiet = subprocess.DEVNULL
        self._leader = subprocess.Popen(
            [self.path, *flags, "about:blank"], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True)
        until = time.monotonic() + START
        while not (told.exists() and "\n" in told.read_text()):
            assert self._leader.poll() is None, f"the browser ended by itself: {self._leader.returncode}"
            assert time.monotonic() < until, f"the browser did not listen within {START} s"
            time.sleep(0.02)
        port = told.read_text().split()[0]
        self._browser = self.playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        page = self._browser.contexts[0].new_page()
        page.set_default_timeout(10_000)
        return page

    def processes(self) -> list[int]:
        """Return the ids of all living processes of this browser's session."""
        leader = self._leader
        return [] if leader is None else [pid for pid, session in _sessions() if session == leader.pid]

    def kill(self) -> int:
        """SIGKILL every process of the browser at once; return how many there were. None of them is left after it."""
        leader, killed = self._leader, 0
        if leader is None:
            return 0
        while alive := self.processes():  # one that was just being born is caught by the next turn
            for pid in alive:
                try:
                    os.kill(pid, signal.SIGKILL)
                    killed += 1
                except ProcessLookupError:
                    pass
            leader.poll()  # takes the dead leader off the list of processes
        leader.wait()
        self._leader = None
        return killed

    def disconnect(self) -> None:
        """Let the test driver forget the browser that was killed. Not to be called inside one of its callbacks."""
        if self._browser:
            self._browser.close()
            self._browser = None


def _sessions() -> list[tuple[int, int]]:
    """Return (process id, session id) of every process that lives; one that is dead and not yet buried does not."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                after_name = (entry / "stat").read_text().rpartition(")")[2].split()
            except (FileNotFoundError, ProcessLookupError):
                continue
            if after_name[0] not in "ZX":
                found.append((int(entry.name), int(after_name[3])))
    return found


def batches(dice: random.Random, job: str, count: int) -> list[Batch]:
    """Return random appends of a job: mostly one tap, at times several events at once, or a photo."""
    def event(kind: str, data: dict[str, Any]) -> dict[str, Any]:
        return {"id": f"{dice.getrandbits(128):032x}", "job": job, "at": 1_750_000_000_000 + dice.randrange(10**9),
                "zone": dice.choice([-480, 0, 60, 330]), "kind": kind, "data": data}

    def tap() -> dict[str, Any]:
        return dice.choice([
            event("done", {"step": dice.randint(1, 30)}), event("hold", {"hold": dice.randint(1, 6)}),
            event("bolt", {"step": 5, "tap": dice.randint(1, 40)}),
            event("note", {"step": 2, "text": "Wipe. " * dice.randint(1, 400) + "Öl: 2,3 °"})])

    out: list[Batch] = [{"events": [event("begin", {"odometer": {"typed": "91340", "unit": "mi", "si": 1.47e8}})],
                         "photo": 0}]
    while len(out) < count:
        events = [tap() for _ in range(dice.choice([1, 1, 1, 2, 4]))]
        photo = dice.randint(50_000, 900_000) if dice.random() < 0.15 else 0
        if photo:
            events.append(event("photo", {"step": 3, "photo": events[0]["id"], "width": 1600, "height": 1200}))
        out.append({"events": events, "photo": photo})
    return out


# A photo's bytes follow from its length, so that its reader can tell a torn one. Each append waits for the one before.
WRITE = """async ([url, job, batches, hammer]) => {
  const store = await import(url)
  const { mine } = await store.claim(job, () => {})
  if (!mine) throw new Error('the claim was not free')
  const bytes = (n) => Uint8Array.from({ length: n }, (_, i) => (i * 31 + n) % 251)
  let count = 0
  const all = async () => {
    for (const [i, { events, photo }] of batches.entries()) {
      const extra = photo ? { photo: { id: events[0].id, job, step: 3, blob: new Blob([bytes(photo)]) } } : {}
      count += events.length
      await store.append(job, events, { id: job, title: 'A job', state: 'open', count }, extra)
      const told = acknowledged(i).catch(() => {})
      if (!hammer) await told // else the next append goes on at once
    }
  }
  all().catch((error) => failed(`${error}`))
}"""

# Whether the database was found empty and put back: the store says so to whoever listens.
PUT_BACK = """async (url) => {
  const store = await import(url)
  let said = ''
  store.hear((words) => (said = words))
  await store.jobs()
  return Number(said.includes('second copy'))
}"""

READ = """async ([url, job]) => {
  const store = await import(url)
  const photos = []
  for (const { id, blob } of await store.photosOf(job)) {
    const found = new Uint8Array(await blob.arrayBuffer())
    photos.push([id, found.length, found.every((byte, i) => byte === (i * 31 + found.length) % 251)])
  }
  const summary = (await store.jobs()).find(({ id }) => id === job)
  return { events: await store.events(job), photos, count: summary ? summary.count : 0 }
}"""


def write_until_killed(
    phone: Killable, page: Page, script: str, job: str, work: list[Batch], after: int, hammer: bool
) -> list[int]:
    """Write batch by batch and kill the browser the moment append number `after` is acknowledged.

    Return the numbers of all batches that were acknowledged; with `hammer` the next one is under way when it dies.
    """
    told: list[int] = []
    faults: list[str] = []

    def acknowledged(number: int) -> None:
        if phone.processes():
            told.append(number)
            if len(told) >= after:
                phone.kill()

    page.expose_function("acknowledged", acknowledged)
    page.expose_function("failed", lambda said: faults.append(said))
    page.evaluate(WRITE, [script, job, work, hammer])
    until = time.monotonic() + START
    while phone.processes():
        assert time.monotonic() < until and not faults, faults or "the appends did not go on"
        try:
            page.wait_for_timeout(5)
        except Exception:  # the driver says that its browser is gone: so it should be
            assert not phone.processes()
    phone.disconnect()
    return told


def assert_nothing_lost(found: dict[str, Any], work: list[Batch], acknowledged: list[int]) -> int:
    """Hold what a new start reads against what was written; return how many appends beyond the acknowledged are there.

    All that was acknowledged is there, in order, without a gap, equal to what was written; of the one that was under
    way there is all or nothing, its photo and the job's count included.
    """
    assert acknowledged == list(range(len(acknowledged)))
    whole, events = 0, found["events"]
    while whole < len(work) and sum(len(one["events"]) for one in work[:whole]) < len(events):
        whole += 1
    written = [event for one in work[:whole] for event in one["events"]]
    assert whole >= len(acknowledged), f"lost: {len(acknowledged)} acknowledged, {whole} there"
    assert events == [{**event, "seq": seq} for seq, event in enumerate(written, 1)], "not what was written"
    photos = [[one["events"][0]["id"], one["photo"], True] for one in work[:whole] if one["photo"]]
    assert sorted(found["photos"]) == sorted(photos), "photos"
    assert found["count"] == len(events), "the summary is of another moment"
    return whole - len(acknowledged)


def rounds(
    phone: Killable, url: str, count: int, seed: int, each: Callable[[int], None] = lambda _: None,
    hammer: bool = False,
) -> dict[str, int]:
    """Kill the browser `count` times while it writes, each time on the same profile; check after every new start.

    Return {"kills", "processes", "acknowledged", "beyond", "put back"}: "beyond" counts appends that were flushed
    before their word got out. At the end every job of every round is read once more.

    With `hammer` the kill falls into the next append. The browser's own log then has, about once in 150 kills, the
    head of a record without its body; the next start goes on writing behind it, and the start after that takes the
    log for damaged and throws the whole database of the site away. The site then puts all back from its second copy:
    "put back" counts how often that was so. Whatever else is missing is a failure.
    """
    dice = random.Random(seed)
    sums = {"kills": 0, "processes": 0, "acknowledged": 0, "beyond": 0, "put back": 0}
    done: list[tuple[str, list[Batch], list[int]]] = []
    script = url + "js/store.js"

    def start() -> Page:
        page = phone.start()
        page.goto(url + "about/")
        return page

    def check(page: Page, job: str, work: list[Batch], told: list[int]) -> int:
        return assert_nothing_lost(page.evaluate(READ, [script, job]), work, told)

    page = start()
    for number in range(1, count + 1):
        job = f"{dice.getrandbits(128):032x}"
        work = batches(dice, job, 60)
        sums["processes"] += len(phone.processes())
        # Half of the kills fall on a photo, whose bytes take longest to the disk.
        fatal = dice.choice([list(range(30)), [i for i, one in enumerate(work) if one["photo"]] or [0]])
        told = write_until_killed(phone, page, script, job, work, dice.choice(fatal) + 1, hammer)
        done.append((job, work, told))
        page = start()
        sums["put back"] += page.evaluate(PUT_BACK, script)
        sums["beyond"] += check(page, *done[-1])
        sums["kills"] += 1
        sums["acknowledged"] += len(told)
        each(number)
    for one in done:
        check(page, *one)
    phone.kill()
    phone.disconnect()
    return sums
