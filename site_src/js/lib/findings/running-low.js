// Less came out than the table holds: it leaked, or it was filled short before.
import { amount, isChange, levelSeen, percent, placeOf, poured, stamp, unitsOf, volume } from '../findingwords.js'

/** Under so much of the table it was low. Common practice, no source. */
const DRAINED = 0.85

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
  const table = unit.fills.refill
  if (!table) return []
  return entries.flatMap((entry, i) => {
    const share = (entry.out?.si ?? Infinity) / table.si
    if (!isChange(entry, site) || share >= DRAINED - 1e-9) return []
    const before = entries.slice(0, i).filter((one) => poured(one) > 0).at(-1)
    return [{
      vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ (levelSeen(entry) ? 'notice' : 'caution'),
      says: `${placeOf(unit)}: it was running low before the change of ${entry.date}.`,
      evidence: [
        `Out ${stamp(entry)}: ${entry.out ? volume(entry.out) : ''}, ${percent(share)} of the table, ${amount(table)} (${table.state}).`,
        before ? `Filled before ${stamp(before)}: ${before.in ? volume(before.in) : ''}, ${levelSeen(before) ? 'level seen' : 'level not seen'}.`
          : 'No fill before it is logged.',
      ],
      settle: before && !levelSeen(before) ? 'It may have been filled short. Look at the level again in a month; if it falls, look for the leak.'
        : 'Look for the leak: seals, plugs, cover, breather. Look at the level again in a month.',
      entries: [entry.id, ...(before ? [before.id] : [])],
    }]
  })
}))
