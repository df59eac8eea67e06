// A calendar file with a reminder, after RFC 5545: for the phone's own calendar, which rings though this page sleeps.
import { utcStamp } from './day.js'

/** @typedef {{uid: string, start: number, minutes: number, summary: string, description: string}} Reminder start in epoch milliseconds */

const OCTETS = 75

/**
 * @param {Reminder[]} events
 * @param {number} stamp when the file is made, epoch milliseconds
 * @returns {string} lines end in CR LF, none longer than 75 octets
 * @throws {RangeError} when a time is not a number, or an event lasts less than a minute
 */
export function calendar(events, stamp) {
  if (!Number.isFinite(stamp)) throw new RangeError(`calendar: stamp ${stamp}, expected epoch milliseconds`)
  const lines = ['BEGIN:VCALENDAR', 'VERSION:2.0', 'PRODID:-//Fillmark//Job card//EN', 'CALSCALE:GREGORIAN']
  for (const { uid, start, minutes, summary, description } of events) {
    if (!Number.isFinite(start)) throw new RangeError(`calendar: start ${start} of ${uid}, expected epoch milliseconds`)
    if (!(Number.isInteger(minutes) && minutes > 0)) throw new RangeError(`calendar: ${minutes} minutes of ${uid}, expected 1 or more`)
    lines.push(
      'BEGIN:VEVENT', `UID:${escaped(uid)}`, `DTSTAMP:${utcStamp(stamp)}`, `DTSTART:${utcStamp(start)}`, `DURATION:PT${minutes}M`,
      `SUMMARY:${escaped(summary)}`, `DESCRIPTION:${escaped(description)}`, 'TRANSP:TRANSPARENT',
      'BEGIN:VALARM', 'ACTION:DISPLAY', 'TRIGGER:PT0S', `DESCRIPTION:${escaped(summary)}`, 'END:VALARM', 'END:VEVENT',
    )
  }
  lines.push('END:VCALENDAR')
  return lines.map((line) => `${folded(line)}\r\n`).join('')
}

/**
 * @param {string} text
 * @returns {string} as a TEXT value (section 3.3.11); what no calendar takes is left out
 */
function escaped(text) {
  // Half a character has no octets; it stands as the sign for one that is lost.
  const whole = [...text].map((one) => (one >= '\ud800' && one <= '\udfff' && one.length === 1 ? '\ufffd' : one)).join('')
  return whole.replace(/\r\n?/g, '\n').replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '')
    .replace(/[\\;,]/g, '\\$&').replace(/\n/g, '\\n')
}

/**
 * @param {string} line
 * @returns {string} folded (section 3.1) between characters, never inside one
 */
function folded(line) {
  let out = ''
  let used = 0
  for (const character of line) {
    const size = octets(/** @type {number} */ (character.codePointAt(0)))
    if (used + size > OCTETS) {
      out += '\r\n '
      used = 1
    }
    out += character
    used += size
  }
  return out
}

/** @param {number} point @returns {number} octets of a character in UTF-8 */
const octets = (point) => (point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4)
