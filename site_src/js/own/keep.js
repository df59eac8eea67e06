// Keeps a vehicle: checked first, then stored, and only then said to be saved.
import { checkSheet } from '../lib/sheetcheck.js'
import * as garage from '../garage.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Sheet} Sheet */

/** @returns {string} four letters and figures by chance */
export const tail = () => parseInt(store.newId().slice(0, 8), 16).toString(36).padStart(4, '0').slice(-4)

/** @param {unknown} sheet @returns {Promise<import('../lib/sheetshape.js').Problem[]>} */
export async function problems(sheet) {
  const [{ sources, units }, { ceiling }] = await Promise.all([garage.site(), import('./ceiling.js')])
  return checkSheet(sheet, { sources, units, ceiling })
}

/** @param {import('../lib/sheetshape.js').Problem} one @returns {string} */
export const inWords = ({ path, says, expected, got }) => `${path ? `${path}: ` : ''}${says}. Expected: ${expected}. Got: ${got}.`

/**
 * @param {string} id @param {Sheet} sheet @param {boolean} [fresh] taken in with a history of its own
 * @returns {Promise<string>} '' once it is on the disk; else what is wrong, in words
 */
export async function keep(id, sheet, fresh = false) {
  try {
    const wrong = await problems(sheet)
    if (wrong.length) return wrong.slice(0, 3).map(inWords).join(' ')
    const record = { id, rev: sheet.rev, at: Date.now(), sheet }
    // A vehicle that comes from a file keeps its revision, so that two phones know whose is newer.
    if (fresh && sheet.rev !== 1) await store.restore({ vehicles: [record] })
    else await store.putVehicle(record)
    return ''
  } catch (error) {
    return `NOT saved. ${error instanceof store.NotSaved ? error.says : String(error)}`
  }
}

/** @param {string} id @param {number} rev the stored one @returns {Promise<string>} '' once it is away */
export async function takeAway(id, rev) {
  try {
    await store.putVehicle({ id, rev: rev + 1, at: Date.now(), sheet: null })
    return ''
  } catch (error) {
    return `NOT taken away. ${error instanceof store.NotSaved ? error.says : String(error)}`
  }
}
