// All own vehicles as they are shown. One that cannot be read hides none of the others, and is named.
import { vehicleOf } from '../lib/sheet.js'
import * as garage from '../garage.js'
import { addressOf } from './where.js'
import { h } from '../job/dom.js'

/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {import('../types.js').Sheet} Sheet */

/** @param {string} id @param {Sheet} sheet @param {unknown} error @returns {HTMLElement} says what cannot be read, and leads there */
export const brokenLine = (id, sheet, error) => h('p', { class: 'odd', role: 'alert' },
  `${sheet.name ?? id} cannot be read. ${error instanceof Error ? error.message : error} `, h('a', { href: addressOf(id) }, 'Open it'))

/**
 * @returns {Promise<{site: import('../types.js').SiteData, hidden: boolean, own: {vehicle: Vehicle, sheet: Sheet}[],
 *   broken: HTMLElement[]}>} hidden: whether the demo vehicles are; broken: a line for each that cannot be read
 */
export async function allOwn() {
  const [site, all, { hidden }] = await Promise.all([garage.site(), garage.added(), garage.demo()])
  /** @type {{vehicle: Vehicle, sheet: Sheet}[]} */
  const own = []
  /** @type {HTMLElement[]} */
  const broken = []
  for (const { id, sheet } of all) {
    try {
      own.push({ vehicle: vehicleOf(id, sheet, site), sheet })
    } catch (error) {
      broken.push(brokenLine(id, sheet, error))
    }
  }
  return { site, hidden, own, broken }
}
