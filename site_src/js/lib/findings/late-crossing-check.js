// Water above the hubs gets into every unit that breathes; the look is due within a day, and not only where it was seen.
import { dayOf } from '../calendar.js'
import { grouped, percent, placeOf, readOf, stamp } from '../findingwords.js'
import { format } from '../quantity.js'

/** @typedef {import('../findingwords.js').Book} Book */
/** @typedef {import('../../types').EventRule} EventRule */

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ today, books, site }) => books.flatMap((book) => site.events.filter(({ kinds }) => kinds.length)
  .flatMap((rule) => book.entries.filter(({ event, procedure }) => rule.after.includes(event ?? procedure) || rule.id === event)
    .flatMap((entry) => crossing(book, entry, rule, dayOf(today)))))

/** @param {Book} book @param {import('../../types').Entry} entry @param {EventRule} rule @param {number} today */
function crossing(book, entry, rule, today) {
  const { vehicle, looks } = book
  const mine = (/** @type {import('../looks.js').Look} */ look) => look.entry === entry.id && look.id === `${entry.id}:${rule.id}:${look.unit}`
  const late = looks.settled.filter(({ look, by }) => mine(look) && dayOf(by.date) > dayOf(look.due))
  const never = looks.open.filter((look) => mine(look) && today > dayOf(look.due))
  if (!late.length && !never.length) return []
  const depth = readOf(entry, 'water-depth')
  const breather = readOf(entry, 'breather-height')
  const start = book.at(entry)
  const many = (/** @type {number} */ count) => (count === 1 ? 'one unit was' : `${count} units were`)
  const told = [
    ...(late.length ? [`${many(late.length)} looked at late`] : []),
    ...(never.length ? [`${many(never.length)} not looked at to this day`] : []),
  ]
  return [{
    vehicle: vehicle.id, unit: entry.unit, severity: /** @type {import('../../types').Finding['severity']} */ (never.length ? 'warning' : 'caution'),
    says: `${rule.event} on ${entry.date}: ${told.join(', ')}. The rule gives ${rule.days === 1 ? 'one day' : `${rule.days} days`}.`,
    evidence: [
      `Crossing ${stamp(entry)}${depth === null ? '' : `, water ${format(depth, 2)} m`}${breather === null ? '' : `, breather end at ${format(breather, 2)} m`}.`,
      ...late.map(({ look, by }) => {
        const [end, water, column] = [book.at(by), readOf(by, 'water-column'), readOf(by, 'water-in-column')]
        const on = start === null || end === null ? '' : ` and ${grouped(end - start)} ${vehicle.odometer.unit}`
        const wet = water && column ? ` Water ${format(water * 1000, 2)} mm of ${format(column * 1000, 2)} mm, ${percent(water / column)}.` : ''
        return `${placeOf(vehicle.units[look.unit])}: first looked at ${stamp(by)}, ${grouped(dayOf(by.date) - dayOf(entry.date))} days${on} after it.${wet}`
      }),
      ...never.map((look) => `${placeOf(vehicle.units[look.unit])}: no look and no change logged in ${grouped(today - dayOf(entry.date))} days since.`),
    ],
    settle: never.length ? `Sample ${never.map((look) => vehicle.units[look.unit]?.place).join(', ')}: a jar, an hour, and read what settles.`
      : 'Nothing is left to look at. Go by what the samples showed, and look within the day next time.',
    entries: [...new Set([entry.id, ...late.map(({ by }) => by.id)])],
  }]
}
