"""Stores of a phone and backups of them, written as another program would: what tests take in, whole and spoilt."""

from __future__ import annotations

import base64
import copy
import hashlib
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

import stories

Json = dict[str, Any]
Stores = dict[str, list[Any]]

# What the head of a JPEG is: start of image, application segment. No picture is decoded here.
JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00" + bytes(range(200)) + b"\xff\xd9"
HEAD = "Fillmark backup, made 2026-04-18T09:00:00.000Z\nIt holds: this and that\n\n"


def photo(name: str, job: str, data: bytes = JPEG) -> Json:
    address = "data:image/jpeg;base64," + base64.b64encode(data).decode()
    return {"id": name, "job": job, "step": 1, "width": 4, "height": 3,
            "blob": {"type": "image/jpeg", "bytes": len(data), "data": address}}


def job_of(story: stories.Story, name: str) -> tuple[Json, list[Json]]:
    """Return the summary of a job and its events, as the page stores them."""
    events = [{**one, "id": f"{name}-{one['seq']}", "job": name} for one in story.events]
    taken = events[0]["data"]["copy"]
    return {"id": name, "card": taken["card"]["no"], "title": taken["card"]["title"],
            "vehicle": taken["vehicle"]["name"], "unit": taken["unit"]["id"], "unitTitle": taken["unit"]["title"],
            "began": events[0]["at"], "last": events[-1]["at"], "state": "open", "count": len(events)}, events


def sample(dist: Path) -> Stores:
    """Return a phone's store: a job under way, the log of the demo garage as one's own, two vehicles, photos."""
    taken = stories.copy(dist, "p01", "thornback", "rear-axle", "sealant")
    nasty = '<script>alert(1)</script> "quoted", \u2028 {"end":1} Öl'
    story = stories.Story(taken).done(1, 2).add("note", step=2, text=nasty)
    story.add("photo", step=2, photo="photo-a", width=4, height=3, bytes=len(JPEG))
    job, events = job_of(story, "job-a")
    log = json.loads((dist / "data/logs/demo.json").read_text("utf-8"))
    for one in log:
        one["entry"]["demo"] = False
    log[0]["entry"]["says"] = nasty
    log[1]["entry"]["photos"] = ["photo-b"]
    sheets = {name: json.loads((dist / f"data/vehicles/{name}.json").read_text("utf-8"))
              for name in ("thornback", "drystone")}
    vehicles = [{"id": f"my-{name}", "rev": 2, "at": 7, "sheet": sheet} for name, sheet in sheets.items()]
    vehicles.append({"id": "sold", "rev": 3, "at": 9, "sheet": None})
    return {"jobs": [job], "events": events, "photos": [photo("photo-a", "job-a"), photo("photo-b", log[1]["id"])],
            "log": log, "vehicles": vehicles}


def dump(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def lines(stores: Stores) -> list[str]:
    return [dump({"store": name, "record": one}) for name, records in stores.items() for one in records]


def text(stores: Stores, body: list[str] | None = None, **head: Any) -> str:
    """Write a backup, with its right digest and counts unless `head` says otherwise; `body`: other record lines."""
    body = lines(stores) if body is None else body
    counts = {name: len(records) for name, records in stores.items()}
    digest = hashlib.sha256("".join(line + "\n" for line in body).encode()).hexdigest()
    first = {"backup": 2, "made": "2026-04-18T09:00:00.000Z", "version": 2, "counts": counts, "sha256": digest, **head}
    end = head.get("end", len(body) + 1)
    return HEAD + "\n".join([dump(first), *body, dump({"end": end}), ""])


# ---- spoilt on purpose, with a digest that fits, so that it is the record itself that has to be refused

WRONG: list[Any] = [None, True, 0, -1, 1e300, 10**18, "", "x" * 70_000, [], {}, [[]], {"a": 1}, "constructor",
                    "__proto__", "../..", "<svg onload=alert(1)>", "2026-02-30", float("nan")]
KINDS = ["cut", "byte", "type", "type", "type", "type", "key", "gone", "twice", "picture", "digest", "counts", "newer",
         "deep", "line", "order", "binary", "swap"]
PICTURES = [b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", b"<html><script>alert(1)</script>"]
NO_RECORDS = ['{"store":"tools","record":{"id":"a"}}', "[]", "null", "{}", "-- ", '{"store":"log","record":[]}',
              '{"store":"log"}', '{"end":3}']
KEYS = ["__proto__", "constructor", "prototype", "toString", "hasOwnProperty"]


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the way to everything inside."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inside:
        yield (*path, key)
        yield from places(one, (*path, key))


def reach(value: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


def put(value: Any, path: tuple[Any, ...], other: Any) -> None:
    reach(value, path[:-1])[path[-1]] = other


def spoilt(stores: Stores, seed: int) -> tuple[str, str]:
    """Return what was done, and the text of a backup with that done to it."""
    dice = random.Random(seed)
    kind = dice.choice(KINDS)
    own = copy.deepcopy(stores)
    name = dice.choice([name for name in own if own[name]])
    at = dice.randrange(len(own[name]))
    record = own[name][at]
    whole = text(stores)
    if kind == "cut":
        return kind, whole[:dice.randrange(len(whole) - 2)]
    if kind == "byte":
        start = whole.index('{"backup"')
        where = dice.randrange(start, len(whole))
        return kind, whole[:where] + dice.choice(["\x00", "{", '"', "9", "\ufffd", "\n", "é"]) + whole[where + 1:]
    if kind == "type":
        way = dice.choice(list(places(record)))
        other = dice.choice(WRONG)
        put(record, way, other)
        return f"type {name}.{'.'.join(map(str, way))} = {str(other)[:20]}", text(own)
    if kind == "key":
        ways = [(), *(way for way in places(record) if isinstance(reach(record, way), dict))]
        reach(record, dice.choice(ways))[dice.choice(KEYS)] = {"polluted": True}
        return kind, text(own)
    if kind == "gone":
        del record[dice.choice(list(record))]
        return f"gone {name}", text(own)
    if kind == "twice":
        own[name].append(record)
        return kind, text(own)
    if kind == "picture":
        raw = dice.choice(PICTURES)
        there = dice.choice(["image/svg+xml", "text/html", "image/jpeg"])
        own["photos"][0]["blob"] = {"type": there, "bytes": len(raw),
                                    "data": f"data:{there};base64," + base64.b64encode(raw).decode()}
        return kind, text(own)
    if kind == "digest":
        return kind, text(stores, sha256=hashlib.sha256(str(seed).encode()).hexdigest())
    if kind == "counts":
        return kind, text(stores, counts={name: dice.randrange(100, 200) for name in stores})
    if kind == "newer":
        return kind, text(stores, **dice.choice([{"backup": 3}, {"version": 3}, {"backup": "2"}, {"version": None}]))
    if kind == "deep":
        body = lines(stores)
        body[dice.randrange(len(body))] = dump({"store": name, "record": {**record, "more": 0}}).replace(
            '"more":0', '"more":' + "[" * 5000 + "]" * 5000)
        return kind, text(stores, body)
    if kind == "line":
        body = lines(stores)
        body.insert(dice.randrange(len(body)), dice.choice(NO_RECORDS))
        return kind, text(stores, body)
    if kind == "order":
        body = lines(stores)
        dice.shuffle(body)
        return kind, text(stores, body)
    if kind == "binary":
        return kind, bytes(dice.randrange(256) for _ in range(3000)).decode("utf-8", "replace")
    body = lines(stores)
    one, other = dice.sample(range(len(body)), 2)
    body[one] = body[other]
    return kind, text(stores, body)


TAKE_IN = """async (text) => {
  const { look, takeIn } = await import('./js/backup/look.js')
  const looked = await look(text)
  if (!looked.ok) return looked.says
  await takeIn(looked)
  return looked.adds
}"""

# Each file is looked over, and nothing may be stored by that; then what was not refused is taken in, and the store must
# hold just the union. The store is filled before.
FUZZ = """async (texts) => {
  const store = await import('./js/store.js')
  const { look, takeIn } = await import('./js/backup/look.js')
  const { ordered } = await import('./js/lib/merge.js')
  const { canonical } = await import('./js/lib/canonical.js')
  const { plain } = await import('./js/phone/plain.js')
  const all = async () => canonical(ordered(await plain(await store.stored(), true)))
  const before = await all()
  const said = [], faults = []
  for (const text of texts) {
    try {
      const looked = await look(text)
      said.push(looked.ok ? '' : looked.says)
    } catch (error) {
      said.push('')
      faults.push(`${said.length - 1} crashed: ${error.stack}`)
    }
  }
  if (await all() !== before) faults.push('looking over stored something')
  for (const [i, text] of texts.entries()) {
    if (said[i] || faults.length) continue
    try {
      const looked = await look(text)
      await takeIn(looked)
      if (await all() !== canonical(ordered(looked.all))) faults.push(`${i} is stored in part`)
    } catch (error) { faults.push(`${i} crashed on its way in: ${error.stack}`) }
  }
  if ('polluted' in {} || Object.keys(Object.prototype).length) faults.push('the language itself was changed')
  return [said, faults]
}"""


def fuzz(page: Page, spoilt: list[tuple[str, str]]) -> tuple[list[tuple[str, str]], list[str], list[str]]:
    """Look over and take in; return what was refused with the words, what was not, and every crash or half write."""
    said, faults = page.evaluate(FUZZ, [given for _, given in spoilt])
    kinds = [(kind, says) for (kind, _), says in zip(spoilt, said, strict=True)]
    silent = [f"{kind}: no words" for kind, says in kinds if says and not says.endswith(".")]
    return [one for one in kinds if one[1]], [kind for kind, says in kinds if not says], [*faults, *silent]
