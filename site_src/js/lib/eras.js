// An odometer through the years: what was read in order, with rollovers counted in; what distance that was truly, by the
// tyres of the time; and how much of an interval it used up, by how the vehicle was used.
import { dayOf, monthsAfter } from './calendar.js'

/** @typedef {import('../types').Vehicle} Vehicle */
/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').Reading} Reading */
/**
 * @typedef {{entry: string, day: number, shown: number, at: number}} Point one reading: days since 1970-01-01; as shown, and
 *   with rollovers counted in, both in the unit of the odometer. The vehicle's own reading has no entry.
 * @typedef {{points: Point[], now: Point, backwards: {before: Point, after: Point}[], laps: Map<string, number>}} Track `points`
 *   never fall; `laps` is what to add to what an entry shows, also of readings that are not believed
 * @typedef {{from: number, factor: number, severe: boolean}} Step from this odometer on, rollovers counted in
 * @typedef {{metres: number, steps: Step[], uses: {from: number, severe: boolean}[]}} Eras `uses` by day
 */

/** Metres; the international mile is exact. */
export const METRES = { mi: 1609.344, km: 1000 }
/** A bound met exactly is met, though the sum may miss it in the last digit. */
export const SLACK = 1e-6

/**
 * @param {Reading} odometer @param {'mi' | 'km'} unit
 * @returns {number | null} as shown, to the thousandth, in the unit of the odometer
 */
export function shownBy(odometer, unit) {
  const { si } = odometer
  return si !== null && Number.isFinite(si) ? Math.round((si / METRES[unit]) * 1000) / 1000 : null
}

/**
 * Readings in order. Within a day they are taken as rising, since nobody logs by the hour; a day whose readings lie more
 * than half the range apart has the rollover in it. Between days a fall of more than half the range is a rollover; a
 * smaller fall is named and not counted, and the longest run of readings that never falls is believed.
 * @param {Vehicle} vehicle
 * @param {Entry[]} entries those that count, of this vehicle
 * @returns {Track}
 */
export function trackOf(vehicle, entries) {
  const { unit, digits, reading, asOf, rollovers } = vehicle.odometer
  const range = 10 ** digits
  const read = [{ entry: '', day: dayOf(asOf), shown: reading }]
  for (const { id, date, odometer } of entries) {
    const shown = shownBy(odometer, unit)
    if (shown !== null) read.push({ entry: id, day: dayOf(date), shown })
  }
  const ordered = inOrder(read, range)
  /** @type {Track['backwards']} */
  const backwards = []
  /** @type {Point[]} */
  const points = []
  let lap = 0
  for (const one of ordered) {
    const before = points.at(-1)
    if (before && before.shown - one.shown > range / 2) lap += 1
    const point = { ...one, at: one.shown + lap * range }
    if (before && point.at < before.at) backwards.push({ before, after: point })
    points.push(point)
  }
  // The vehicle says how often it has rolled over by its own reading; the laps counted here end there.
  const own = points.find((point) => point.entry === '')
  const base = Math.max(0, rollovers * range - ((own?.at ?? 0) - (own?.shown ?? 0)))
  for (const point of points) point.at += base
  const believed = neverFalling(points)
  const laps = new Map(points.map(({ entry, at, shown }) => [entry, at - shown]))
  return { points: believed, now: /** @type {Point} */ (believed.at(-1)), backwards, laps }
}

/** @param {Omit<Point, 'at'>[]} read @param {number} range @returns {Omit<Point, 'at'>[]} */
function inOrder(read, range) {
  /** @type {Map<number, {low: number, high: number}>} */
  const days = new Map()
  for (const { day, shown } of read) {
    const { low, high } = days.get(day) ?? { low: shown, high: shown }
    days.set(day, { low: Math.min(low, shown), high: Math.max(high, shown) })
  }
  const key = (/** @type {Omit<Point, 'at'>} */ { day, shown }) => {
    const { low, high } = days.get(day) ?? { low: 0, high: 0 }
    return high - low > range / 2 && shown < range / 2 ? shown + range : shown
  }
  return read.map((one) => ({ one, key: key(one) }))
    .sort((a, b) => a.one.day - b.one.day || a.key - b.key || (a.one.entry < b.one.entry ? -1 : 1)).map(({ one }) => one)
}

/**
 * The longest run that never falls (patience sorting, O(n log n)); of several, the one that ends last, each before it the
 * last that fits.
 * @param {Point[]} points @returns {Point[]}
 */
function neverFalling(points) {
  /** @type {number[]} */
  const tops = []
  /** @type {number[]} */
  const before = []
  const value = (/** @type {number | undefined} */ i) => points[i ?? -1]?.at ?? NaN
  points.forEach(({ at }, i) => {
    let [low, high] = [0, tops.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if (value(tops[middle]) <= at) low = middle + 1
      else high = middle
    }
    before[i] = tops[low - 1] ?? -1
    tops[low] = i
  })
  const run = []
  for (let i = tops.at(-1) ?? -1; i >= 0; i = before[i] ?? -1) run.push(/** @type {Point} */ (points[i]))
  return run.reverse()
}

/**
 * @param {Point[]} points that never fall
 * @param {number} day
 * @returns {number | null} where the odometer stood, a straight line between two readings; null before the first one
 */
export function where(points, day) {
  const i = firstWhere(points, (point) => point.day > day)
  const [a, b] = [points[i - 1], points[i]]
  if (!a) return null
  return b ? a.at + ((b.at - a.at) * (day - a.day)) / (b.day - a.day) : a.at
}

/**
 * @param {Point[]} points that never fall
 * @param {number} at rollovers counted in
 * @returns {number | null} the day on which it was reached, a straight line between two readings; null if it was not yet
 */
export function when(points, at) {
  const i = firstWhere(points, (point) => point.at >= at - SLACK)
  const [a, b] = [points[i - 1], points[i]]
  if (!b) return null
  return a ? Math.floor(a.day + ((b.day - a.day) * (at - a.at)) / (b.at - a.at) + SLACK) : b.day
}

/** @param {Point[]} points @param {(point: Point) => boolean} has false, then true @returns {number} the first that has it */
function firstWhere(points, has) {
  let [low, high] = [0, points.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (has(/** @type {Point} */ (points[middle]))) high = middle
    else low = middle + 1
  }
  return low
}

/** @param {Vehicle} vehicle @returns {Eras} before its first era a tyre counts as the one the odometer was geared for */
export function erasOf({ odometer, severity, tyreEras, severityEras }) {
  const first = severity === 'severe'
  const changes = [...new Set([...tyreEras, ...severityEras].map(({ since }) => since))].sort((a, b) => a - b)
  const last = (/** @type {{since: number}[]} */ list, /** @type {number} */ at) =>
    list.reduce((found, era, i) => (era.since <= at && era.since >= (list[found]?.since ?? -Infinity) ? i : found), -1)
  const steps = [-Infinity, ...changes].map((from) => ({
    from, factor: tyreEras[last(tyreEras, from)]?.factor ?? 1,
    severe: (severityEras[last(severityEras, from)]?.use ?? (first ? 'severe' : 'normal')) === 'severe',
  }))
  const uses = severityEras.map(({ sinceDate, use }) => ({ from: dayOf(sinceDate), severe: use === 'severe' }))
  return { metres: METRES[odometer.unit], steps, uses: [{ from: -Infinity, severe: first }, ...uses] }
}

/**
 * @param {Eras} eras @param {number} from @param {number} to rollovers counted in, in the unit of the odometer
 * @param {number} [severeFactor] of an interval: in severe use each metre counts 1 / severeFactor; 1 for the true distance
 * @returns {number} metres; below 0 where `to` lies before `from`
 */
export function metresBetween(eras, from, to, severeFactor = 1) {
  if (to < from) return -metresBetween(eras, to, from, severeFactor)
  let sum = 0
  eras.steps.forEach((step, i) => {
    const [low, high] = [Math.max(from, step.from), Math.min(to, eras.steps[i + 1]?.from ?? Infinity)]
    if (high > low) sum += (high - low) * rate(eras, step, severeFactor)
  })
  return sum
}

/** @param {Eras} eras @param {Step} step @param {number} severeFactor @returns {number} metres for one on the odometer */
const rate = ({ metres }, { factor, severe }, severeFactor) => (metres * factor) / (severe ? severeFactor : 1)

/**
 * @param {Eras} eras @param {number} from rollovers counted in
 * @param {number} budget metres, as weighted by `metresBetween`
 * @param {number} [severeFactor]
 * @returns {number} the odometer at which it is used up, not rounded
 */
export function reachedAt(eras, from, budget, severeFactor = 1) {
  let [at, left] = [from, budget]
  for (const [i, step] of eras.steps.entries()) {
    const end = eras.steps[i + 1]?.from ?? Infinity
    if (end <= at) continue
    const per = rate(eras, step, severeFactor)
    if (left <= (end - at) * per) return at + left / per
    left -= (end - at) * per
    at = end
  }
  return at
}

/** @param {Eras} eras @param {number} at @returns {number} true distance per indicated distance there */
export const factorAt = (eras, at) => eras.steps.filter((step) => step.from <= at).at(-1)?.factor ?? 1

/**
 * The day on which so many months are used up. In one use throughout it is a matter of the calendar: all months, or the
 * severe share of them. Where the use changes in between, the days of the whole term are counted down, a severe day as
 * 1 / severeFactor, and the last one is rounded down.
 * @param {Eras} eras @param {number} start day @param {number} months @param {number} severeFactor
 * @returns {number} day
 */
export function monthsEnd({ uses }, start, months, severeFactor) {
  const severe = uses.filter(({ from }) => from <= start).at(-1)?.severe ?? false
  const end = monthsAfter(start, severe ? months * severeFactor : months)
  const changes = uses.filter(({ from }) => from > start)
  if (!changes.some((change) => change.from < end && change.severe !== severe)) return end
  let [at, left, now] = [start, monthsAfter(start, months) - start, severe]
  for (const change of [...changes, { from: Infinity, severe: false }]) {
    const weight = now ? 1 / severeFactor : 1
    if (left <= (change.from - at) * weight) break
    left -= (change.from - at) * weight
    at = change.from
    now = change.severe
  }
  return Math.floor(at + left / (now ? 1 / severeFactor : 1) + SLACK)
}

/**
 * @param {Vehicle} vehicle @param {number} from @param {number} to rollovers counted in, in the unit of the odometer
 * @returns {number} true metres by the tyres of the time; below 0 where `to` lies before `from`
 */
export const trueMetres = (vehicle, from, to) => metresBetween(erasOf(vehicle), from, to)
