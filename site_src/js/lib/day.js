// Days of the calendar without the browser's own: dates of the log and times in a calendar file.

const DAY = 86_400_000

/**
 * The civil date of a moment in UTC, Gregorian, by counting in eras of 400 years from 1 March.
 * @param {number} epoch milliseconds
 * @returns {{year: number, month: number, day: number, hour: number, minute: number, second: number}}
 */
export function civil(epoch) {
  const days = Math.floor(epoch / DAY)
  const rest = Math.floor((epoch - days * DAY) / 1000)
  const shifted = days + 719_468 // from 0000-03-01, so that a leap day is the last of its year
  const era = Math.floor(shifted / 146_097)
  const ofEra = shifted - era * 146_097
  const yearOfEra = Math.floor((ofEra - Math.floor(ofEra / 1460) + Math.floor(ofEra / 36_524) - Math.floor(ofEra / 146_096)) / 365)
  const ofYear = ofEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100))
  const fromMarch = Math.floor((5 * ofYear + 2) / 153)
  const month = fromMarch < 10 ? fromMarch + 3 : fromMarch - 9
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0), month, day: ofYear - Math.floor((153 * fromMarch + 2) / 5) + 1,
    hour: Math.floor(rest / 3600), minute: Math.floor(rest / 60) % 60, second: rest % 60,
  }
}

/** @param {number} number @param {number} [width] */
const digits = (number, width = 2) => String(number).padStart(width, '0')

/**
 * @param {number} epoch milliseconds
 * @param {number} zone minutes that local time is ahead of UTC
 * @param {number} [later] days to add
 * @returns {string} the local date, such as 2026-03-29
 */
export function isoDate(epoch, zone, later = 0) {
  const { year, month, day } = civil(epoch + zone * 60_000 + later * DAY)
  return `${digits(year, 4)}-${digits(month)}-${digits(day)}`
}

/** @param {number} epoch milliseconds @returns {string} UTC in the basic form of ISO 8601, such as 20260329T013000Z */
export function utcStamp(epoch) {
  const { year, month, day, hour, minute, second } = civil(epoch)
  return `${digits(year, 4)}${digits(month)}${digits(day)}T${digits(hour)}${digits(minute)}${digits(second)}Z`
}
