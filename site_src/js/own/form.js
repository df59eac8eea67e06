// A small form for one hand: fields in a column, what is wrong said beneath each, nothing sent anywhere.
import { amountText } from '../lib/amounts.js'
import { fill, h, show } from '../job/dom.js'

/**
 * @typedef {object} Field
 * @property {string} id @property {string} label
 * @property {'text' | 'area' | 'pick' | 'amount' | 'whole' | 'number' | 'date' | 'tick'} kind
 * @property {[string, string][]} [options] of a pick: value, words
 * @property {string[]} [units] of an amount, the first one picked
 * @property {boolean} [minus] whether the amount may be below zero
 * @property {string} [value] what stands in it; `2.35 L` for an amount
 * @property {boolean} [must] @property {string} [hint]
 * @property {(values: Values) => boolean} [when] shown only then, else taken as empty
 */
/** @typedef {Record<string, string>} Values '' where nothing is typed; a tick is 'yes' or '' */

let forms = 0

/**
 * @param {{title: string, fields: Field[], save: string, lead?: string, verdict?: (values: Values) => string,
 *   done: (values: Values) => Promise<string>, cancel?: () => void}} what `done` saves, and says what is wrong or ''
 * @returns {HTMLFormElement}
 */
export function form({ title, fields, save, lead = '', verdict, done, cancel }) {
  const key = (forms += 1)
  const parts = fields.map((one) => part(one, `own-${key}-${one.id}`))
  const wrong = h('p', { class: 'odd', role: 'alert', hidden: true })
  const stands = h('p', { class: 'says', role: 'status' })
  const send = h('button', { type: 'submit', class: 'btn' }, save)
  const values = () => /** @type {Values} */ (Object.fromEntries(parts.map(({ field, now }) => [field.id, now().text])))

  const paint = () => {
    const all = values()
    for (const { field, element } of parts) show(element, !field.when || field.when(all))
    if (verdict) stands.textContent = verdict(all)
  }
  const element = h('form', { class: 'own-form', novalidate: true, oninput: paint, onsubmit: async (/** @type {SubmitEvent} */ event) => {
    event.preventDefault()
    if (send.disabled) return
    const bad = parts.filter(({ element: one, check }) => !one.hidden && !check())
    show(wrong, false)
    if (bad.length) return void bad[0]?.box.focus()
    send.disabled = true
    const all = Object.fromEntries(parts.map(({ field, element: one, now }) => [field.id, one.hidden ? '' : now().text]))
    const says = await done(all)
    send.disabled = false
    fill(wrong, says)
    show(wrong, Boolean(says))
    if (says) wrong.scrollIntoView({ block: 'center' })
  } },
  h('h2', { tabindex: -1 }, title), lead && h('p', { class: 'of' }, lead), parts.map((one) => one.element), verdict && stands, wrong, send,
  cancel && h('button', { type: 'button', class: 'btn line', onclick: cancel }, 'Leave it as it was'))
  paint()
  return element
}

/** @param {Field} field @param {string} id */
function part(field, id) {
  const says = h('span', { class: 'says', id: `${id}-says` }, field.hint)
  const common = { id, 'aria-describedby': field.kind === 'tick' && !field.hint ? null : `${id}-says` }
  const [number = '', unit = ''] = field.kind === 'amount' ? split(field.value ?? '') : [field.value ?? '']
  /** @type {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} */
  let box
  /** @type {HTMLSelectElement | null} */
  let pick = null
  if (field.kind === 'pick') {
    box = h('select', common, (field.options ?? []).map(([value, words]) => h('option', { value, selected: value === field.value }, words)))
  } else if (field.kind === 'area') box = h('textarea', { ...common, rows: 2, maxlength: 400 }, number)
  else if (field.kind === 'tick') box = h('input', { ...common, type: 'checkbox', checked: field.value === 'yes' })
  else if (field.kind === 'date') box = h('input', { ...common, type: 'date', value: number })
  else {
    const inputmode = field.kind === 'text' || field.minus ? 'text' : field.kind === 'whole' ? 'numeric' : 'decimal'
    box = h('input', { ...common, type: 'text', inputmode, autocomplete: 'off', maxlength: 400, value: number.replace('-', field.kind === 'amount' ? '−' : '-') })
    const units = [...new Set([...(unit ? [unit] : []), ...(field.units ?? [])])]
    if (field.kind === 'amount') pick = h('select', { class: 'unit', 'aria-label': `Unit: ${field.label}` }, units.map((one) => h('option', { value: one }, one)))
  }

  /** @returns {{text: string, says: string}} */
  const now = () => {
    if (field.kind === 'tick') return { text: /** @type {HTMLInputElement} */ (box).checked ? 'yes' : '', says: '' }
    const typed = box.value.replace(/[\p{Cc}\p{Cs}\s]+/gu, ' ').trim()
    if (!typed) return { text: '', says: '' }
    if (field.kind === 'whole') return /^\d{1,7}$/.test(typed) ? { text: String(Number(typed)), says: '' } : { text: typed, says: 'Not used. Type a whole number.' }
    if (field.kind === 'amount' || field.kind === 'number') {
      const got = amountText(typed, pick?.value ?? '', field.minus)
      return got.ok ? { text: got.text.trim(), says: '' } : { text: typed, says: `Not used. ${got.says}` }
    }
    return { text: typed, says: '' }
  }
  /** @returns {boolean} */
  const check = () => {
    const { text, says: bad } = now()
    const told = bad || (field.must && !text ? 'This one is needed.' : '')
    says.textContent = told || (field.hint ?? '')
    element.classList.toggle('wrong', Boolean(told))
    box.setAttribute('aria-invalid', String(Boolean(told)))
    return !told
  }
  box.addEventListener('change', check)
  const element = field.kind === 'tick'
    ? h('div', { class: 'choices one' }, h('label', {}, box, field.label), field.hint && says)
    : h('div', { class: 'read' }, h('label', { for: id }, field.label), pick ? h('div', { class: 'pair' }, box, pick) : box, says)
  return { field, element, box, now, check }
}

/** @param {string} amount @returns {[string, string]} number and unit */
function split(amount) {
  const at = amount.indexOf(' ')
  return at < 0 ? [amount, ''] : [amount.slice(0, at), amount.slice(at + 1).trim()]
}
