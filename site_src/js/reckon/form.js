// What the pages of Work out that are more than one formula share: fields read and told, filled by the address, results
// shown, one line to copy.
import { amount, reading, tell } from '../ui/field.js'
import { copying } from './copy.js'

/** @typedef {import('../data/calculator.js').Typed & {whole?: boolean}} Input */
/** @typedef {import('../data/calculator.js').Picked} Picked */
/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/**
 * @typedef {{values: Record<string, number>, missing: Map<string, string>, given: string[]}} Figures `values` in SI, without
 *   what is empty and may be; `missing` by id, with its label, also where what is typed cannot be used
 * @typedef {{main: string, also?: string} | string} Answer a text alone says why there is none
 * @typedef {{answers: Record<string, Answer>, refused?: string, given?: string[], source: string, state: string}} Worked
 */

const ALL = 'Example figures. Type your own.'
const REST = 'What was not given are example figures. Type your own.'

/** @param {HTMLElement} root @param {string} [of] `inputs` or `made` @returns {Input[]} as the build declared them */
export const declared = (root, of = 'inputs') => JSON.parse(root.dataset[of] ?? '[]')

/** @param {ParentNode} box @param {string} id @returns {HTMLElement | null} */
export const fieldOf = (box, id) => box.querySelector(`[data-input="${id}"]`)

/** @param {ParentNode} box @param {string} id @returns {string} what stands in a field that is picked, a day or a time */
export const picked = (box, id) => /** @type {HTMLInputElement | HTMLSelectElement | null} */ (fieldOf(box, id)?.querySelector('input, select'))?.value ?? ''

/** @param {ParentNode} box @param {string} id @returns {string} the unit picked in a field */
export const unitIn = (box, id) => fieldOf(box, id)?.querySelector('select')?.value ?? ''

/** @param {ParentNode} box @param {string} id @param {string} say @param {boolean} wrong */
export function told(box, id, say, wrong) {
  const field = fieldOf(box, id)
  const entry = /** @type {HTMLElement | null} */ (field?.querySelector('input, select'))
  if (field && entry) tell(field, entry, say, wrong)
}

/** @param {ParentNode} box @param {Input[]} inputs @returns {Figures} */
export function gather(box, inputs) {
  /** @type {Figures} */
  const out = { values: {}, missing: new Map(), given: [] }
  for (const input of inputs) {
    const field = fieldOf(box, input.id)
    const entry = field?.querySelector('input')
    if (!field || !entry) continue
    const empty = !entry.value.trim()
    if (empty && input.optional) {
      tell(field, entry, '', false)
      continue
    }
    const got = reading(input, entry.value, unitIn(box, input.id) || input.unit)
    const parts = input.whole && got.si !== undefined && !Number.isInteger(got.si)
    if (got.si === undefined || parts) out.missing.set(input.id, input.label)
    else {
      out.values[input.id] = got.si
      out.given.push(`${input.label} ${got.shown}`)
    }
    tell(field, entry, parts ? 'Type a whole number.' : got.say, !empty && (got.si === undefined || Boolean(parts)))
  }
  return out
}

/** @param {ParentNode} box @param {Input} input @param {string} text such as `2.35 L` */
export function put(box, input, text) {
  const field = fieldOf(box, input.id)
  const [entry, unit] = [field?.querySelector('input'), field?.querySelector('select')]
  if (!entry) return
  const got = amount(text, input, unit ? [...unit.options].map(({ value }) => value) : [input.unit])
  entry.value = got.number
  if (unit && got.unit) unit.value = got.unit
}

/**
 * @param {HTMLElement} root
 * @param {{
 *   title: string, inputs?: Input[], picks?: string[], takes?: Picked[],
 *   fill?: (given: URLSearchParams) => void | Promise<void>, rest?: (given: (id: string) => boolean) => boolean,
 *   work: (figures: Figures) => Worked,
 * }} page `picks` are ids of fields that are picked, a day or a time, `takes` those that a unit fills; `fill` takes what else
 *   the address gives; `rest` says whether figures of the example are left beside those given: else any field that has its own
 * @returns {Promise<{update(): void}>} once the fields are filled and worked out
 */
export async function workForm(root, { title, inputs = declared(root), picks = [], takes = [], fill, rest, work }) {
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (root.querySelector(selector))
  const line = copying(find('[data-keep]'))
  /** What is called an example: all that stands there, the rest of it, or nothing. */
  let example = ALL
  let pause = 0
  /** What the address asks of a picked field that it does not have, until one is picked. @type {Map<string, string>} */
  const unknown = new Map()

  function update() {
    const figures = gather(root, inputs)
    for (const id of picks) {
      const value = picked(root, id)
      if (value) unknown.delete(id)
      const asked = unknown.get(id)
      told(root, id, asked === undefined ? '' : `“${asked}” is none that can be chosen here. Choose one.`, asked !== undefined)
    }
    const { answers, refused = '', given = [], source, state } = work(figures)
    find('[data-refused]').hidden = !refused
    find('[data-refused]').textContent = refused
    const got = Object.entries(answers).map(([id, answer]) => show(id, answer)).filter(Boolean)
    find('[data-example]').hidden = !example
    find('[data-example]').textContent = example
    const from = [...given, ...figures.given]
    line.value = got.length
      ? [(example === ALL ? 'Example figures. ' : example ? 'Example figures in part. ' : '') + title, got.join('; '), `from ${from.join(', ')}`, `source: ${source}`, state].join(' · ')
      : ''
    find('[data-copied]').textContent = ''
    clearTimeout(pause)
    pause = window.setTimeout(() => (find('[data-said]').textContent = refused || (got[0] ?? '')), 800)
  }

  /** @param {string} id @param {Answer} answer @returns {string} in words for the line, '' where there is none */
  function show(id, answer) {
    const place = find(`[data-output="${id}"]`)
    const { main, also = '' } = typeof answer === 'string' ? { main: '', also: answer } : answer
    place.classList.toggle('none', !main)
    const [big, small] = [place.querySelector('[data-value]'), place.querySelector('[data-also]')]
    if (big) big.textContent = main || '–'
    if (small) small.textContent = also
    // What keeps a line together on the page is a plain blank where it is pasted.
    return main && `${place.querySelector('.name')?.textContent}: ${main}${also ? ` (${also.replace(/\.$/, '')})` : ''}`.replaceAll('\u00a0', ' ')
  }

  root.addEventListener('input', (event) => {
    if (event.target === line) return
    example = ''
    update()
  })
  const asked = new URLSearchParams(location.search)
  const filled = await opened(root, [...inputs, ...takes], asked)
  for (const input of inputs) {
    const text = asked.get(input.id)
    if (text !== null) put(root, input, text)
  }
  for (const id of picks) {
    const text = asked.get(id)
    const entry = /** @type {HTMLInputElement | HTMLSelectElement | null} */ (fieldOf(root, id)?.querySelector('input, select'))
    if (text === null || !entry) continue
    entry.value = text
    if (entry.value !== text) unknown.set(id, text)
  }
  await fill?.(asked)
  const given = (/** @type {string} */ id) => asked.has(id) || filled.has(id)
  if (filled.size || [...asked.keys()].some((key) => key !== 'for' && key !== 'group')) {
    const left = inputs.some(({ id }) => {
      const entry = fieldOf(root, id)?.querySelector('input')
      return !given(id) && Boolean(entry?.value) && entry?.value === entry?.defaultValue
    })
    example = (rest ? rest(given) : left) ? REST : ''
  }
  update()
  return { update }
}

/**
 * Fill what a unit gives, `?for=thornback/rear-axle`, and say above the fields whose it is and what is not sure.
 * @param {HTMLElement} root @param {(Input | Picked)[]} inputs @param {URLSearchParams} asked
 * @returns {Promise<Set<string>>} the fields that were filled
 */
async function opened(root, inputs, asked) {
  const [unit, place] = [asked.get('for'), /** @type {HTMLElement | null} */ (root.querySelector('[data-from]'))]
  if (!unit || !place) return new Set()
  try {
    const { fromUnit, showUnit } = await import('./unit.js')
    const from = await fromUnit(/** @type {Calculator} */ ({ inputs }), unit, asked.get('group') ?? '')
    for (const input of inputs) {
      const found = from.given.fields[input.id]
      // What the unit should tell and does not is left to be typed: an example in its place would be taken for it.
      const entry = fieldOf(root, input.id)?.querySelector('input')
      // What was typed while the unit was read stays.
      if (entry && entry.value !== entry.defaultValue) continue
      if (input.kind === 'typed' && input.take) put(root, input, found?.text ?? '')
      else if (!found) continue
      else {
        const select = fieldOf(root, input.id)?.querySelector('select')
        if (select) select.value = found.text
      }
    }
    showUnit(place, /** @type {Calculator} */ ({ inputs }), from, '')
    return new Set(Object.keys(from.given.fields))
  } catch (error) {
    place.textContent = `Not filled from a unit. ${error instanceof Error ? error.message : String(error)}`
    place.setAttribute('role', 'alert')
    place.hidden = false
    return new Set()
  }
}
