// What one's own vehicles still lack, before those of the site; a demo garage that is hidden goes.
import { h } from '../job/dom.js'
import { lacks } from '../lib/coverage.js'
import { allOwn } from '../own/all.js'
import { addressOf, base, cardAddress } from '../own/where.js'

/** @param {HTMLElement} root */
export async function start(root) {
  const place = /** @type {HTMLElement} */ (root.querySelector('[data-own]'))
  try {
    const { site, hidden, own, broken } = await allOwn()
    if (hidden) for (const one of root.querySelectorAll('[data-invented]')) one.remove()
    place.append(...broken, ...own.map(({ vehicle }) => h('section', {},
      h('h2', {}, h('a', { href: addressOf(vehicle.id) }, vehicle.name), vehicle.invented && ', invented'),
      Object.values(vehicle.units).map((unit) => {
        const rows = lacks(unit, site).filter(({ missing, open }) => missing.length + open.length)
        return rows.length > 0 && [h('h3', {}, unit.title), h('ul', { class: 'plain' }, rows.map(({ no, missing, open }) => {
          const link = h('a', { href: cardAddress(base, no, vehicle.id, unit.id) }, no)
          return h('li', {}, missing.length > 0 ? ['To run ', link, ` fill in: ${missing.join(', ')}.`] : [link, ' has all it asks for.'],
            open.length > 0 && h('span', { class: 'of' }, ` Not verified: ${open.join(', ')}.`))
        }))]
      }))))
  } catch (error) {
    place.append(h('p', { class: 'odd', role: 'alert' }, `Your own vehicles could not be read. ${error instanceof Error ? error.message : error}`))
  }
}
