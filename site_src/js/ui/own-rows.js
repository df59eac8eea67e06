// The list of cards: one's own units stand as rows under each card that they fit, before those of the site.
import { h, show } from '../job/dom.js'
import { cardsFor } from '../lib/match.js'
import { vehicleOf } from '../lib/sheet.js'
import * as garage from '../garage.js'

const SHOWN = 12 // rows under one card; the rest when asked for

/** @param {HTMLElement} root around the cards: each is a section with data-card */
export async function start(root) {
  const [site, all, { hidden }] = await Promise.all([garage.site(), garage.sheets(), garage.demo()])
  if (hidden) for (const row of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-invented]'))) show(row, false)
  const base = document.documentElement.dataset.base ?? './'
  /** @type {Map<string, HTMLElement[]>} */
  const rows = new Map()
  for (const { id, sheet } of all.filter(({ own }) => own)) {
    const vehicle = vehicleOf(id, sheet, site)
    for (const unit of Object.values(vehicle.units)) {
      for (const { no } of cardsFor(unit, site.cards)) {
        const row = h('a', { class: 'row', href: `${base}cards/${no.toLowerCase()}/?for=${id}/${unit.id}` },
          h('b', {}, vehicle.short), ` ${unit.title}`, vehicle.invented && ' (demo)')
        rows.set(no, [...(rows.get(no) ?? []), row])
      }
    }
  }
  for (const section of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-card]'))) {
    const own = rows.get(section.dataset.card ?? '') ?? []
    const before = section.querySelector('.row')
    for (const row of own.slice(0, SHOWN)) section.insertBefore(row, before)
    if (own.length <= SHOWN) continue
    const more = h('button', { type: 'button', class: 'btn line', onclick: () => more.replaceWith(...own.slice(SHOWN)) }, `Show ${own.length - SHOWN} more of your own`)
    section.insertBefore(more, before)
  }
}
