// What is due, in words: which bound decides, by how much, and what the other one says.

/** @typedef {import('../types').Due} Due */

const METRES = { mi: 1609.344, km: 1000 }
/** @type {Record<string, string>} */
const WHAT = {
  change: 'Change the fluid', test: 'Test', leak: 'Leak look', 're-torque': 'Re-torque', chatter: 'Chatter check',
  inspection: 'Inspect after water', level: 'Level look', play: 'Play check', condition: 'Look at the condition',
  tension: 'Belt tension', voltage: 'Rested voltage',
}

/** @param {number} value @returns {string} thousands set apart by a thin space */
export const grouped = (value) => String(Math.round(Math.abs(value))).replace(/\B(?=(\d{3})+$)/g, '\u202f')

/** @param {string} what @returns {string} */
export const task = (what) => WHAT[what] ?? what.charAt(0).toUpperCase() + what.slice(1).replaceAll('-', ' ')

/** @param {number} count @param {string} one @returns {string} `1 day`, `2 days` */
export const many = (count, one) => `${grouped(count)} ${one}${Math.abs(count) === 1 ? '' : 's'}`

/**
 * @param {Due} due
 * @param {'mi' | 'km'} unit of the odometer
 * @returns {{state: string, by: string, also: string, ahead: string}} `by` the bound that decides, `also` the other one, `ahead` the
 *   forecast or why there is none
 */
export function sentences(due, unit) {
  const across = due.over === null ? '' : distance(due.over, unit)
  const shown = due.odometer === null ? '' : `${Number(due.shows) === due.odometer ? grouped(due.odometer) : `${due.shows} (rolled over)`} ${unit}`
  const byDistance = shown && `at ${shown}${across && `, ${across}`}`
  const byDate = due.date && `on ${due.date}${due.late === null ? '' : `, ${days(due.late)}`}`
  const state = due.stop ? 'due, do not drive on' : due.state
  if (due.state === 'unknown') return { state, by: '', also: '', ahead: due.why }
  const byDistanceFirst = due.bound === 'distance' || (due.bound === 'event' && !byDate)
  const [first, second] = byDistanceFirst ? [byDistance, byDate] : [byDate, byDistance]
  const stop = due.hardStop === null ? '' : ` Not past ${grouped(due.hardStop)} ${unit}.`
  return {
    state, by: `${name(due.bound)}${first}.${stop}`.replace('..', '.'),
    also: second ? `${byDistanceFirst ? 'By date' : 'By distance'} ${second}.` : '',
    ahead: due.forecast && due.over !== null && due.over < 0
      ? `At your own pace that distance is reached about ${due.forecast.date}, ${due.forecast.late ? `between ${due.forecast.early} and ${due.forecast.late}` : `not before ${due.forecast.early}`}.`
      : due.why,
  }
}

/** @param {Due['bound']} bound @returns {string} */
const name = (bound) => ({ distance: 'By distance ', months: 'By months ', event: 'After the event ', '': '' })[bound]

/** @param {number} over true metres, above 0 past it @param {'mi' | 'km'} unit @returns {string} */
function distance(over, unit) {
  const value = over / METRES[unit]
  // Whole units, rounded down: what is over is surely over, and no more is promised to go than is left.
  return `${grouped(Math.floor(Math.abs(value)))} ${unit} true ${value > 0 ? 'over' : 'to go'}`
}

/** @param {number} late days, above 0 past it @returns {string} */
function days(late) {
  if (late === 0) return 'that is today'
  return late > 0 ? `${many(late, 'day')} over` : `in ${many(-late, 'day')}`
}

/**
 * @param {Due[]} dues
 * @returns {{due: number, coming: number, clear: number, unknown: number}}
 */
export function counts(dues) {
  const out = { due: 0, coming: 0, clear: 0, unknown: 0 }
  for (const { state } of dues) out[state] += 1
  return out
}
