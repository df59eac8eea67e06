// A US pint is 0.8327 of an imperial one, and quarts and gallons with it: a fill that is off by just that was measured in
// the pints of the other country.
import { amount, isChange, isTopUp, laterOn, levelSeen, litres, placeOf, poured, stamp, unitsOf, volume } from '../findingwords.js'
import { format } from '../quantity.js'

/** Litres, exact by definition: 231 cubic inches / 8, and 4.54609 L / 8. */
const RATIO = 0.473176473 / 0.56826125
const NEAR = 0.01
const PINTS = /\b(pt|pints?|qt|quarts?|gal|gallons?)\b/i

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
  const table = unit.fills.refill
  if (!table) return []
  return entries.filter((entry) => isChange(entry, site) && poured(entry) > 0).flatMap((entry) => {
    const share = poured(entry) / table.si
    const short = Math.abs(share / RATIO - 1) <= NEAR
    if (!short && Math.abs(share * RATIO - 1) > NEAR) return []
    const off = Math.abs(poured(entry) - table.si)
    const measured = PINTS.test(`${entry.in?.unit} ${entry.in?.typed} ${entry.says ?? ''}`) || PINTS.test(table.typed)
    const after = laterOn(book, entry, (later) => (isTopUp(later, site) || isChange(later, site)) && poured(later) > 0 && levelSeen(later))
    return [{
      vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ (measured && !after ? 'warning' : after ? 'notice' : 'caution'),
      says: `${placeOf(unit)}: filled ${short ? 'short' : 'over'} by ${litres(off)}, as ${short ? 'US pints for imperial ones' : 'imperial pints for US ones'} ` +
        `would${after ? `; filled to the level on ${after.date}` : ''}.`,
      evidence: [
        `Table: ${amount(table)} (${table.state}).`, `Poured ${stamp(entry)}: ${entry.in ? volume(entry.in) : ''}.`,
        `Poured is ${format(share, 3)} of the table; a US pint is ${format(RATIO, 4)} of an imperial one.`,
        ...(after?.in ? [`${isTopUp(after, site) ? 'Topped up' : 'Changed'} ${stamp(after)} by ${volume(after.in)}, level seen.`] : []),
      ],
      settle: `${after ? 'The level is right again.' : 'Read the level on level ground and fill to it.'} Mark the jug with the country of its pints.`,
      entries: [entry.id, ...(after ? [after.id] : [])],
    }]
  })
}))
