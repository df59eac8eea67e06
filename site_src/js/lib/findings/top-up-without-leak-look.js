// Oil that had to be topped up went somewhere.
import { placeOf, isTopUp, poured, stamp, unitsOf, volume } from '../findingwords.js'
import { format } from '../quantity.js'

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => {
  const looks = site.events.filter(({ look }) => look === 'leak').flatMap(({ closedBy }) => closedBy)
  return books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) => {
    const searched = book.entries.filter(({ procedure, finished, unit: at }) =>
      finished && looks.includes(procedure) && (at === unit.id || book.vehicle.units[at]?.kind === 'vehicle')).at(-1)?.date ?? ''
    return entries.filter((entry) => isTopUp(entry, site) && poured(entry) > 0 && searched < entry.date).map((entry) => {
      const low = entry.found['level-found']?.si
      return {
        vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ ('caution'),
        says: `${placeOf(unit)}: topped up on ${entry.date}, and no leak look was logged since.`,
        evidence: [`Topped up ${stamp(entry)}: ${entry.in ? volume(entry.in) : ''}${low ? `, ${format(low * 1000, 2)} mm low` : ''}.`],
        settle: 'Wipe it dry, drive, and go round it with torch and clean card. Log what you find.',
        entries: [entry.id],
      }
    })
  }))
}
