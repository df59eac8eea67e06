// A field of the record, filled where it is found: picked words with their meaning, amounts in any unit, counts, text.
import { units } from '../data/units.js'
import { read, toSi } from '../lib/quantity.js'
import { fill, h, show } from './dom.js'

/** @typedef {import('../types.js').Field} Field */
/** @typedef {import('../types.js').Reading} Reading */

// What may be typed for a unit of the record, the trade's own first.
const OFFERED = /** @type {Record<string, string[]>} */ ({
  L: ['L', 'mL', 'US qt', 'US pt', 'US fl oz', 'imp pt', 'imp qt', 'imp fl oz'],
  mL: ['mL', 'L', 'US fl oz', 'imp fl oz'],
  'N·m': ['N·m', 'lb·ft', 'lb·in'], '°C': ['°C', '°F'], mm: ['mm', 'in'], km: ['km', 'mi'], mi: ['mi', 'km'], kg: ['kg', 'lb'],
})
const PAUSE = 700 // ms after the last key: then what stands in the field is written down
// ms after a field was left: the thumb that left it is on its way to a button, and nothing may move under it.
const LEFT = 300

/** What stands in fields and is not written down yet. @type {Set<() => void>} */
const waiting = new Set()

/** Write down at once what was typed: before a tick that may rest on it, and before the page is hidden. */
export function writeDown() {
  for (const write of waiting) write()
}
document.addEventListener('visibilitychange', () => {
  if (document.hidden) writeDown()
})

/** @param {string} unit @returns {string[]} */
export const offered = (unit) => (OFFERED[unit] ?? [unit]).filter((one) => units[one] || one === unit)

/**
 * @param {string} typed @param {string} unit @param {boolean} minus
 * @returns {{reading: Reading | null, says: string, wrong: boolean}} null where there is nothing to keep
 */
export function reading(typed, unit, minus) {
  if (!typed.trim()) return { reading: null, says: '', wrong: false }
  const got = read(typed, minus)
  if (!got.ok) return { reading: null, says: `Not used. ${got.why}`, wrong: true }
  const known = units[unit]
  const si = known ? toSi(got.value, known) : got.value
  return { reading: { typed: typed.trim(), unit, si }, says: `reads as ${String(got.value).replace('-', '−')} ${unit}`, wrong: false }
}

/**
 * @param {Field} field
 * @param {string} key makes the ids of the page's fields unique
 * @param {(reading: Reading | null) => void} keep called when what stands in the field has changed
 * @returns {{element: HTMLElement, show(reading: Reading | null, locked: boolean): void}}
 */
export function fieldOf(field, key, keep) {
  const id = `f-${key}-${field.id}`
  const says = h('span', { class: 'says', id: `${id}-says` })
  const stop = h('div', { class: 'stop', role: 'alert', hidden: true })
  const told = `${id}-says`
  /** @type {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} */
  let box
  /** @type {HTMLSelectElement | null} */
  let pick = null
  /** @type {string} */
  let last = ''
  let pause = 0

  if (field.kind === 'pick') {
    box = h('select', { id, 'aria-describedby': told }, h('option', { value: '' }, ''), field.options.map((one) => h('option', { value: one.word }, one.word)))
  } else if (field.kind === 'amount' || field.kind === 'count') {
    box = h('input', { id, 'aria-describedby': told, inputmode: field.kind === 'count' ? 'numeric' : 'decimal', autocomplete: 'off' })
    const list = field.kind === 'amount' ? offered(field.unit) : []
    if (list.length > 1) pick = h('select', { 'aria-label': `Unit of ${field.label}`, class: 'unit' }, list.map((one) => h('option', { value: one }, one)))
  } else {
    box = h('textarea', { id, 'aria-describedby': told, rows: 1, autocomplete: 'off' })
  }

  /** @returns {{reading: Reading | null, says: string, wrong: boolean}} */
  const now = () => {
    const typed = box.value
    if (field.kind === 'pick') return { reading: typed ? { typed, unit: '', si: null } : null, says: means(typed), wrong: false }
    if (field.kind === 'text') return { reading: typed.trim() ? { typed: typed.trim(), unit: '', si: null } : null, says: '', wrong: false }
    if (field.kind === 'count') {
      const whole = /^\d{1,4}$/.test(typed.trim())
      if (!typed.trim()) return { reading: null, says: '', wrong: false }
      return whole ? { reading: { typed: typed.trim(), unit: '', si: Number(typed) }, says: '', wrong: false }
        : { reading: null, says: 'Not used. Type a whole number.', wrong: true }
    }
    return reading(typed, pick ? pick.value : field.unit, /°[CF]/.test(field.unit))
  }
  const means = (/** @type {string} */ word) => field.options.find((one) => one.word === word && !one.stop)?.means ?? ''
  const paint = () => {
    const got = now()
    says.textContent = got.says
    element.classList.toggle('wrong', got.wrong)
    box.setAttribute('aria-invalid', String(got.wrong))
    const bad = field.options.find((one) => one.word === box.value && one.stop)
    fill(stop, bad && h('b', {}, 'Stop. '), bad && bad.means.replace(/^Stop\.\s*/, ''))
    show(stop, Boolean(bad))
    return got
  }
  const write = () => {
    clearTimeout(pause)
    waiting.delete(write)
    const got = now()
    const text = JSON.stringify(got.reading)
    if (got.wrong || text === last) return
    last = text
    keep(got.reading)
  }
  const soon = (/** @type {number} */ wait) => {
    clearTimeout(pause)
    waiting.add(write)
    pause = window.setTimeout(write, wait)
  }
  box.addEventListener('input', () => {
    paint()
    if (field.kind === 'pick') write()
    else soon(PAUSE)
  })
  box.addEventListener('change', () => soon(LEFT))
  pick?.addEventListener('change', () => {
    paint()
    write()
  })

  const element = h('div', { class: `read ${field.kind}`, 'data-field': field.id },
    h('label', { for: id }, field.label, field.unit && !pick && h('small', {}, ` ${field.unit}`)),
    h('div', { class: 'pair' }, box, pick), says, stop)
  return {
    element,
    show(reading, locked) {
      const text = JSON.stringify(reading)
      box.disabled = locked
      if (pick) pick.disabled = locked
      if (text === last || document.activeElement === box) return
      last = text
      box.value = reading?.typed ?? ''
      if (pick && reading?.unit) pick.value = reading.unit
      paint()
    },
  }
}
