// Days and months of the calendar as whole numbers: what the log counts in.
import { civil, isoDate } from './day.js'

const DAY = 86_400_000
const ISO = /^(\d{4})-(\d\d)-(\d\d)$/

/**
 * @param {number} year @param {number} month @param {number} day
 * @returns {number} days since 1970-01-01, Gregorian; counted from 1 March, so that a leap day is the last of its year
 */
function daysFrom(year, month, day) {
  const shifted = month <= 2 ? year - 1 : year
  const era = Math.floor(shifted / 400)
  const ofEra = shifted - era * 400
  const ofYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + day - 1
  return era * 146_097 + ofEra * 365 + Math.floor(ofEra / 4) - Math.floor(ofEra / 100) + ofYear - 719_468
}

/** @param {number} day days since 1970-01-01 @returns {string} ISO date */
export const isoOf = (day) => isoDate(day * DAY, 0)

/** @param {string} iso @returns {number} days since 1970-01-01; NaN where it is no day of the calendar */
export function dayOf(iso) {
  const [, year = NaN, month = NaN, day = NaN] = ISO.exec(iso)?.map(Number) ?? []
  const days = daysFrom(year, month, day)
  return month >= 1 && month <= 12 && day >= 1 && days < firstOf(year, month + 1) ? days : NaN
}

/** @param {number} year @param {number} month may be past 12 @returns {number} days since 1970-01-01 of its first day */
const firstOf = (year, month) => daysFrom(year + Math.floor((month - 1) / 12), ((((month - 1) % 12) + 12) % 12) + 1, 1)

/**
 * @param {number} start days since 1970-01-01
 * @param {number} months may have a part of a month, of which whole days are taken, rounded down
 * @returns {number} days since 1970-01-01; a day that the month does not have is its last one
 */
export function monthsAfter(start, months) {
  const whole = Math.floor(months + 1e-9)
  const { year, month, day } = civil(start * DAY)
  const at = (/** @type {number} */ more) => {
    const first = firstOf(year, month + more)
    return Math.min(first + day - 1, firstOf(year, month + more + 1) - 1)
  }
  const part = Math.max(0, months - whole)
  return at(whole) + (part > 1e-9 ? Math.floor(part * (at(whole + 1) - at(whole)) + 1e-9) : 0)
}
