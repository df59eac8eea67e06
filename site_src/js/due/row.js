// One line of what is due: the word of its state first, then the unit, then the bound that decides.
import { h } from '../job/dom.js'
import { sentences, task } from '../lib/duewords.js'

/** @typedef {import('../types.js').Due} Due */
/** @typedef {import('./digest.js').Named} Named */

/**
 * @param {Due} one @param {Named} vehicle @param {string} base @param {boolean} [whole] with all that is known
 * @returns {HTMLElement}
 */
export function dueRow(one, vehicle, base, whole = false) {
  const said = sentences(one, vehicle.unit)
  const where = `${base}due/?vehicle=${encodeURIComponent(vehicle.id)}&unit=${encodeURIComponent(one.unit)}`
  return h('li', { class: `due-row ${one.stop ? 'stop' : one.state}` },
    h('p', {}, h('b', { class: 'word' }, said.state)),
    h('a', { href: where }, `${vehicle.short}, ${vehicle.units[one.unit] ?? one.unit}: ${task(one.what).toLowerCase()}`),
    said.by && h('span', {}, said.by), whole && said.also && h('span', {}, said.also), (whole || !said.by) && said.ahead && h('span', { class: 'of' }, said.ahead))
}

/** @param {string[]} names of vehicles whose sheet cannot be read @returns {HTMLElement | false} */
export const unreadLine = (names) => names.length > 0 &&
  h('p', {}, h('b', { class: 'word' }, 'Unknown'), ` for ${names.join(', ')}: what is kept of it cannot be read. Its own page says why.`)
