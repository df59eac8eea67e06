// A field of a page that works something out: its text as a value in SI, what it reads as beneath, what an address gives it.
import { units } from '../data/units.js'
import { format, fromSi, read, side, toSi, withUnit } from '../lib/quantity.js'

/** @typedef {import('../data/calculator.js').Typed} Typed */

/** @param {string} symbol a plain number is no unit of the list */
export const unitOf = (symbol) => units[symbol] ?? { dimension: 'number', factor: 1, offset: 0 }

/**
 * @param {string} text such as `26 N·m` or `5,7`
 * @param {Typed} input
 * @param {string[]} offered units of the field
 * @returns {{number: string, unit: string}} for the field; a unit that is not offered becomes the input's own, and a
 *   text that cannot be read stands whole where the number would, so that nothing is guessed
 */
export function amount(text, input, offered) {
  const [, number = '', unit = ''] = text.trim().match(/^([-+−–]?[\d.,]+)\s*(.*)$/) ?? []
  if (!number || !unit || offered.includes(unit)) return { number: number || text, unit }
  const got = read(number, true)
  const [from, own] = [units[unit], units[input.unit]]
  if (!got.ok || !from || !own || from.dimension !== own.dimension) return { number: text, unit: '' }
  return { number: String(Number(fromSi(toSi(got.value, from), own).toPrecision(12))), unit: input.unit }
}

/**
 * @param {Typed} input @param {string} text @param {string} symbol
 * @returns {{si?: number, shown: string, say: string}} the value, and what is said beneath the field
 */
export function reading(input, text, symbol) {
  const got = read(text, input.minus)
  if (!got.ok) return { shown: '', say: got.why }
  const si = toSi(got.value, unitOf(symbol))
  const typed = withUnit(String(got.value).replace('-', '−'), symbol)
  const where = side(si, input.min[0], input.max[0])
  if (where) {
    const limit = (where < 0 ? input.min[1] : input.max[1]).replace(/ 1$/, '').replace('-', '−')
    return { shown: '', say: `${typed} is ${where < 0 ? 'less' : 'more'} than ${limit}. ${input.why}` }
  }
  const own = symbol === input.unit ? '' : ` = ${withUnit(format(fromSi(si, unitOf(input.unit)), 4), input.unit)}`
  return { si, shown: typed, say: `reads as ${typed}${own}` }
}

/** @param {HTMLElement} field @param {HTMLElement} box @param {string} say @param {boolean} wrong */
export function tell(field, box, say, wrong) {
  const place = /** @type {HTMLElement} */ (field.querySelector('[data-say]'))
  place.textContent = wrong ? `Not used. ${say}` : say
  field.classList.toggle('wrong', wrong)
  box.setAttribute('aria-invalid', String(wrong))
}
