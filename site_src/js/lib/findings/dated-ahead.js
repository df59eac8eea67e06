// An entry dated after today counts for nothing yet, so its date is worth a look.
import { stamp } from '../findingwords.js'

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ today, books }) => books.flatMap(({ vehicle, ahead }) => ahead.map((entry) => ({
  vehicle: vehicle.id, unit: entry.unit, severity: /** @type {import('../../types').Finding['severity']} */ ('notice'),
  says: `An entry is dated ${entry.date}, after today. It counts for nothing until then.`,
  evidence: [`Entry ${stamp(entry)}; today is ${today}.`],
  settle: 'Look at the date of the phone, and correct the entry by a new one in its place.',
  entries: [entry.id],
})))
