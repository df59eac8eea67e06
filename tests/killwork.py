"""What is being written when the browser is killed: a job's appends, log entries, vehicles, whole backups taken in.

Each kind writes its items one by one and each is acknowledged; after the next start `check` holds what is read against
what was written. A photo's bytes follow from its length, so that a torn one is told from a whole one.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any

Item = dict[str, Any]

# Each kind puts its own `one(item)` in; with `hammer` the next item is under way while the last is told.
WRITE = """async ([url, items, hammer]) => {
  const store = await import(url)
  const bytes = (n) => Uint8Array.from({ length: n }, (_, i) => (i * 31 + n) % 251)
  const blob = (n) => new Blob([bytes(n)], { type: 'image/jpeg' })
  ONE
  const all = async () => {
    for (const [i, item] of items.entries()) {
      await one(item)
      const told = acknowledged(i).catch(() => {})
      if (!hammer) await told
    }
  }
  all().catch((error) => failed(`${error}`))
}"""
READ = """async ([url, items]) => {
  const store = await import(url)
  const bare = async ({ blob, ...rest }) => {
    const found = new Uint8Array(await blob.arrayBuffer())
    return { ...rest, bytes: found.length, whole: found.every((byte, i) => byte === (i * 31 + found.length) % 251) }
  }
  FOUND
}"""


def photos(records: list[Item]) -> list[Item]:
    """Return photo records as READ must find them: whole, and of the length asked for."""
    return [{**{key: value for key, value in one.items() if key != "bytes"}, "bytes": one["bytes"], "whole": True}
            for one in records]


def by_id(records: list[Item]) -> list[Item]:
    return sorted(records, key=lambda one: str(one["id"]))


@dataclass(frozen=True)
class Work:
    """Items of one kind, written one after the other; `check` returns how many beyond the acknowledged are there."""

    items: list[Item]
    name = ""
    one = ""
    read = ""

    def fatal(self, dice: random.Random) -> int:
        """Return after which item the browser dies."""
        return dice.randrange(1, len(self.items) // 2 + 1)

    def expected(self, items: list[Item]) -> Any:
        """Return what READ must find once `items` are stored."""
        raise NotImplementedError

    def check(self, found: Any, told: list[int]) -> int:
        assert told == list(range(len(told))), "acknowledged out of turn"
        # The word of what is stored takes a moment to get out, so that more than one may be under way.
        for beyond in range(len(self.items) - len(told) + 1):
            if found == self.expected(self.items[: len(told) + beyond]):
                return beyond
        raise AssertionError(f"{self.name}: {len(told)} acknowledged; not just these: {str(found)[:999]}")


class Appends(Work):
    """Events of one job, some with a photo."""

    name = "job"
    one = """const { job } = items[0]
  const { mine } = await store.claim(job, () => {})
  if (!mine) throw new Error('the claim was not free')
  let count = 0
  const one = ({ events, photo }) => {
    const { bytes: size, ...rest } = photo ?? {}
    const extra = photo ? { photo: { ...rest, blob: blob(size) } } : {}
    count += events.length
    return store.append(job, events, { id: job, title: 'A job', state: 'open', count }, extra)
  }"""
    read = """const { job } = items[0]
  const summary = (await store.jobs()).find(({ id }) => id === job)
  const photos = await Promise.all((await store.photosOf(job)).map(bare))
  return { events: await store.events(job), photos, count: summary ? summary.count : 0 }"""

    @classmethod
    def make(cls, dice: random.Random) -> Appends:
        job = f"{dice.getrandbits(128):032x}"

        def event(kind: str, data: dict[str, Any]) -> Item:
            return {"id": f"{dice.getrandbits(128):032x}", "job": job, "at": 1_750_000_000_000 + dice.randrange(10**9),
                    "zone": dice.choice([-480, 0, 60, 330]), "kind": kind, "data": data}

        def tap() -> Item:
            return dice.choice([
                event("done", {"step": dice.randint(1, 30)}), event("hold", {"hold": dice.randint(1, 6)}),
                event("bolt", {"step": 5, "tap": dice.randint(1, 40)}),
                event("note", {"step": 2, "text": "Wipe. " * dice.randint(1, 400) + "Öl: 2,3 °"})])

        out: list[Item] = [{"job": job, "photo": None, "events": [
            event("begin", {"odometer": {"typed": "91340", "unit": "mi", "si": 1.47e8}})]}]
        while len(out) < 60:
            events = [tap() for _ in range(dice.choice([1, 1, 1, 2, 4]))]
            photo = None
            if dice.random() < 0.15:
                photo = {"id": events[0]["id"], "job": job, "step": 3, "bytes": dice.randint(50_000, 900_000)}
                events.append(event("photo", {"step": 3, "photo": photo["id"], "width": 1600, "height": 1200}))
            out.append({"job": job, "events": events, "photo": photo})
        return cls(out)

    def fatal(self, dice: random.Random) -> int:
        """Half of the kills fall on a photo, whose bytes take longest to the disk."""
        with_photo = [i for i, one in enumerate(self.items) if one["photo"]] or [0]
        return int(dice.choice(dice.choice([range(30), with_photo]))) + 1

    def expected(self, items: list[Item]) -> Any:
        events = [event for one in items for event in one["events"]]
        return {"events": [{**event, "seq": seq} for seq, event in enumerate(events, 1)], "count": len(events),
                "photos": by_id(photos([one["photo"] for one in items if one["photo"]]))}


class Entries(Work):
    """Entries by hand in the log, with up to three photos each."""

    name = "log"
    one = """const one = ({ record, photos }) => store.addToLog(record,
    photos.map(({ bytes, ...rest }) => ({ ...rest, blob: blob(bytes) })))"""
    read = """const wanted = new Set(items.map(({ record }) => record.id))
  const log = (await store.log()).filter(({ id }) => wanted.has(id))
  const photos = (await Promise.all([...wanted].map((id) => store.photosOf(id)))).flat()
  return { log, photos: await Promise.all(photos.map(bare)) }"""

    @classmethod
    def make(cls, dice: random.Random) -> Entries:
        out = []
        for at in range(20):
            name = f"{dice.getrandbits(128):032x}"
            entry = {"id": name, "note": "Öl " * dice.randint(1, 99)}
            out.append({
                "record": {"id": name, "at": at, "followUps": [], "entry": entry},
                "photos": [{"id": f"{dice.getrandbits(128):032x}", "job": name, "step": 0,
                            "bytes": dice.randint(20_000, 400_000)} for _ in range(dice.choice([0, 0, 1, 3]))]})
        return cls(out)

    def expected(self, items: list[Item]) -> Any:
        return {"log": by_id([one["record"] for one in items]),
                "photos": [photo for one in items for photo in by_id(photos(one["photos"]))]}


class Vehicles(Work):
    """One vehicle's sheet, changed again and again."""

    name = "vehicles"
    one = "const one = (record) => store.putVehicle(record)"
    read = "return await store.vehicleRecord(items[0].id)"

    @classmethod
    def make(cls, dice: random.Random) -> Vehicles:
        name = f"own-{dice.getrandbits(64):016x}"
        return cls([{"id": name, "rev": rev, "at": rev, "sheet": {"name": "Old Blue " * dice.randint(1, 200)}}
                    for rev in range(1, 41)])

    def expected(self, items: list[Item]) -> Any:
        return items[-1] if items else None


class Restores(Work):
    """Whole backups taken in: a job with its events, photos, log entries and a vehicle; the largest ones of years."""

    name = "restore"
    one = """const one = (add) => store.restore({ ...add,
    photos: add.photos.map(({ bytes, ...rest }) => ({ ...rest, blob: blob(bytes) })) })"""
    read = """const { jobs, events, photos, log, vehicles } = await store.stored()
  const mine = (all) => all.filter(({ id }) => id.startsWith(items[0].jobs[0].id.slice(0, 8)))
  return { jobs: mine(jobs), events: mine(events), photos: await Promise.all(mine(photos).map(bare)), log: mine(log),
    vehicles: mine(vehicles) }"""

    @classmethod
    def make(cls, dice: random.Random) -> Restores:
        head = f"{dice.getrandbits(32):08x}"
        out = []
        for at in range(6):
            def name(kind: str, number: int = 0, at: int = at) -> str:
                return f"{head}{at:04x}{kind}{number:08x}"

            size = dice.choice([3, 20, 200, 600])
            out.append({
                "jobs": [{"id": name("a"), "title": "A job", "state": "signed", "count": size}],
                "events": [{"id": name("b", seq), "job": name("a"), "seq": seq, "at": seq, "zone": 0, "kind": "note",
                            "data": {"step": 1, "text": "Öl " * 20}} for seq in range(1, size + 1)],
                "photos": [{"id": name("c", no), "job": name("a"), "step": 1, "bytes": dice.randint(20_000, 300_000)}
                           for no in range(dice.randint(0, 4))],
                "log": [{"id": name("d", no), "entry": {"id": name("d", no)}, "followUps": [], "at": no}
                        for no in range(size // 2)],
                "vehicles": [{"id": name("e"), "rev": 1, "at": at, "sheet": {"name": "Old Blue"}}]})
        return cls(out)

    def expected(self, items: list[Item]) -> Any:
        every = {kind: by_id([one for item in items for one in item[kind]])
                 for kind in ("jobs", "events", "photos", "log", "vehicles")}
        return {**every, "photos": photos(every["photos"])}


KINDS = (Appends, Entries, Vehicles, Restores)
