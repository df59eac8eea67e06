// A calculator's page: reads the fields as one types, works out, and says what stands in the way. Its fields may come
// filled by the address: `?target=26 N·m&low=5`, each key an input, a choice by its id.
import { states } from '../data/states.js'
import { units } from '../data/units.js'
import { format, fromSi, read, side, toSi, withUnit, word } from '../lib/quantity.js'
import { curve } from './curve.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../data/calculator.js').Output} Output */
/** @typedef {import('../data/calculator.js').Typed} Typed */

/** @param {string} symbol */
const unitOf = (symbol) => units[symbol] ?? { dimension: 'number', factor: 1, offset: 0 }

/** @param {HTMLElement} root */
export async function start(root) {
  /** @type {{calculator: Calculator}} */
  const { calculator } = await import(`../data/calc/${root.dataset.calculator}.js`)
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (root.querySelector(selector))
  const line = /** @type {HTMLTextAreaElement} */ (find('#line'))
  const figure = /** @type {HTMLElement | null} */ (root.querySelector('[data-curve]'))
  let untouched = true
  let pause = 0
  /** Choices asked for by the address that do not exist, as written, until one is picked. @type {Map<string, string>} */
  const unknown = new Map()

  /** Read every field: values in SI, the text for the line, and which inputs have no value yet. */
  function gather() {
    /** @type {Record<string, number>} */
    const values = {}
    /** @type {Map<string, string>} */
    const missing = new Map()
    /** @type {string[]} */
    const given = []
    const trust = [calculator.state]
    for (const input of calculator.inputs) {
      const field = find(`[data-input="${input.id}"]`)
      const box = /** @type {HTMLInputElement | HTMLSelectElement} */ (field.querySelector(`#in-${input.id}`))
      if (input.kind === 'picked') {
        const option = input.options[box.value]
        if (option) Object.assign(values, option.gives)
        else missing.set(input.id, input.label)
        if (option) given.push(`${input.label}: ${option.label}`)
        if (option) trust.push(option.state)
        if (option) unknown.delete(input.id)
        const asked = unknown.get(input.id)
        const none = asked === undefined ? 'Choose one.' : `“${asked}” is none of the choices. Choose one.`
        tell(field, box, option ? '' : none, !option && asked !== undefined)
        continue
      }
      const symbol = field.querySelector('select')?.value ?? input.unit
      const told = reading(input, box.value, symbol)
      if (told.si === undefined) missing.set(input.id, input.label)
      else {
        values[input.id] = told.si
        given.push(`${input.label} ${told.shown}`)
      }
      tell(field, box, told.say, told.si === undefined && box.value.trim() !== '')
    }
    // A result is no better than the poorest number it rests on.
    const state = states[Math.max(...trust.map((one) => states.indexOf(one)))] ?? calculator.state
    return { values, missing, given, state }
  }

  function update() {
    const { values, missing, given, state } = gather()
    const refused = calculator.refused(values)
    const rule = calculator.refuse.find((one, index) => refused[index] && !one.needs.some((id) => missing.has(id)))
    const box = find('[data-refused]')
    box.hidden = !rule
    box.textContent = rule ? rule.say : ''
    const results = rule ? {} : calculator.work(values)
    const answers = calculator.outputs.map((output) => show(output, results[output.id] ?? NaN, missing, Boolean(rule)))
    const got = answers.filter(Boolean)
    find('[data-example]').hidden = !untouched
    line.value = got.length
      ? [(untouched ? 'Example figures. ' : '') + calculator.title, got.join('; '), `from ${given.join(', ')}`,
          `source: ${calculator.source}`, state].join(' · ')
      : ''
    const mark = find('[data-state]')
    mark.textContent = state
    mark.classList.toggle('un', state !== 'verified')
    find('[data-copied]').textContent = ''
    if (figure) curve(figure, calculator, values, missing, Boolean(rule))
    clearTimeout(pause)
    pause = window.setTimeout(() => (find('[data-said]').textContent = rule ? rule.say : (got[0] ?? '')), 800)
  }

  /**
   * @param {Output} output @param {number} si @param {Map<string, string>} missing @param {boolean} refused
   * @returns {string} the answer in words for the line, empty where there is none
   */
  function show(output, si, missing, refused) {
    const place = find(`[data-output="${output.id}"]`)
    const big = /** @type {HTMLElement} */ (place.querySelector('[data-value]'))
    const also = /** @type {HTMLElement} */ (place.querySelector('[data-also]'))
    const waits = output.needs.filter((id) => missing.has(id))
    const answered = !waits.length && !refused && Number.isFinite(si)
    place.classList.toggle('none', !answered)
    if (!answered) {
      big.textContent = '–'
      const needs = waits.map((id) => missing.get(id)).join(', ')
      also.textContent = needs ? `Needs: ${needs}` : refused ? 'Refused, see above.' : 'No answer for these figures.'
      return ''
    }
    const shown = [output.unit, ...output.also].map((symbol) =>
      withUnit(format(fromSi(si, unitOf(symbol)), output.digits), symbol),
    )
    const said = word(fromSi(si, unitOf(output.unit)), output.words)
    const parts = output.onlyWords ? [said] : said ? [said, ...shown] : shown
    big.textContent = parts[0] ?? ''
    also.textContent = parts.slice(1).join(' · ')
    return `${output.label}: ${parts[0]}${parts.length > 1 ? ` (${parts.slice(1).join(', ')})` : ''}`
  }

  /** Fill what the address gives. What cannot be used is shown as it was written, and refused as if it were typed. */
  function fill() {
    const given = new URLSearchParams(location.search)
    for (const input of calculator.inputs) {
      const text = given.get(input.id)
      if (text === null) continue
      untouched = false
      const field = find(`[data-input="${input.id}"]`)
      const box = /** @type {HTMLInputElement | HTMLSelectElement} */ (field.querySelector(`#in-${input.id}`))
      if (input.kind === 'picked') {
        box.value = text
        if (!input.options[text]) unknown.set(input.id, text)
        continue
      }
      const choice = field.querySelector('select')
      const got = amount(text, input, choice ? [...choice.options].map((one) => one.value) : [input.unit])
      box.value = got.number
      if (choice && got.unit) choice.value = got.unit
    }
  }

  root.addEventListener('input', (event) => {
    if (event.target === line) return
    untouched = false
    update()
  })
  find('[data-copy]').addEventListener('click', async () => {
    const told = find('[data-copied]')
    if (!line.value) {
      told.textContent = 'Nothing to copy yet.'
      return
    }
    try {
      await navigator.clipboard.writeText(line.value)
      told.textContent = 'Copied.'
    } catch {
      // Plain http has no clipboard, and a browser may refuse: the line is there to be copied by hand.
      line.focus()
      line.select()
      told.textContent = 'Not copied. The line is selected: copy it by hand.'
    }
  })
  fill()
  update()
}

/**
 * @param {string} text such as `26 N·m` or `5,7`
 * @param {Typed} input
 * @param {string[]} offered units of the field
 * @returns {{number: string, unit: string}} for the field; a unit that is not offered becomes the input's own, and a
 *   text that cannot be read stands whole where the number would, so that nothing is guessed
 */
function amount(text, input, offered) {
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
function reading(input, text, symbol) {
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
function tell(field, box, say, wrong) {
  const place = /** @type {HTMLElement} */ (field.querySelector('[data-say]'))
  place.textContent = wrong ? `Not used. ${say}` : say
  field.classList.toggle('wrong', wrong)
  box.setAttribute('aria-invalid', String(wrong))
}
