// When an odometer will be reached at the owner's own pace: the median of the slopes through every pair of readings
// (Theil and Sen), which one wrong reading or one long journey does not pull away, and Sen's band of 90 % around it.
import { isoOf } from './calendar.js'

/** @typedef {import('./eras.js').Point} Point */
/**
 * @typedef {{date: string, early: string, late: string}} Forecast `late` is '' where no end can be told
 * @typedef {{slope: number, low: number, high: number, why: string}} Pace indicated distance a day; `why` not, '' where it is known
 */

/** Readings of the last five years tell of the pace now; so few or so close together tell nothing. */
const YEARS = 5 * 365.25
const FEWEST = 4
const SHORTEST = 90
/** Slopes grow with the square: so many readings, evenly picked, tell as much. */
const MOST = 90
/** Half of 10 % lies beyond it on either side, by the normal distribution. */
const Z = 1.6448536269514722
/** A forecast further off than that says nothing. */
const FARTHEST = 36_525

/**
 * @param {Point[]} points readings that never fall
 * @returns {Pace}
 */
export function paceOf(points) {
  const last = points.at(-1)?.day ?? NaN
  const daily = points.filter((point, i) => point.day >= last - YEARS && point.day !== points[i + 1]?.day)
  const span = last - (daily[0]?.day ?? NaN)
  if (daily.length < FEWEST || !(span >= SHORTEST)) {
    const has = daily.length === 1 ? '1 day' : `${daily.length} days`
    const why = `not enough readings for a forecast: ${has} with a reading over ${span} days, ${FEWEST} over ${SHORTEST} days are needed`
    return { slope: NaN, low: NaN, high: NaN, why }
  }
  const { slope, low, high } = theilSen(evenly(daily).map(({ day, at }) => [day, at]))
  return { slope, low, high, why: slope > 0 ? '' : 'no forecast: the odometer hardly moves' }
}

/** @param {Point[]} points @returns {Point[]} at most MOST of them, the first and the last among them */
function evenly(points) {
  if (points.length <= MOST) return points
  return Array.from({ length: MOST }, (_, i) => /** @type {Point} */ (points[Math.round((i * (points.length - 1)) / (MOST - 1))]))
}

/**
 * The ranks of the band are those of Sen (1968), with ties in what is read taken off the variance; no two days are the same.
 * @param {number[][]} pairs of x and y, x rising
 * @returns {{slope: number, low: number, high: number}}
 */
export function theilSen(pairs) {
  const slopes = pairs.flatMap(([x = 0, y = 0], i) => pairs.slice(0, i).map(([u = 0, v = 0]) => (y - v) / (x - u))).sort((a, b) => a - b)
  const count = pairs.length
  /** @type {Map<number, number>} */
  const same = new Map()
  for (const [, y = 0] of pairs) same.set(y, (same.get(y) ?? 0) + 1)
  const spread = (/** @type {number} */ k) => k * (k - 1) * (2 * k + 5)
  const ties = [...same.values()].reduce((sum, k) => sum + spread(k), 0)
  const wide = Z * Math.sqrt((spread(count) - ties) / 18)
  const upper = Math.min(Math.round((slopes.length + wide) / 2), slopes.length - 1)
  const lower = Math.max(Math.round((slopes.length - wide) / 2) - 1, 0)
  const middle = slopes.length >> 1
  const slope = slopes.length % 2 ? slopes[middle] : ((slopes[middle - 1] ?? NaN) + (slopes[middle] ?? NaN)) / 2
  return { slope: slope ?? NaN, low: slopes[lower] ?? NaN, high: slopes[upper] ?? NaN }
}

/**
 * @param {Pace} pace
 * @param {Point} now the last reading
 * @param {number} target odometer, not reached yet
 * @param {number} today day; what was not reached is never said to be past
 * @returns {{forecast: Forecast | null, why: string}}
 */
export function forecastOf({ slope, low, high, why }, now, target, today) {
  if (why) return { forecast: null, why }
  const at = (/** @type {number} */ pace) => now.day + (target - now.at) / pace
  if (at(slope) - today > FARTHEST) return { forecast: null, why: 'no forecast: more than a hundred years off at this pace' }
  const late = at(low)
  return {
    forecast: {
      date: isoOf(Math.max(today, Math.floor(at(slope)))), early: isoOf(Math.max(today, Math.floor(at(high)))),
      late: late - today <= FARTHEST ? isoOf(Math.max(today, Math.ceil(late))) : '',
    },
    why: '',
  }
}
