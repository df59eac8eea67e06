// Today: one's own vehicles, what is due across all of them, what the log shows, and whether the record is safe.
import { digest } from '../due/digest.js'
import { dueRow, unreadLine } from '../due/row.js'
import { fill, h } from '../job/dom.js'
import { counts, many } from '../lib/duewords.js'
import { keepGlance } from '../store/glance.js'

const SHOWN = 4

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const { dues, findings, vehicles, unread } = await digest(element)
    const named = new Map(vehicles.map((one) => [one.id, one]))
    const sum = counts(dues)
    const pressing = dues.filter((one) => one.state === 'due' || one.state === 'coming')
    fill(element,
      h('p', { class: 'sums' }, `${sum.due} due, ${sum.coming} coming, ${sum.unknown} unknown, ${sum.clear} clear.`,
        sum.unknown > 0 && ' Unknown is not clear.'), unreadLine(unread),
      pressing.length > 0 && h('ul', { class: 'plain' }, pressing.slice(0, SHOWN).map((one) => {
        const vehicle = named.get(one.vehicle)
        return vehicle && dueRow(one, vehicle, base)
      })),
      !dues.length && h('p', {}, h('b', { class: 'word' }, 'Unknown'), '. No vehicle, so nothing is worked out.'),
      h('a', { class: 'row', href: `${base}due/` }, pressing.length > SHOWN ? `All that is due, ${pressing.length - SHOWN} more here` : 'All units, with what is unknown and clear'),
      findings > 0 && h('a', { class: 'row', href: `${base}findings/` }, `The log shows ${many(findings, 'thing')} to look at`))
    own(vehicles, base)
    keepGlance(element)
    const { nag } = await import('../backup/nag.js')
    const says = await nag()
    if (says) element.append(h('a', { class: 'row', href: `${base}backup/` }, says))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, h('b', { class: 'word' }, 'Unknown'),
      `. What is due could not be worked out: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/** One's own vehicles stand before those of the site; a demo garage that is hidden goes. @param {import('../due/digest.js').Named[]} vehicles @param {string} base */
function own(vehicles, base) {
  const list = document.querySelector('[data-own]')
  if (!(list instanceof HTMLElement)) return
  const shown = new Set(vehicles.map((one) => one.id))
  for (const row of document.querySelectorAll('[data-vehicle]')) {
    if (row instanceof HTMLElement) row.hidden = !shown.has(row.dataset.vehicle ?? '')
  }
  const demo = document.querySelector('main > .demo')
  if (demo instanceof HTMLElement) demo.hidden = !vehicles.some((one) => one.invented)
  const stand = new Set([...document.querySelectorAll('[data-vehicle]')].map((row) => row instanceof HTMLElement && row.dataset.vehicle))
  fill(list, vehicles.filter((one) => !stand.has(one.id) || one.own).map((one) => h('a', { class: 'row big', href: one.own ? `${base}garage/vehicle/?id=${encodeURIComponent(one.id)}` : `${base}vehicles/${one.id}/` },
    h('b', {}, one.name), h('span', {}, `${one.invented ? 'Demo · ' : one.own ? 'Own · ' : ''}${many(Object.keys(one.units).length, 'unit')}`))))
  keepGlance(list)
}
