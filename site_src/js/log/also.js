// What may go with any entry: words, parts and papers, waste, photos, and the open looks that it settles.
import { h } from '../job/dom.js'
import { made } from '../job/own.js'
import { fieldOf } from '../job/reads.js'
import { due } from '../job/words.js'
import { task } from '../lib/duewords.js'
import { photos } from './photos.js'

/** @typedef {import('../types.js').Reading} Reading */
/** @typedef {import('../types.js').Entry} Entry */

const PAPERS = [['parts', 'Parts used'], ['batch', 'Batch of the oil or sealant'], ['cost', 'Cost, with its currency'], ['receipt', 'Receipt, where it is']]

/** @param {string} id @param {string} label @param {string} was @param {(text: string) => void} keep */
function text(id, label, was, keep) {
  const box = fieldOf(made({ id, label, kind: 'text' }), 'entry', (reading) => keep(reading?.typed ?? ''))
  box.show(was ? { typed: was, unit: '', si: null } : null, false)
  keep(was)
  return box.element
}

/**
 * @param {string} id of the new entry @param {Entry | null} old @param {boolean} event whether the words are the entry
 * @returns {{element: HTMLElement, got(): {says: string, words: Record<string, string>, waste: {what: string, amount: Reading | null,
 *   where: string}}, photos: ReturnType<typeof photos>}}
 */
export function also(id, old, event) {
  let says = ''
  /** @type {Record<string, string>} */
  const words = {}
  const waste = { what: '', amount: /** @type {Reading | null} */ (null), where: '' }
  const pictures = photos(id)
  const label = event ? 'What happened: how deep, how long, where, hot or cold' : 'In your words: what you saw and did'
  const litres = fieldOf(made({ id: 'waste-amount', label: 'How much', unit: 'L' }), 'entry', (reading) => (waste.amount = reading))
  // An older entry has its waste in one line, which stands in the first field as it is.
  const rest = h('details', { class: 'more', open: Boolean(old && (old.parts || old.batch || old.cost || old.receipt || old.waste)) },
    h('summary', {}, 'Parts, receipt, waste'),
    PAPERS.map(([key = '', name = '']) => text(key, name, /** @type {Record<string, any>} */ (old ?? {})[key] ?? '', (typed) => (words[key] = typed))),
    h('h2', {}, 'Waste'), text('waste-what', 'What went to waste', old?.waste ?? '', (typed) => (waste.what = typed)), litres.element,
    text('waste-where', 'Where to', '', (typed) => (waste.where = typed)))
  const remarks = text('says', label, old?.says ?? '', (typed) => (says = typed))
  remarks.querySelector('textarea')?.setAttribute('rows', '3')
  const element = h('div', {}, remarks, pictures.element,
    old && old.photos.length > 0 && h('p', { class: 'of' }, `${old.photos.length} photo${old.photos.length > 1 ? 's' : ''} of the entry stay with it.`), rest)
  return { element, got: () => ({ says, words, waste }), photos: pictures }
}

/**
 * @param {import('../types.js').FollowUp[]} open looks of the vehicle @param {import('../types.js').Vehicle} vehicle @param {string} unit
 * @param {string} work @param {import('../types.js').SiteData} site @param {Entry | null} old
 * @returns {{element: HTMLElement | null, got(): string[]}}
 */
export function settles(open, vehicle, unit, work, site, old) {
  const before = old?.closes ?? []
  const by = new Set(site.events.filter((one) => one.closedBy.includes(work)).map((one) => one.look))
  const boxes = open.map((one, index) => {
    const ticked = before.includes(one.id) || before.includes(one.entry) || (!old && by.has(one.kind) && one.unit === unit)
    const box = h('input', { type: 'checkbox', id: `settles-${index}`, checked: ticked })
    const where = vehicle.units[one.unit]?.title ?? 'whole vehicle'
    return { one, box, label: h('label', { for: `settles-${index}` }, box, h('span', {}, h('b', {}, task(one.kind)), ` ${where}, ${due(one) || one.says}`)) }
  })
  const rest = before.filter((id) => !boxes.some(({ one }) => one.id === id || one.entry === id))
  return {
    element: boxes.length ? h('fieldset', { class: 'choice' }, h('legend', {}, 'Settles these open looks'), boxes.map(({ label }) => label)) : null,
    got: () => [...rest, ...boxes.filter(({ box }) => box.checked).map(({ one }) => one.id)],
  }
}
