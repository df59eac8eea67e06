// The fields of a calculator's page: what stands in them as values in SI, and texts put into them.
import { states } from '../data/states.js'
import { amount, reading, tell } from '../ui/field.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {Calculator['inputs'][number]} Input */
/**
 * @typedef {object} Read
 * @property {Record<string, number>} values in SI, with what picked options give
 * @property {Map<string, string>} missing inputs without a value, by their labels
 * @property {string[]} given what stands in the fields, for the line
 * @property {Record<string, string>} units the unit picked in each field
 * @property {Record<string, string>} texts as typed, with the unit; a choice by its id
 * @property {string} state of the poorest number it rests on
 * @typedef {{text: string, state: string}} Given what a unit gave, and how sure that is
 */

/** @param {HTMLElement} root @param {Calculator} calculator */
export function fieldsOf(root, calculator) {
  /** Choices asked for that do not exist, as written, until one is picked. @type {Map<string, string>} */
  const unknown = new Map()
  /** @type {Record<string, Given>} */
  let trusted = {}

  /** @param {Input} input */
  const partsOf = (input) => {
    const field = /** @type {HTMLElement} */ (root.querySelector(`[data-input="${input.id}"]`))
    const box = /** @type {HTMLInputElement | HTMLSelectElement} */ (field.querySelector(`#in-${input.id}`))
    const choice = input.kind === 'typed' ? field.querySelector('select') : null
    return { field, box, choice }
  }

  /**
   * A text that cannot be used is shown as it was written, and refused as if it were typed.
   * @param {string} id @param {string} text such as `26 N·m`, or the id of an option
   */
  function put(id, text) {
    const input = calculator.inputs.find((one) => one.id === id)
    if (!input) return
    const { box, choice } = partsOf(input)
    unknown.delete(id)
    if (input.kind === 'picked') {
      box.value = text
      if (text && !input.options[text]) unknown.set(id, text)
      return
    }
    const got = amount(text, input, choice ? [...choice.options].map((one) => one.value) : [input.unit])
    box.value = got.number
    if (choice && got.unit) choice.value = got.unit
  }

  /** @returns {Read} */
  function read() {
    /** @type {Read} */
    const found = { values: {}, missing: new Map(), given: [], units: {}, texts: {}, state: '' }
    const trust = [calculator.state]
    for (const input of calculator.inputs) {
      const { field, box, choice } = partsOf(input)
      const { id, label } = input
      if (input.kind === 'picked') {
        const option = input.options[box.value]
        if (option) {
          Object.assign(found.values, option.gives)
          found.given.push(`${label}: ${option.label}`)
          trust.push(option.state)
          unknown.delete(id)
        } else found.missing.set(id, label)
        found.texts[id] = box.value
        const asked = unknown.get(id)
        const none = asked === undefined ? (input.optional ? '' : 'Choose one.') : `“${asked}” is none of the choices. Choose one.`
        tell(field, box, option ? '' : none, !option && asked !== undefined)
      } else {
        const symbol = choice?.value ?? input.unit
        const typed = box.value.trim()
        const told = reading(input, box.value, symbol)
        found.units[id] = symbol
        found.texts[id] = typed && symbol !== '1' ? `${typed} ${symbol}` : typed
        if (told.si === undefined) found.missing.set(id, label)
        else {
          found.values[id] = told.si
          found.given.push(`${label} ${told.shown}`)
        }
        tell(field, box, typed || !input.optional ? told.say : '', told.si === undefined && typed !== '')
      }
      const from = trusted[id]
      if (from?.state && from.text === found.texts[id]) trust.push(from.state)
    }
    // A result is no better than the poorest number it rests on.
    found.state = states[Math.max(...trust.map((one) => states.indexOf(one)))] ?? calculator.state
    return found
  }

  return {
    put,
    read,
    /** What a unit gave counts with its state for as long as it stands in its field. @param {Record<string, string>} given states by input */
    trust(given) {
      const { texts } = read()
      trusted = Object.fromEntries(Object.entries(given).map(([id, state]) => [id, { text: texts[id] ?? '', state }]))
    },
  }
}
