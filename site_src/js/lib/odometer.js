// Whether an odometer reading is plausible beside the last known ones of the same vehicle. A reading that is odd is not
// refused for good: the clock may have rolled over or been changed, so a typed reason lets it through.
import { dayOf, isoOf } from './calendar.js'
import { METRES, trackOf } from './eras.js'

/** @typedef {import('../types').LogRecord} LogRecord */
/** @typedef {{digits: number, unit: 'mi' | 'km'}} Clock */
/** @typedef {{date: string, value: number, absolute: number}} Known as indicated, and with the rollovers counted in */
/**
 * @typedef {'' | 'date' | 'digits' | 'rolled' | 'backwards' | 'between' | 'far'} Odd what is odd; a wrong date has no way
 *   through, a rollover takes a yes, everything else a reason
 * @typedef {{ok: boolean, odd: Odd, says: string, absolute: number, rolled: boolean}} Judged
 */

/** More in one go is likely a slip of the finger: the longest interval of the rules. Common practice, no source. */
const FAR = { mi: 25_000, km: 40_000 }

/** @param {number} value @param {string} unit @returns {string} `112 380 mi`, on one line */
export const distance = (value, unit) => `${String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, '\u202f')}\u00a0${unit}`

/**
 * @param {import('../types').Reading} reading @param {Clock} clock
 * @returns {{value: number | null, says: string}} in the unit of the clock; says that it was converted
 */
export function onClock({ typed, unit, si }, clock) {
  if (si === null) return { value: null, says: '' }
  const value = si / METRES[clock.unit]
  if (unit === clock.unit) return { value, says: '' }
  return { value, says: `This odometer counts ${clock.unit}: ${typed} ${unit} is ${distance(value, clock.unit)}.` }
}

/**
 * The readings of a vehicle in order, its own stated one among them, rollovers counted in.
 * @param {import('../types').Vehicle} vehicle
 * @param {LogRecord[]} records of all vehicles
 * @param {string} [without] id of an entry that is about to be replaced
 * @returns {Known[]}
 */
export function knownOf(vehicle, records, without = '') {
  const gone = new Set(records.map(({ entry }) => entry.replaces).filter(Boolean))
  const entries = records.map(({ entry }) => entry).filter(({ id, vehicle: of }) => of === vehicle.id && id !== without && !gone.has(id))
  return trackOf(vehicle, entries).points.map(({ day, shown, at }) => ({ date: isoOf(day), value: shown, absolute: at }))
}

/**
 * @param {Clock} clock
 * @param {Known[]} known in order; those of the same day set a bound only where it is the newest day
 * @param {string} date of the reading, ISO
 * @param {number} value as indicated, in the unit of the clock
 * @param {string} today ISO
 * @returns {Judged} `says` has the last known reading and what to do; '' where nothing is odd
 */
export function judgeOdometer(clock, known, date, value, today) {
  const { unit, digits } = clock
  const range = 10 ** digits
  const newest = known.at(-1)?.date ?? ''
  const lower = known.filter((one) => one.date < date || (one.date === date && date === newest)).at(-1)
  const upper = known.find((one) => one.date > date)
  const near = lower ?? upper
  let absolute = value + (near ? Math.floor(near.absolute / range) * range : 0)
  let rolled = false
  if (lower && lower.value - value > range / 2) [absolute, rolled] = [absolute + range, true]
  if (!lower && upper && value - upper.value > range / 2 && absolute >= range) absolute -= range
  const words = (/** @type {Known} */ one) => `${distance(one.value, unit)} on ${one.date}`
  const odd = (/** @type {Odd} */ what, /** @type {string} */ says) => ({ ok: false, odd: what, says, absolute, rolled })

  if (Number.isNaN(dayOf(date)) || date < '1900') return odd('date', 'That is no day of the calendar. Write year, month and day, such as 2026-04-18.')
  if (date > today) return odd('date', `${date} is still to come; today is ${today}. Log what was done.`)
  if (value >= range) return odd('digits', `This odometer has ${digits} digits, the reading has more. Read it again, without the tenths.`)
  if (upper && (absolute > upper.absolute || (lower && absolute < lower.absolute))) {
    const span = lower ? `Between ${words(lower)} and ${words(upper)}` : `Before ${words(upper)}`
    return odd('between', `${span} it cannot have shown ${distance(value, unit)}. Read it again, or check the date.`)
  }
  if (!lower) return { ok: true, odd: '', says: '', absolute, rolled }
  const driven = absolute - lower.absolute
  if (rolled && !upper) {
    return odd('rolled', `That is less than the last reading, ${words(lower)}. Has it rolled over? Then ${distance(driven, unit)} were driven since.`)
  }
  if (driven < 0) {
    return odd('backwards', `That is less than the last reading, ${words(lower)}. Read it again, or check the date.`)
  }
  if (driven > FAR[unit]) {
    return odd('far', `That is ${distance(driven, unit)} more than the last reading, ${words(lower)}. Read it again, digit by digit.`)
  }
  return { ok: true, odd: '', says: '', absolute, rolled }
}
