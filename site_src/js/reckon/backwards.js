// Work it backwards: an answer that is wanted, one input that may be what it must be, and what that comes to.
import { fill, h } from '../job/dom.js'
import { format, fromSi, read, side, toSi, withUnit } from '../lib/quantity.js'
import { solve } from '../lib/solve.js'
import { unitOf } from '../ui/field.js'
import { optional, refusal } from './results.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../data/calculator.js').Typed} Typed */
/** @typedef {import('./fields.js').Read} Read */

const WORDS = ['', '', 'Two', 'Three', 'Four', 'Five', 'Six']

/** @param {Calculator} calculator @returns {Calculator['outputs']} numbers that rest on something typed */
export const wanted = (calculator) => calculator.outputs.filter((one) => !one.onlyWords && freed(calculator, one.id).length)

/** @param {Calculator} calculator @param {string} output @returns {Typed[]} */
const freed = (calculator, output) => calculator.inputs.flatMap((one) =>
  (one.kind === 'typed' && calculator.outputs.find(({ id }) => id === output)?.needs.includes(one.id) ? [one] : []))

/**
 * @param {HTMLElement} place @param {Calculator} calculator @param {() => Read} now
 * @param {(id: string, text: string) => void} use puts a text into a field
 * @returns {() => void} to be called when a field has changed
 */
export function backwards(place, calculator, now, use) {
  const outputs = wanted(calculator)
  const output = h('select', { class: 'q', id: 'back-out' }, outputs.map(({ id, label }) => h('option', { value: id }, label)))
  const value = h('input', { class: 'q', id: 'back-want', type: 'text', inputmode: 'text', autocomplete: 'off', 'aria-describedby': 'back-says' })
  const unit = h('select', { class: 'q', 'aria-label': 'Unit of what is wanted' })
  const free = h('select', { class: 'q', id: 'back-free' })
  const says = h('p', { class: 'say', id: 'back-says', role: 'status' })
  const taps = h('div', {})
  const field = (/** @type {string} */ name, /** @type {string} */ label, /** @type {HTMLElement} */ box) =>
    h('div', { class: 'field' }, h('label', { for: name }, label), box)
  fill(place, field('back-out', 'Answer that is wanted', output), field('back-want', 'It should be', h('div', { class: 'pair' }, value, unit)),
    field('back-free', 'Figure to find', free), says, taps)

  const chosen = () => outputs.find(({ id }) => id === output.value) ?? outputs[0]
  const offer = () => {
    const one = chosen()
    fill(unit, [one?.unit ?? '1', ...(one?.also ?? [])].map((symbol) => h('option', { value: symbol }, symbol === '1' ? 'number' : symbol)))
    unit.hidden = unit.options.length === 1 && unit.value === '1'
    fill(free, freed(calculator, one?.id ?? '').map(({ id, label }) => h('option', { value: id }, label)))
  }

  const update = () => {
    const input = calculator.inputs.find(({ id }) => id === free.value)
    const one = chosen()
    if (!one || input?.kind !== 'typed') return
    const got = answer(calculator, one, input, now(), value.value, unit.value)
    says.textContent = got.says
    fill(taps, got.answers.map((text) => h('button', { type: 'button', class: 'btn line', onclick: () => {
      use(input.id, text)
      says.textContent = `${input.label}: ${text} stands in its field.`
    } }, `Use ${text}`)))
  }
  output.addEventListener('change', () => (offer(), update()))
  for (const box of [value, unit, free]) box.addEventListener('input', update)
  offer()
  update()
  return update
}

/**
 * @param {Calculator} calculator @param {Calculator['outputs'][number]} output @param {Typed} input the one to find
 * @param {Read} read_ @param {string} typed what is wanted @param {string} symbol its unit
 * @returns {{says: string, answers: string[]}} `answers` for the field of the input, in the unit picked there
 */
export function answer(calculator, output, input, read_, typed, symbol) {
  const none = (/** @type {string} */ says) => ({ says, answers: [] })
  if (!typed.trim()) return none('Type what it should be.')
  const got = read(typed, true)
  if (!got.ok) return none(`Not used. ${got.why}`)
  const may = optional(calculator)
  const missing = new Map([...read_.missing].filter(([id]) => id !== input.id))
  const needs = output.needs.filter((id) => missing.has(id) && !may.has(id))
  if (needs.length) return none(`Needs: ${needs.map((id) => missing.get(id)).join(', ')}`)

  const values = { ...read_.values }
  const f = (/** @type {number} */ x) => {
    values[input.id] = x
    return refusal(calculator, { ...read_, values, missing }) ? NaN : calculator.work(values)[output.id] ?? NaN
  }
  const [low, high] = [input.min[0], input.max[0]]
  const { answers, flats, worked } = solve(f, low, high, toSi(got.value, unitOf(symbol)))
  const own = read_.units[input.id] ?? input.unit
  const show = (/** @type {number} */ si) => plain(si, own, low, high)
  const range = `between ${show(low)} and ${show(high)}`
  const label = input.label
  const [first, last] = flats[0] ?? []
  if (first !== undefined && last !== undefined) return none(`${label}: every value between ${show(first)} and ${show(last)} gives this.`)
  const shown = answers.map(show)
  if (!worked) return none(`${label}: no answer ${range}. The other figures allow none.`)
  if (!shown.length) return none(`${label}: no answer ${range}.`)
  if (shown.length === 1) return { says: `${label}: ${shown[0]}`, answers: shown }
  const count = WORDS[shown.length] ?? String(shown.length)
  return { says: `${label}: ${count.toLowerCase()} answers: ${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}.`, answers: shown }
}

/** @param {number} si @param {string} symbol @param {number} low @param {number} high @returns {string} as short as it may be inside the range */
function plain(si, symbol, low, high) {
  const unit = unitOf(symbol)
  const value = fromSi(si, unit)
  const digits = [6, 9, 12].find((many) => !side(toSi(Number(value.toPrecision(many)), unit), low, high)) ?? 15
  const rounded = Number(value.toPrecision(digits))
  // Never with an exponent: the field would not read it.
  const text = /e/.test(String(rounded)) ? format(rounded, digits) : String(rounded)
  return withUnit(text.replace('-', '−'), symbol)
}
