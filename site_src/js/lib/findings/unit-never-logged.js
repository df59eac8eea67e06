// A unit that has an interval and not a single entry: nobody knows when it was last seen to.
import { ruleFor } from '../due.js'
import { placeOf, unitsOf } from '../findingwords.js'

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book)
  .filter(({ unit, entries }) => !entries.length && ruleFor(book.vehicle, unit, site).change)
  .map(({ unit }) => ({
    vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ ('notice'),
    says: `${placeOf(unit)}: nothing was ever logged, so nobody knows when it is due.`,
    evidence: [`0 entries for ${unit.label} of ${book.entries.length} for the ${book.vehicle.short}.`],
    settle: 'Look at its level and its oil and log that; change it if its age is not known.',
    entries: [],
  })))
