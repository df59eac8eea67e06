"""The look-up of the page beside MiniSearch and Fuse.js, in the page, on the same rows and the same 300 queries.

The rows are those of the site's own look-up with invented vehicles: the same words, and a code for each row. A query
asks for one known row: its vehicle's name and place, the beginning of a word, two words the second half typed, or one
word with one typing error. Found means: among the first ten.
"""

from __future__ import annotations

import random
import re
import statistics
import string
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from peers_kit import MODULES, ROOT, Ratio

from garages import MAKERS, SHORTS

SIZES = (500, 10_000)
EACH = 100  # queries of a kind
ERRORS = ("changed", "lost", "added", "swapped")  # the last is two edits to some
BUDGET = 10.0  # ms a key, at 10 000 rows
SERVED = {"minisearch.js": "minisearch/dist/es/index.js", "fuse.js": "fuse.js/dist/fuse.mjs"}
# Each engine with what of it answers the same question: every word as typed, as a beginning, or one letter off.
SCRIPT = """async ([base, rows, queries, asked]) => {
  const [ours, mini, fuse] = await Promise.all(['../js/lib/lookup.js', base + 'minisearch.js', base + 'fuse.js']
    .map((path) => import(new URL(path, location.href))))
  const table = ours.index(rows)
  const records = rows.map((text, id) => ({ id, text }))
  const minis = new mini.default({ fields: ['text'] })
  minis.addAll(records)
  const search = (fuzzy) => (query) =>
    minis.search(query, { prefix: true, fuzzy, combineWith: 'AND' }).map((hit) => hit.id)
  const fuses = new fuse.default(records, {
    keys: ['text'], useTokenSearch: true, tokenMatch: 'all', ignoreLocation: true, threshold: 0.3,
  })
  const engines = {
    ours: (query) => ours.search(table, query).map((hit) => hit.id),
    minisearch: search(1), minisearch2: search(2),
    fuse: (query) => fuses.search(query, { limit: 10 }).map((hit) => hit.refIndex),
  }
  const took = Object.fromEntries(Object.keys(engines).map((name) => [name, queries.map(() => [])]))
  const timed = (work, query) => {
    const start = performance.now()
    for (let turns = 1; ; turns += 1) {
      work(query)
      const taken = performance.now() - start
      if (taken > 2) return taken / turns  // the browser's clock is coarse
    }
  }
  for (let round = 0; round < 3; round += 1) for (const [place, query] of queries.entries()) {
    for (const [name, work] of Object.entries(engines)) {
      if (took[name][place][0] > 20) continue  // one round of it is long enough
      took[name][place].push(timed(work, query))
    }
  }
  const found = {}
  for (const [name, work] of Object.entries(engines)) {
    found[name] = asked.map(([query, row]) => work(query).slice(0, 10).includes(row))
  }
  return { took, found }
}"""
NAMES = {"minisearch": "MiniSearch, 1 edit", "minisearch2": "MiniSearch, 2", "fuse": "Fuse.js"}


@dataclass(frozen=True)
class Budget:
    """One of ours against its budget, which no other tool has."""

    what: str
    value: float

    @property
    def over(self) -> bool:
        return self.value > BUDGET

    def __str__(self) -> str:
        return f"{self.what:<58} {self.value:>9.2f} {BUDGET:>9.0f} ms     budget {self.value / BUDGET:>20.2f}"


def rows_of(count: int, texts: list[str]) -> list[tuple[str, str, str, str]]:
    """Return (maker, short, place, text) of invented units: every vehicle has the units of the site's look-up."""
    dice, out = random.Random(count), []
    units = [text.split(maxsplit=2)[2] for text in texts]
    while len(out) < count:
        vehicle = len(out) // 5
        maker, short = dice.choice(MAKERS), dice.choice(SHORTS)
        for unit in dice.sample(units, 5):
            label, rest = unit.split(maxsplit=1)
            rest = re.sub(r"\b[A-Z]{2}-(?=[A-Z]{2}\b)", f"V{vehicle}-", rest)
            place = rest.split()[0].lower()
            label = f"{label[:2]}-{dice.randint(100, 999)}{dice.choice('ABCD')}"
            out.append((maker, short, place, f"{maker} {short} {label} {rest}"))
    return out[:count]


def mistyped(word: str, error: str, dice: random.Random) -> str:
    """Return the word with one error; never at its first letter, which people rarely miss."""
    at = dice.randrange(1, len(word) - 1)
    letter = dice.choice([one for one in string.ascii_lowercase if one not in word[at - 1 : at + 2].lower()])
    if error == "swapped":
        at = dice.choice([place for place in range(1, len(word) - 1) if word[place] != word[place + 1]])
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    return word[:at] + {"changed": letter, "lost": "", "added": letter + word[at]}[error] + word[at + 1 :]


def queries(rows: list[tuple[str, str, str, str]]) -> tuple[list[str], list[tuple[str, int]]]:
    """Return the 300 timed queries, and (query, row) for every error, a hundred each."""
    dice = random.Random(7)

    def one() -> tuple[int, str, str, str]:
        row = dice.randrange(len(rows))
        maker, short, place, _ = rows[row]
        return row, maker.lower(), short.lower(), place

    begun = [word[: dice.randint(1, len(word))] for word in (dice.choice(one()[1:]) for _ in range(EACH))]
    two = [f"{short} {place[: dice.randint(1, len(place))]}" for _, _, short, place in (one() for _ in range(EACH))]
    asked = []
    for error in ERRORS:
        for row, maker, short, place in (one() for _ in range(EACH)):
            pair = [maker, short]
            at = dice.randrange(2)
            pair[at] = mistyped(pair[at], error, dice)
            asked.append((" ".join([*pair, place]), row))
    typed = [query for query, _ in dice.sample(asked, EACH)]
    return begun + two + typed, asked


def rows(folder: Path) -> Iterator[Ratio | Budget]:
    """Yield the time a key at both sizes, and what one error costs."""
    from playwright.sync_api import sync_playwright

    import chromium
    from fillmark import pipeline
    from harness import SiteServer

    site = folder / "site"
    files = pipeline.run(ROOT / "content", ROOT / "site_src", site).files
    texts = re.findall(r'data-words="([^"]*)"', files["look-up/index.html"].decode())
    with sync_playwright() as driver, SiteServer(site) as server:
        for name, path in SERVED.items():
            server.extra[f"/beside/{name}"] = ("text/javascript", (MODULES / path).read_bytes())
        browser = driver.chromium.launch(executable_path=chromium.find_or_install(), args=chromium.FLAGS)
        page = browser.new_context(service_workers="block").new_page()
        page.set_default_timeout(0)
        for size in SIZES:
            made = rows_of(size, texts)
            timed, asked = queries(made)
            page.goto(server.url + "look-up/")
            got = page.evaluate(SCRIPT, ["/beside/", [row[3] for row in made], timed, asked])
            yield from _size(size, got)
        browser.close()


def _size(size: int, got: dict[str, dict[str, list[object]]]) -> Iterator[Ratio | Budget]:
    keys = {name: sorted(statistics.median(each) for each in per_query) for name, per_query in got["took"].items()}
    for name, words in NAMES.items():
        for which, at in (("median", 0.5), ("95 of 100", 0.95)):
            here, there = (values[int(at * (len(values) - 1))] for values in (keys["ours"], keys[name]))
            yield Ratio(f"look-up, a key of {size} rows, {which}", here, words, there, "ms")
    swapped = ERRORS.index("swapped") * EACH
    for name, words in NAMES.items():
        for error, part in (("off", slice(swapped)), ("pair swapped", slice(swapped, None))):
            here, there = (100 * statistics.mean(map(float, got["found"][one][part])) for one in ("ours", name))
            yield Ratio(f"found among ten of {size}, a letter {error} (more: better)", here, words, there, "%")
    if size == SIZES[-1]:
        yield Budget(f"look-up, a key of {size} rows, 95 of 100", keys["ours"][int(0.95 * (EACH * 3 - 1))])
