// A unit over time, for a page to draw: what was done, and when it is or was due by each bound.
import { dayOf, isoOf } from './calendar.js'
import { when } from './eras.js'
import { ledgersOf } from './ledger.js'

/** @typedef {import('../types').Due} Due */
/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').Vehicle} Vehicle */
/** @typedef {import('../types').SiteData} SiteData */
/**
 * @typedef {{at: string, kind: 'service' | 'look' | 'event' | 'other', label: string, entry: string}} Mark
 * @typedef {{from: string, to: string, marks: Mark[], bounds: {at: string, label: string, state: Due['state']}[]}} Timeline
 */

/** An empty unit has a year behind it, so that there is something to draw on. */
const YEAR = 365

/**
 * @param {Vehicle} vehicle
 * @param {{id: string}} unit
 * @param {Due[]} dues of any unit
 * @param {import('../types').LogRecord[]} records of any unit
 * @param {string} today ISO date
 * @param {SiteData['work']} [work] says what is a service and what a look; without it, what was poured is a service
 * @returns {Timeline} all dates ISO, both lists in order
 */
export function timelineOf(vehicle, unit, dues, records, today, work = {}) {
  const [ledger] = ledgersOf([vehicle], records, today)
  const touches = (/** @type {Entry} */ entry) => entry.unit === unit.id || vehicle.units[entry.unit]?.kind === 'vehicle'
  const marks = (ledger?.entries ?? []).filter(touches)
    .map((entry) => ({ at: entry.date, kind: kindOf(entry, work), label: labelOf(entry, work), entry: entry.id }))
  const points = ledger?.track.points ?? []
  const bounds = dues.filter((due) => due.vehicle === vehicle.id && due.unit === unit.id).flatMap(({ what, state, date, odometer, shows, forecast }) => {
    const passed = odometer === null ? null : when(points, odometer)
    const across = passed === null ? forecast?.date : isoOf(passed)
    const guess = passed === null ? ', by the pace so far' : ''
    return [
      ...(across ? [{ at: across, label: `${what} by distance, at ${shows} ${vehicle.odometer.unit}${guess}`, state }] : []),
      ...(date ? [{ at: date, label: `${what} by date`, state }] : []),
    ]
  }).sort((a, b) => (a.at < b.at ? -1 : 1))
  const days = [today, ...marks.map(({ at }) => at), ...bounds.map(({ at }) => at)].sort()
  return { from: marks.length || bounds.length ? days[0] ?? today : isoOf(dayOf(today) - YEAR), to: days.at(-1) ?? today, marks, bounds }
}

/** @param {Entry} entry @param {SiteData['work']} work @returns {Mark['kind']} */
function kindOf({ procedure, in: poured }, work) {
  if (procedure === 'event') return 'event'
  const does = work[procedure]?.does ?? (poured ? 'change' : 'other')
  return does === 'change' || does === 'part-change' ? 'service' : does === 'look' ? 'look' : 'other'
}

/** @param {Entry} entry @param {SiteData['work']} work @returns {string} */
function labelOf({ procedure, says, in: poured }, work) {
  const title = procedure === 'event' ? says ?? procedure : work[procedure]?.title ?? says ?? procedure
  return poured ? `${title}, ${poured.typed}${poured.unit ? ` ${poured.unit}` : ''}` : title
}
