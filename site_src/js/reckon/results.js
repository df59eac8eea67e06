// What a calculator's page shows of its answers: each output, the classic slips, and all of it in one line to copy.
import { format, fromSi, withUnit, word } from '../lib/quantity.js'
import { unitOf } from '../ui/field.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../data/calculator.js').Output} Output */
/** @typedef {import('./fields.js').Read} Read */

/** @param {Calculator} calculator @returns {Set<string>} inputs that may stay empty */
export const optional = (calculator) => new Set(calculator.inputs.filter((one) => one.optional).map(({ id }) => id))

/** @param {Calculator} calculator @param {Read} read @returns {string} why nothing is worked out; '' where it is */
export function refusal(calculator, { values, missing }) {
  const refused = calculator.refused(values)
  return calculator.refuse.find(({ needs }, i) => refused[i] && !needs.some((id) => missing.has(id)))?.say ?? ''
}

/**
 * What is needed and empty holds an output back; what is optional and empty does so only where no answer comes without it.
 * @param {Output} output @param {number} si @param {Read} read @param {Set<string>} may inputs that may stay empty
 * @returns {string} why there is no answer; '' where there is one
 */
export function waiting(output, si, { missing }, may) {
  const without = output.needs.filter((id) => missing.has(id))
  const must = without.filter((id) => !may.has(id))
  const names = (/** @type {string[]} */ ids) => ids.map((id) => missing.get(id)).join(', ')
  if (must.length) return `Needs: ${names(must)}`
  if (Number.isFinite(si)) return ''
  return without.length ? `Type for this: ${names(without)}` : 'No answer for these figures.'
}

/**
 * @param {HTMLElement} place @param {Output} output @param {number} si @param {string} why it has no answer
 * @returns {string} the answer in words for the line, empty where there is none
 */
export function showOutput(place, output, si, why) {
  const big = /** @type {HTMLElement} */ (place.querySelector('[data-value]'))
  const also = /** @type {HTMLElement} */ (place.querySelector('[data-also]'))
  place.classList.toggle('none', Boolean(why))
  if (why) {
    big.textContent = '–'
    also.textContent = why
    return ''
  }
  const shown = [output.unit, ...output.also].map((symbol) =>
    withUnit(format(fromSi(si, unitOf(symbol)), output.digits), symbol))
  const said = word(fromSi(si, unitOf(output.unit)), output.words)
  const parts = output.onlyWords ? [said] : said ? [said, ...shown] : shown
  big.textContent = parts[0] ?? ''
  also.textContent = parts.slice(1).join(' · ')
  return `${output.label}: ${parts[0]}${parts.length > 1 ? ` (${parts.slice(1).join(', ')})` : ''}`
}

/**
 * @param {Calculator} calculator @param {Record<string, number>} all values and results @param {Read} read
 * @param {Set<string>} may inputs that may stay empty
 * @returns {string[]} the slips that hold, in words; one waits until all that it names is there
 */
export function slips(calculator, all, { missing }, may) {
  const hold = calculator.slipped(all)
  return calculator.slips.filter(({ needs, names }, i) => hold[i] && !needs.some((id) => missing.has(id) && !may.has(id)) &&
    Object.keys(names).every((name) => Number.isFinite(all[name]))).map(({ say, names }) => say.replace(/\{([^}]*)\}/g, (_, name) => {
    const [unit, digits] = names[name] ?? ['1', 3]
    const value = fromSi(all[name] ?? NaN, unitOf(unit))
    const typed = calculator.inputs.some(({ id }) => id === name)
    return withUnit(typed ? String(Number(value.toPrecision(6))).replace('-', '−') : format(value, digits), unit)
  }))
}
