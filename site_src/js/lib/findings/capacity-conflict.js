// Two figures for one fill that differ: written beside each other, or the log against the table.
import { amount, isChange, levelSeen, percent, placeOf, poured, stamp, unitsOf, volume } from '../findingwords.js'

/** @typedef {import('../../types').Entry} Entry */

/** A fill to the level may be so far off the table; more is another capacity. Common practice, no source. */
const OFF = 0.1
/** Poured by a figure: what was poured is that figure. */
const SAME = 0.01

/** @param {number} share of the table @returns {string} */
const against = (share) => `${percent(Math.abs(share - 1))} ${share < 1 ? 'less' : 'more'}`

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
  const table = unit.fills.refill
  if (!table) return []
  const changes = entries.filter((entry) => isChange(entry, site) && poured(entry) > 0)
  const by = (/** @type {number} */ si) => changes.filter((entry) => Math.abs(poured(entry) / si - 1) <= SAME)
  const pour = (/** @type {Entry} */ entry) => `Poured ${stamp(entry)}: ${entry.in ? volume(entry.in) : ''}, ${levelSeen(entry) ? 'level seen' : 'level not seen'}.`
  const said = { vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ ('caution') }
  if (table.state === 'conflict') {
    const figures = [table, ...table.rivals]
    const poured = changes.filter((entry) => figures.some(({ si }) => by(si).includes(entry)))
    return [{
      ...said, says: `${placeOf(unit)}: ${figures.map(amount).join(' and ')} are both written down as its refill. Fill to level, not to volume.`,
      evidence: [...figures.map((one) => `${amount(one)}: ${one.source.replaceAll('-', ' ')}.`), ...poured.map(pour)],
      settle: 'Fill it to the level on level ground, measure what goes in, and write that down as the figure.',
      entries: poured.map(({ id }) => id),
    }]
  }
  const off = changes.filter((entry) => levelSeen(entry) && Math.abs(poured(entry) / table.si - 1) > OFF)
  if (!off.length) return []
  return [{
    ...said, says: `${placeOf(unit)}: what it took to the level is not what the table says.`,
    evidence: [`Table: ${amount(table)} (${table.state}).`, ...off.map((entry) => `${pour(entry)} ${against(poured(entry) / table.si)}.`)],
    settle: 'Look whether all of it drained. If it did, write what was measured down beside the figure of the table.',
    entries: off.map(({ id }) => id),
  }]
}))
