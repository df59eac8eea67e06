"""What the tests of the store share: a tab that drives js/store.js, and events to give it."""

from __future__ import annotations

import json
import secrets
import time
from typing import Any

from playwright.sync_api import BrowserContext, Page

# The quickest page that carries the store; {} is where what a test does with it goes.
RUN = """async (arg) => {
  const store = await import(new URL('js/store.js', new URL(document.documentElement.dataset.base, location.href)))
  try { %s } catch (error) {
    if (error.name !== 'NotSaved') throw error
    return { why: error.why, says: error.says }
  }
}"""

# Keeps every connection that the page opens, so that a test can close one under the store, as a phone does.
KEEP_HANDLES = """const open = IDBFactory.prototype.open
window.handles = []
IDBFactory.prototype.open = function (...args) {
  const asked = open.apply(this, args)
  asked.addEventListener('success', () => window.handles.push(asked.result))
  return asked
}"""

Event = dict[str, Any]


def event(kind: str, data: dict[str, Any] | None = None) -> Event:
    return {"id": secrets.token_hex(16), "job": "", "at": 1_750_000_000_000, "zone": 60, "kind": kind,
            "data": data or {}}


def step(number: int) -> Event:
    return event("done", {"step": number})


def summary(state: str = "open") -> dict[str, Any]:
    return {"card": "P01", "title": "Change the oil", "vehicle": "Thornback", "unit": "rear-axle",
            "unitTitle": "Rear axle", "began": 1, "last": 2, "state": state, "count": 0}


class Tab:
    """One tab with the store; `lost` in the page counts how often it was told that its claim is gone."""

    def __init__(self, context: BrowserContext, url: str) -> None:
        self.page: Page = context.new_page()
        self.open(url)

    def open(self, url: str) -> None:
        self.page.goto(url + "about/")
        self.run("window.lost = 0; window.news = []; window.seen = [];"
                 " store.hear((says) => news.push(says)); store.watch((job) => seen.push(job))")

    def run(self, body: str, arg: Any = None) -> Any:
        """Run `body`, which has `store` and `arg`; what it rejects with as NotSaved comes back as {why, says}."""
        return self.page.evaluate(RUN % body, arg)

    def claim(self, job: str, how: str = "claim") -> bool:
        return bool(self.run(
            f"window.held = await store.{how}(arg, () => {{ lost += 1 }}); return held.mine", job))

    def begin(self) -> str:
        """Begin a job in this tab and return its id."""
        job = secrets.token_hex(16)
        assert self.claim(job)
        assert self.append(job, [event("begin")]) == 1
        return job

    def append(self, job: str, events: list[Event], photo: int = 0, state: str = "open") -> Any:
        """Append, with a photo of so many random bytes; return the last seq, or {why, says}."""
        return self.run(
            """const bytes = new Uint8Array(arg.photo)
            for (let i = 0; i < bytes.length; i += 65536) crypto.getRandomValues(bytes.subarray(i, i + 65536))
            const photo = { id: store.newId(), job: arg.job, step: 1, blob: new Blob([bytes]), width: 4, height: 3 }
            return await store.append(arg.job, arg.events, arg.summary, arg.photo ? { photo } : {})""",
            {"job": job, "events": events, "summary": summary(state), "photo": photo})

    def events(self, job: str) -> Any:
        return self.run("return await store.events(arg)", job)

    def steps(self, job: str) -> list[int]:
        """Return the steps done, in the order stored; the numbering must have no gap."""
        found = self.events(job)
        assert [one["seq"] for one in found] == list(range(1, len(found) + 1))
        return [one["data"]["step"] for one in found if one["kind"] == "done"]

    def soon(self, expression: str, seconds: float) -> Any:
        """Return what an expression of the page comes to as soon as it is true; fail after so many seconds."""
        until = time.monotonic() + seconds
        while not (found := self.page.evaluate(expression)):
            assert time.monotonic() < until, f"not within {seconds} s: {expression}"
            self.page.wait_for_timeout(20)
        return found

    def name(self) -> str:
        """The database's name, as the browser lists it."""
        names = [one["name"] for one in self.page.evaluate("indexedDB.databases()")]
        assert len(names) == 1, names
        return str(names[0])


def close_by_force(context: BrowserContext, times: int = 1) -> None:
    """Let the browser itself close every connection to a database, by its own page of them."""
    inside = context.new_page()
    inside.goto("chrome://indexeddb-internals")
    for _ in range(times):
        inside.locator(".force-close").first.click()
        inside.wait_for_timeout(150)
    inside.close()


def set_room(page: Page, origin: str, size: int | None) -> None:
    """Give the origin so many bytes of storage in all, or what the browser gives by itself.

    To take room away works on a profile kept on disk and before its database is open: a browser remembers for a while
    how much room there was.
    """
    lid = {"origin": origin} if size is None else {"origin": origin, "quotaSize": size}
    page.context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", lid)


def records(text: str) -> dict[str, list[Any]]:
    """Read an exported text as another program would: {store: records}; its head and counts must be right."""
    lines = [json.loads(line) for line in text.split("\n") if line.startswith("{")]
    assert lines[-1] == {"end": len(lines) - 1}, "cut short"
    out: dict[str, list[Any]] = {}
    for line in lines[:-1]:
        if "store" in line:
            out.setdefault(line["store"], []).append(line["record"])
    if "backup" in lines[0]:
        assert lines[0]["counts"] == {name: len(out.get(name, [])) for name in lines[0]["counts"]}
    return out
