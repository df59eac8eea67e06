// Between two services of a unit more went by than its interval, by distance or by age.
import { metresBetween, monthsEnd } from '../eras.js'
import { ruleFor } from '../due.js'
import { distance, placeOf, stamp, unitsOf } from '../findingwords.js'

/** @typedef {import('../findingwords.js').Book} Book */
/** @typedef {import('../../types').Entry} Entry */

/** So much over is no miss; twice the interval means that a whole service is missing. Ours; no source. */
const OVER = 1.1
const TWICE = 2

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
  const rule = ruleFor(book.vehicle, unit, site).change
  if (!rule) return []
  const services = entries.filter(({ procedure, finished }) => finished && rule.resetBy.includes(procedure))
  return services.slice(1).flatMap((entry, i) => between(book, unit, rule, /** @type {Entry} */ (services[i]), entry))
}))

/**
 * @param {Book} book @param {import('../../types').Unit} unit @param {import('../due.js').Rule} rule
 * @param {Entry} first @param {Entry} second
 */
function between({ vehicle, eras, at, day }, unit, rule, first, second) {
  const [from, to] = [at(first), at(second)]
  const known = rule.distance !== null && from !== null && to !== null
  const used = known ? metresBetween(eras, from, to, rule.severeFactor) / (rule.distance ?? 1) : 0
  const end = rule.months === null ? null : monthsEnd(eras, day(first), rule.months, rule.severeFactor)
  const spent = end === null ? 0 : (day(second) - day(first)) / Math.max(1, end - day(first))
  const most = Math.max(used, spent)
  if (most <= OVER) return []
  const { unit: miles } = vehicle.odometer
  const byDistance = (/** @type {number} */ went, /** @type {number} */ counted) =>
    `${distance(went, miles)} in between${counted > went * 1.001 ? `, counted as ${distance(counted, miles)} for severe use` : ''}; ${times(used)}, ${distance(rule.distance ?? 0, miles)}.`
  const times = (/** @type {number} */ share) => `${share.toFixed(1)} times the interval`
  return [{
    vehicle: vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ (most >= TWICE ? 'caution' : 'notice'),
    says: `${placeOf(unit)}: between the services of ${first.date} and ${second.date} ` +
      `${most >= TWICE ? 'at least one is missing' : 'the interval was overrun'}.`,
    evidence: [
      `Services ${stamp(first)} and ${stamp(second)}.`,
      ...(known ? [byDistance(metresBetween(eras, from, to), used * (rule.distance ?? 0))] : []),
      ...(end === null ? [] : [`${day(second) - day(first)} days in between; ${times(spent)}, ${end - day(first)} days as it was used then.`]),
    ],
    settle: 'Log what was done in between from receipts, if anything was. Else judge the oil and the filter of the next change with it in mind.',
    entries: [first.id, second.id],
  }]
}
