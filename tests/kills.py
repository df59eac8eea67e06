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
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright

import chromium
from harness import PHONE
from killwork import KINDS, READ, WRITE, Work

START = 20.0  # seconds that a browser may take until it listens


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


# Whether the database was found empty and put back: the store says so to whoever listens.
PUT_BACK = """async (url) => {
  const store = await import(url)
  let said = ''
  store.hear((words) => (said = words))
  await store.jobs()
  return Number(said.includes('second copy'))
}"""


def write_until_killed(phone: Killable, page: Page, script: str, work: Work, after: int, hammer: bool) -> list[int]:
    """Write item by item and kill the browser the moment item number `after` is acknowledged.

    Return the numbers of all that were acknowledged; with `hammer` the next one is under way when it dies.
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
    page.evaluate(WRITE.replace("ONE", work.one), [script, work.items, hammer])
    until = time.monotonic() + START
    while phone.processes():
        assert time.monotonic() < until and not faults, faults or "the writing did not go on"
        try:
            page.wait_for_timeout(5)
        except Exception:  # the driver says that its browser is gone: so it should be
            assert not phone.processes()
    phone.disconnect()
    return told


def rounds(
    phone: Killable, url: str, count: int, seed: int, each: Callable[[int], None] = lambda _: None,
    hammer: bool = False, kinds: Sequence[type[Work]] = KINDS,
) -> Counter[str]:
    """Kill the browser `count` times while it writes, each time on the same profile; check after every new start.

    Return how many "kills", "processes", "acknowledged", and each kind's acknowledged items under its name. "beyond"
    counts what was flushed before its word got out. At the end everything of every round is read once more.

    With `hammer` the kill falls into the next write. The browser's own log then has, about once in 150 kills, the
    head of a record without its body; the next start goes on writing behind it, and the start after that takes the
    log for damaged and throws the whole database of the site away. The site then puts all back from its second copy:
    "put back" counts how often that was so. Whatever else is missing is a failure.
    """
    dice = random.Random(seed)
    sums: Counter[str] = Counter({"put back": 0, "beyond": 0})
    done: list[tuple[Work, list[int]]] = []
    script = url + "js/store.js"

    def start() -> Page:
        page = phone.start()
        page.goto(url + "about/")
        return page

    def check(page: Page, work: Work, told: list[int]) -> int:
        return work.check(page.evaluate(READ.replace("FOUND", work.read), [script, work.items]), told)

    page = start()
    for number in range(1, count + 1):
        work = kinds[number % len(kinds)].make(dice)
        sums["processes"] += len(phone.processes())
        told = write_until_killed(phone, page, script, work, work.fatal(dice), hammer)
        done.append((work, told))
        page = start()
        sums["put back"] += page.evaluate(PUT_BACK, script)
        sums["beyond"] += check(page, *done[-1])
        sums["kills"] += 1
        sums["acknowledged"] += len(told)
        sums[work.name] += len(told)
        each(number)
    for one in done:
        check(page, *one)
    phone.kill()
    phone.disconnect()
    return sums
