// Looks that work asked for and nobody logged, by unit and kind: those still open, and those that the next work overtook.
import { dayOf } from '../calendar.js'
import { grouped, placeOf, stamp } from '../findingwords.js'

/** @typedef {import('../findingwords.js').Book} Book */
/** @typedef {import('../looks.js').Look} Look */

/** So many days late is not yet never. Ours; no source. */
const GRACE = 7
/** @type {Record<string, string>} */
const NAMES = { leak: 'leak look', 're-torque': 're-torque', chatter: 'chatter check', inspection: 'inspection' }

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ today, books }) => books.flatMap((book) => {
  // An event that touches many units is told by the rule for crossings.
  const past = book.looks.open.filter((look) => look.own && isPast(book, look, dayOf(today)))
  const lost = book.looks.overtaken.filter((look) => look.own)
  /** @type {Map<string, {open: Look[], gone: Look[]}>} */
  const groups = new Map()
  for (const [looks, key] of /** @type {[Look[], 'open' | 'gone'][]} */ ([[lost, 'gone'], [past, 'open']])) {
    for (const look of looks) {
      const name = `${look.unit} ${look.kind}`
      groups.set(name, groups.get(name) ?? { open: [], gone: [] })
      groups.get(name)?.[key].push(look)
    }
  }
  return [...groups.values()].map((group) => finding(book, group))
})

/** @param {Book} book @param {Look} look @param {number} today @returns {boolean} */
function isPast({ track }, look, today) {
  const last = look.hardStop ?? look.to
  return (look.due !== '' && today - dayOf(look.due) > GRACE) || (last !== null && track.now.at > last + look.lap)
}

/** @param {Book} book @param {{open: Look[], gone: Look[]}} group @returns {import('../findingwords.js').Found} */
function finding({ vehicle, track, byId }, { open, gone }) {
  const [first] = [...open, ...gone]
  const unit = vehicle.units[first?.unit ?? '']
  const { unit: miles } = vehicle.odometer
  const name = NAMES[first?.kind ?? ''] ?? `look (${first?.kind})`
  const passed = open.filter(({ hardStop, lap }) => hardStop !== null && track.now.at > hardStop + lap)
  const many = open.length + gone.length
  return {
    vehicle: vehicle.id, unit: first?.unit ?? '', severity: passed.length ? 'warning' : open.length ? 'caution' : 'notice',
    says: `${placeOf(unit)}: ${many === 1 ? '' : `${many} times `}the ${name} was not logged${passed.length ? ', and the distance not to be driven past is passed' : ''}.`,
    evidence: [...gone, ...open].map((look) => {
      const entry = byId.get(look.entry)
      const last = look.hardStop ?? look.to ?? look.from
      const within = last === null ? '' : `${look.hardStop === null ? 'by' : 'never past'} ${grouped(last)} ${miles}`
      const until = [look.due && `by ${look.due}`, within].filter(Boolean).join(' and ')
      const now = gone.includes(look) ? 'overtaken by the next work on it' : `the odometer stands at ${grouped(track.now.at - look.lap)} ${miles}`
      return `After ${entry ? stamp(entry) : 'an entry'}: ${until}; ${now}.`
    }),
    settle: open.length ? `Make the ${name} ${passed.length ? 'before the next drive' : 'now'} and log it; if it was made, log it with its date.`
      : 'Nothing is left to look at. If it was made, log it with its date.',
    entries: [...new Set([...gone, ...open].map(({ entry }) => entry))],
  }
}
