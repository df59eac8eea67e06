"""Merging phones: whichever way round, in whatever order, however often, it comes to the same, and nothing is lost."""

from __future__ import annotations

from playwright.sync_api import Page

# Random phones that share ids, with the same or other content: made and merged in the page, in one go. A vehicle is its
# revision and a word; a job is a chain of words, often a beginning of another phone's.
LAWS = """async () => {
  const { merge, ordered } = await import('./js/lib/merge.js')
  const KINDS = ['jobs', 'log', 'photos', 'vehicles']
  let state = 20260418
  const dice = (n) => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return Math.floor(state / 2 ** 32 * n) }
  const some = (n, make) => [...new Set(Array.from({ length: dice(n) }, () => dice(6)))].map((k) => make(`id${k}`))
  const phone = () => {
    const jobs = [], events = []
    for (const id of new Set(some(4, (id) => id))) {
      const count = 1 + dice(5), fork = dice(7)
      jobs.push({ id, count, state: ['open', 'resting'][dice(2)] })
      for (let seq = count; seq > 0; seq -= 1) {
        events.push({ id: `${id}-${seq}-${seq > fork ? dice(3) : 0}`, job: id, seq })
      }
    }
    return {
      jobs, events, log: some(6, (id) => ({ id, says: dice(3), nested: dice(2) ? { b: 1, a: 2 } : { a: 2, b: 1 } })),
      photos: some(4, (id) => ({ id, blob: { type: 'image/jpeg', bytes: dice(2), data: `d${dice(3)}` } })),
      vehicles: some(5, (id) => ({ id, rev: 1 + dice(3), sheet: dice(3) ? { name: dice(3) } : null })),
    }
  }
  const text = (stores) => {
    const sorted = (value) => Array.isArray(value) ? value.map(sorted) : value && typeof value === 'object'
      ? Object.fromEntries(Object.keys(value).sort().map((key) => [key, sorted(value[key])])) : value
    return JSON.stringify(sorted(ordered(stores)))
  }
  const join = (a, b) => merge(a, b).all
  const wrong = [], seen = { clashes: 0, newer: 0, adds: 0, here: 0 }
  const must = (name, one, other, n) => { if (text(one) !== text(other)) wrong.push(`${n} ${name}`) }
  for (let n = 0; n < 500; n += 1) {
    const [a, b, c] = [phone(), phone(), phone()]
    const before = [a, b, c].map((one) => JSON.stringify(one)).join()
    const ab = merge(a, b)
    must('commutative', ab.all, join(b, a), n)
    must('associative', join(ab.all, c), join(a, join(b, c)), n)
    must('idempotent', join(a, a), a, n)
    must('again', join(ab.all, b), ab.all, n)
    must('absorbs', join(a, ab.all), ab.all, n)
    must('empty', join(a, { jobs: [], events: [], log: [], photos: [], vehicles: [] }), a, n)
    // What is to be added, put over what is here as the store does it, is the union.
    const over = {}
    for (const kind of KINDS) {
      over[kind] = [...a[kind].filter((one) => !ab.add[kind].some((other) => other.id === one.id)), ...ab.add[kind]]
    }
    over.events = [...a.events.filter((one) => !ab.add.jobs.some((job) => job.id === one.job)), ...ab.add.events]
    must('add', over, ab.all, n)
    const theirs = KINDS.reduce((sum, kind) => sum + b[kind].length, 0)
    if (ab.adds + ab.newer + ab.here + ab.clashes.filter((one) => one.theirs).length < theirs) wrong.push(`${n} counts`)
    const named = (...some) => KINDS.flatMap((kind) => some.flatMap((one) => one[kind].map(({ id }) => kind + id)))
    const all = new Set(named(ab.all))
    if (named(a, b).some((one) => !all.has(one)) || all.size !== new Set(named(a, b)).size) wrong.push(`${n} union`)
    const clashes = (merged) => merged.clashes.map(({ kind, id }) => `${kind} ${id}`).sort().join()
    if (clashes(ab) !== clashes(merge(b, a))) wrong.push(`${n} clashes one way only`)
    if ([a, b, c].map((one) => JSON.stringify(one)).join() !== before) wrong.push(`${n} changed what it was given`)
    for (const key of Object.keys(seen)) seen[key] += key === 'clashes' ? ab.clashes.length : ab[key]
  }
  return [wrong.slice(0, 10), seen]
}"""

ONE = """async ([a, b]) => {
  const { merge } = await import('./js/lib/merge.js')
  const full = (one) => ({ jobs: [], events: [], photos: [], log: [], vehicles: [], ...one })
  return merge(full(a), full(b))
}"""


def test_the_laws_hold_for_five_hundred_threes_of_phones(page: Page) -> None:
    page.goto("404.html")
    wrong, seen = page.evaluate(LAWS)
    assert wrong == []
    assert all(count > 100 for count in seen.values()), f"the phones were too alike: {seen}"


def test_which_wins_and_what_is_told(page: Page) -> None:
    page.goto("404.html")
    newer = page.evaluate(ONE, [{"vehicles": [{"id": "v", "rev": 2, "sheet": "z"}]},
                                {"vehicles": [{"id": "v", "rev": 3, "sheet": "a"}]}])
    assert newer["all"]["vehicles"][0]["rev"] == 3 and newer["newer"] == 1 and newer["clashes"] == []
    older = page.evaluate(ONE, [{"vehicles": [{"id": "v", "rev": 3, "sheet": "a"}]},
                                {"vehicles": [{"id": "v", "rev": 2, "sheet": "z"}]}])
    assert older["add"]["vehicles"] == [] and older["here"] == 1 and older["clashes"] == []
    forked = page.evaluate(ONE, [{"vehicles": [{"id": "v", "rev": 3, "sheet": "a"}]},
                                 {"vehicles": [{"id": "v", "rev": 3, "sheet": "b"}]}])
    [clash] = forked["clashes"]
    assert (clash["wins"], clash["ours"]["sheet"], clash["theirs"]["sheet"]) == ("theirs", "a", "b")
    assert forked["adds"] == forked["newer"] == forked["here"] == 0

    def chain(*words: str) -> dict[str, object]:
        return {"jobs": [{"id": "j", "count": len(words)}],
                "events": [{"id": word, "job": "j", "seq": seq} for seq, word in enumerate(words, 1)]}

    further = page.evaluate(ONE, [chain("a", "b"), chain("a", "b", "c")])
    assert further["newer"] == 1 and further["clashes"] == [] and len(further["add"]["events"]) == 3
    fork = page.evaluate(ONE, [chain("a", "b", "d"), chain("a", "c")])
    assert fork["clashes"][0]["wins"] == "ours" and fork["add"]["events"] == []
    both = [{"log": [{"id": "l", "x": dict(order)}]} for order in ([("a", 1), ("b", 2)], [("b", 2), ("a", 1)])]
    entry = page.evaluate(ONE, both)
    assert entry["here"] == 1, "the order of keys is no content"
