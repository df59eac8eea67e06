// The list of cards: one's own units stand as rows under each card that they fit, before those of the site.
import { h, show } from '../job/dom.js'
import { cardsFor } from '../lib/match.js'
import { allOwn } from '../own/all.js'
import { base, cardAddress } from '../own/where.js'

const SHOWN = 12 // rows under one card; the rest when asked for

/** @param {HTMLElement} root around the cards: each is a section with data-card */
export async function start(root) {
  try {
    await rows(root)
  } catch (error) {
    root.prepend(h('p', { class: 'odd', role: 'alert' }, `Your own vehicles could not be read. ${error instanceof Error ? error.message : error}`))
  }
}

/** @param {HTMLElement} root */
async function rows(root) {
  const { site, hidden, own: all, broken } = await allOwn()
  root.prepend(...broken)
  if (hidden) for (const row of /** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll('[data-invented]'))) show(row, false)
  /** @type {Map<string, HTMLElement[]>} */
  const rows = new Map()
  for (const { vehicle } of all) {
    for (const unit of Object.values(vehicle.units)) {
      for (const { no } of cardsFor(unit, site.cards)) {
        const row = h('a', { class: 'row', href: cardAddress(base, no, vehicle.id, unit.id) },
          h('b', {}, vehicle.short), ` ${unit.title}`, vehicle.invented && ' (invented)')
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
