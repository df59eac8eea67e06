// Readings that fall, by less than a rollover: one of the two is wrong, or the clock was changed.
import { isoOf } from '../calendar.js'
import { grouped } from '../findingwords.js'

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books }) => books.flatMap(({ vehicle, track, byId }) => track.backwards.map(({ before, after }) => {
  const { unit } = vehicle.odometer
  const read = (/** @type {import('../eras.js').Point} */ { day, shown, entry }) =>
    `${isoOf(day)}: ${grouped(shown)} ${unit}${entry ? '' : ', as written down for the vehicle'}.`
  return {
    vehicle: vehicle.id, unit: byId.get(after.entry)?.unit ?? '', severity: /** @type {import('../../types').Finding['severity']} */ ('caution'),
    says: `The odometer goes back by ${grouped(before.shown - after.shown)} ${unit}; distances are worked out from the readings that agree.`,
    evidence: [read(before), read(after)],
    settle: 'Correct the wrong one by a new entry in its place. If the clock was changed, log that and the reading of both.',
    entries: [before.entry, after.entry].filter(Boolean),
  }
}))
