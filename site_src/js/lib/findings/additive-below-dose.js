// The friction modifier of a limited-slip unit, from one change to the next, with what was added at a chatter check.
import { isChange, millilitres, percent, placeOf, stamp, unitsOf } from '../findingwords.js'

/** Measured by syringe: within a twentieth it is the dose. */
const ENOUGH = 0.95

/** @param {import('../../types').Entry} entry @returns {string} */
const dosed = ({ additive }) => (additive === null || additive.si === null ? 'none written down' : millilitres(additive.si))

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
  const dose = unit.fills.additive
  if (!dose || !(dose.si > 0) || unit.fluid?.additive === 'included') return []
  const changes = entries.filter((entry) => isChange(entry, site))
  return changes.flatMap((change, i) => {
    // Oil sold as limited-slip may have its dose in it; without a figure nothing is known.
    if (change.additive === null && /\bLS\b/.test(change.fluid)) return []
    const next = changes[i + 1]
    const until = next ? entries.indexOf(next) : entries.length
    const added = entries.slice(entries.indexOf(change), until).filter((entry) => (entry.additive?.si ?? 0) > 0 || entry === change)
    const total = added.reduce((sum, { additive }) => sum + (additive?.si ?? 0), 0)
    if (total >= ENOUGH * dose.si) return []
    const refill = unit.fills.refill
    return [{
      vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ (next ? 'notice' : 'caution'),
      says: `${placeOf(unit)}: ${millilitres(total)} of additive where ${millilitres(dose.si)} is the dose${next ? `, until the change of ${next.date}` : ''}.`,
      evidence: [
        `Dose: ${dose.typed} (${dose.state})${refill ? `, ${percent(dose.si / refill.si)} of ${refill.typed}` : ''}.`,
        ...added.map((entry) => `${stamp(entry)}: ${dosed(entry)}.`),
        `${percent(total / dose.si)} of the dose; ${millilitres(dose.si - total)} is missing.`,
      ],
      settle: next ? 'Settled by the change after it.' : 'Draw off as much oil as additive is missing, put that in, drive ten slow figure-eights each way, and log it.',
      entries: added.map(({ id }) => id),
    }]
  })
}))
