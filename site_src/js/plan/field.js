// Fields of the plan: labelled, as high as a glove, kept as typed and read when they are used. Every key is put into the
// plan at once, since the page may be drawn anew under the fingers; it is worked out when the field is left.
import { units } from '../data/units.js'
import { h } from '../job/dom.js'
import { read, toSi } from '../lib/quantity.js'

let made = 0

/** What is typed and not yet worked out. */
export const typing = { now: false }

/**
 * @param {string} label @param {string} value @param {(value: string) => void} put @param {() => void} changed
 * @param {{unit?: string, type?: string, of?: string, list?: string}} [more] `of` stands beneath it
 * @returns {HTMLElement}
 */
export function field(label, value, put, changed, { unit = '', type = 'text', of = '' } = {}) {
  const id = `plan-${(made += 1)}`
  const says = h('p', { class: 'say', id: `say-${id}` })
  const input = h('input', { class: 'q', id, type, value, autocomplete: 'off', 'aria-describedby': `say-${id}`, ...(type === 'text' && unit ? { inputmode: 'decimal' } : {}) })
  const look = () => {
    const got = unit && input.value.trim() ? read(input.value, /°/.test(unit)) : null
    says.textContent = got && !got.ok ? `Not used. ${got.why}` : ''
    input.setAttribute('aria-invalid', String(Boolean(got && !got.ok)))
  }
  const take = () => {
    look()
    put(input.value.trim())
  }
  input.addEventListener('input', () => {
    typing.now = true
    take()
  })
  input.addEventListener('change', () => {
    take()
    changed()
  })
  look()
  return h('div', { class: 'field' }, h('label', { for: id }, label, unit && h('small', {}, ` ${unit}`)), input, says, of && h('p', { class: 'of' }, of))
}

/** @param {string} label @param {string} value @param {[string, string][]} options @param {(value: string) => void} keep @returns {HTMLElement} */
export function choose(label, value, options, keep) {
  const id = `plan-${(made += 1)}`
  const select = h('select', { class: 'q', id }, options.map(([one, words]) => h('option', { value: one, selected: one === value }, words)))
  select.addEventListener('change', () => keep(select.value))
  return h('div', { class: 'field' }, h('label', { for: id }, label), select)
}

/** @param {string} label @param {boolean} on @param {(on: boolean) => void} keep @returns {HTMLElement} a box to tick, also on paper */
export function tickBox(label, on, keep) {
  const input = h('input', { type: 'checkbox', checked: on })
  input.addEventListener('change', () => keep(input.checked))
  return h('label', { class: 'tick-line' }, input, h('span', {}, label))
}

/** @param {string} typed @param {string} unit @returns {number | null} in SI, null where there is nothing that can be read */
export function si(typed, unit) {
  const got = typed ? read(typed, /°/.test(unit)) : null
  const known = units[unit]
  return got?.ok ? (known ? toSi(got.value, known) : got.value) : null
}

/** @param {string} text `1 L`, `32 US fl oz` @returns {number | null} m³; litres where no unit is typed */
export function volume(text) {
  const [, number = '', unit = 'L'] = /^\s*([\d.,]+)\s*(.*?)\s*$/.exec(text) ?? []
  const known = units[unit || 'L']
  const got = read(number)
  return got.ok && known && known.dimension === 'volume' && got.value > 0 ? toSi(got.value, known) : null
}
