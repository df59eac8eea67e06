// A card with the numbers of a unit, the site's or one's own: the blanks of its page are filled from the unit's sheet.
import { fill, h } from '../job/dom.js'
import { filled } from '../job/words.js'
import { cardsFor } from '../lib/match.js'
import { vehicleOf } from '../lib/sheet.js'
import * as garage from '../garage.js'
import { allOwn } from './all.js'
import { blankRow, blankTag, capacityRow, levelLine, rowOf, toLevel, torqueTag } from './unitview.js'
import { base, cardAddress } from './where.js'

/** @typedef {import('./unitview.js').View} View */
/** @typedef {import('../types.js').Card} Card */
/** @typedef {import('../types.js').CardRow} CardRow */

/** @param {HTMLElement} article @param {string | null} asked vehicle and unit, `old-blue-x7f2/rear-axle` */
export async function fillCard(article, asked) {
  try {
    const site = await garage.site()
    const row = site.cards.find(({ no }) => no === article.dataset.no)
    if (!row) throw new Error(`Card ${article.dataset.no} is not in the data of this site.`)
    if (asked !== null) await bind(article, asked, site, row)
    await otherUnits(article, asked ?? '', row, site)
  } catch (error) {
    refuse(article, error instanceof Error ? error.message : String(error))
  }
}

/** @param {HTMLElement} article @param {string} says */
function refuse(article, says) {
  const demo = article.querySelector('[data-demo]')
  if (demo) fill(demo, h('b', {}, 'Blank card. '), `${says} Every number is a blank to write on.`)
  demo?.setAttribute('role', 'alert')
}

/** @param {HTMLElement} article @param {string} asked @param {import('../types.js').SiteData} site @param {CardRow} row */
async function bind(article, asked, site, row) {
  const [id = '', unitId = ''] = asked.split('/')
  const found = await garage.sheet(id)
  if (!found) throw new Error(`There is no vehicle ‘${id}’ on this phone.`)
  const vehicle = vehicleOf(id, found.sheet, site)
  const unit = Object.hasOwn(vehicle.units, unitId) ? vehicle.units[unitId] : undefined
  const sheet = found.sheet.units[unitId]
  if (!unit || !sheet) throw new Error(`${vehicle.name} has no unit ‘${unitId}’.`)
  if (!cardsFor(unit, [row]).length) throw new Error(`This card is not for ${vehicle.short} ${unit.title}. ${row.says}`)
  const answer = await fetch(new URL(`data/cards/${row.no.toLowerCase()}.json`, new URL(base, location.href)))
  paint(article, { vehicle, unit, sheet, site, base }, row, await answer.json())
}

/** @param {HTMLElement} article @param {View} view @param {CardRow} row @param {Card} card */
function paint(article, view, row, card) {
  const { vehicle, unit, site } = view
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (article.querySelector(selector))
  // Every blank with a name: head, steps, holds, cautions, parts, acceptance.
  for (const blank of /** @type {NodeListOf<HTMLElement>} */ (article.querySelectorAll('.blank[data-slot]'))) {
    if (unit.slots[blank.dataset.slot ?? '']) blank.replaceWith(...filled(`{${blank.dataset.slot}}`, unit.slots))
  }
  const rows = row.capacity.map((name) => rowOf(view, name) ?? (site.slots[name] ?? name).replace(/ rule$/, ''))
  const table = article.querySelector('.card-numbers .cap')
  if (table) fill(table, h('tbody', {}, rows.map((one) => (typeof one === 'string' ? blankRow(one) : capacityRow(one)))))
  if (toLevel(view)) table?.after(levelLine())
  fill(find('.card-numbers .tags'), row.torque.map((role) => (unit.fasteners[role] ? torqueTag(view, role) : blankTag(role.charAt(0).toUpperCase() + role.slice(1).replace(/-/g, ' ')))))
  shows(article, view, card)

  const demo = article.querySelector('[data-demo]')
  if (demo && vehicle.invented) fill(demo, h('b', {}, 'Demo. '), site.demoNote)
  else demo?.remove()
  const named = article.querySelector('.card-head dt')
  if (named && vehicle.invented) named.textContent = 'Vehicle (demo, invented)'
  const odometer = unit.slots['vehicle.odometer']?.main ?? ''
  find('[data-odometer]').classList.remove('paper')
  fill(find('[data-odometer]'), h('dt', {}, 'Odometer, was ', h('span', { class: 'paper' }, odometer)),
    h('dd', {}, h('span', { class: 'screen' }, odometer), h('i', { class: 'write paper' })))
  const go = find('[data-start]')
  go.textContent = 'Start this job'
  go.classList.remove('line')
  go.setAttribute('href', `${base}job/?start=${row.no.toLowerCase()}/${vehicle.id}/${unit.id}`)
  go.after(h('a', { class: 'row screen', href: `${base}plan/?add=${row.no.toLowerCase()}/${vehicle.id}/${unit.id}` }, 'Plan it first: buy, and fit the waits'))
  for (const link of article.querySelectorAll('[data-work] a')) if (link instanceof HTMLAnchorElement) link.search = `?for=${vehicle.id}/${unit.id}`
  const letters = /** @type {Text} */ (find('.address').firstChild)
  const address = `${letters.data.trim()}?for=${vehicle.id}/${unit.id}`
  letters.data = `${address} `
  drawCode(find('.code'), address)
  find('[data-stamp]').textContent = ` · ${vehicle.short} ${unit.code} rev ${vehicle.rev}`
  if (vehicle.invented) article.querySelector('.stamp > .paper')?.before(' · demo vehicle, invented')
  const sheetLine = find('[data-sheet]')
  sheetLine.textContent = (sheetLine.textContent ?? '').replace('One sheet,', 'One sheet with this unit’s numbers,')
  sheetLine.after(h('a', { class: 'row', href: './' }, 'Card with no unit’s numbers'))
  document.title = `${row.no} ${row.title}, ${vehicle.short} ${unit.place} · Fillmark`
}

/** The code leads to the card as it is filled. Only paper shows it, so it is drawn when the phone has time. @param {HTMLElement} place @param {string} address */
function drawCode(place, address) {
  fill(place) // never the blank card's code on a filled one
  const draw = async () => {
    const { code } = await import('../job/code.js')
    try {
      fill(place, code(address))
    } catch (error) {
      if (!(error instanceof RangeError)) throw error // too long for a code: it stands in letters
    }
  }
  if ('requestIdleCallback' in window) requestIdleCallback(() => void draw(), { timeout: 1000 })
  else setTimeout(draw, 500)
}

/** The numbers that a step needs stand beside it. @param {HTMLElement} article @param {View} view @param {Card} card */
function shows(article, { unit }, card) {
  for (const step of card.steps) {
    const said = Object.values(step.ways).map((way) => way.do).join(' ')
    const place = article.querySelector(`.step[data-step="${step.no}"] .do`)
    for (const name of step.shows) {
      const number = /^(torque|fill)\./.test(name)
      const slot = unit.slots[name]
      if (!slot || !place || (!number && said.includes(`{${name}}`))) continue
      place.append(h('p', { class: number ? 'shows' : 'shows screen' }, h('span', {}, slot.label), ' ', filled(`{${name}}`, unit.slots)))
    }
  }
}

/** @param {HTMLElement} article @param {string} asked @param {CardRow} row @param {import('../types.js').SiteData} site */
async function otherUnits(article, asked, row, site) {
  const { own, hidden, broken } = await allOwn()
  const gone = new Set(hidden ? site.vehicles.filter(({ invented }) => invented).map(({ id }) => id) : [])
  for (const link of /** @type {NodeListOf<HTMLElement>} */ (article.querySelectorAll('[data-unit]'))) {
    const unit = link.dataset.unit ?? ''
    if (unit === asked || gone.has(unit.split('/')[0] ?? '')) link.remove()
  }
  const rows = own.flatMap(({ vehicle }) => Object.values(vehicle.units).filter((unit) => cardsFor(unit, [row]).length && `${vehicle.id}/${unit.id}` !== asked)
    .map((unit) => h('a', { class: 'row', href: cardAddress(base, row.no, vehicle.id, unit.id) }, h('b', {}, vehicle.short), ` ${unit.title}`)))
  const head = article.querySelector('#units')
  head?.after(...broken, ...rows)
  if (head && asked) head.textContent = 'Same card, other units'
}
