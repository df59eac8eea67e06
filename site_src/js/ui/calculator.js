// A calculator's page: reads the fields as one types, works out, and says what stands in the way. Its fields come filled
// by the address (`?target=26 N·m&low=5`, each key an input, a choice by its id), by a unit (`?for=thornback/rear-axle`,
// and `&group=cover` for its bolts), or as they were left. The address wins; what a unit says now wins over what it said.
import { fieldsOf } from '../reckon/fields.js'
import { optional, refusal, showOutput, slips, waiting } from '../reckon/results.js'
import { copying } from '../reckon/copy.js'
import { leaving } from '../reckon/left.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../reckon/unit.js').FromUnit} FromUnit */

const ALL = 'Example figures. Type your own.'
const REST = 'What the unit does not give are example figures. Type your own.'

/** @param {HTMLElement} root */
export async function start(root) {
  const name = root.dataset.calculator ?? ''
  /** @type {{calculator: Calculator}} */
  const { calculator } = await import(`../data/calc/${name}.js`)
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (root.querySelector(selector))
  const figure = find('[data-figure]')
  const fields = fieldsOf(root, calculator)
  const may = optional(calculator)
  const address = new URLSearchParams(location.search)
  const [asked, group] = [address.get('for') ?? '', address.get('group') ?? '']
  const line = copying(find('[data-keep]'), () => ({ texts: fields.read().texts, asked, group }))
  /** What is called an example: all that stands there, the rest of it, or nothing. */
  let example = ALL
  let pause = 0
  /** What wants to know of every answer, once it is there. @type {((results: Record<string, number>) => void)[]} */
  const listeners = []

  function update() {
    const read = fields.read()
    const rule = refusal(calculator, read)
    const box = find('[data-refused]')
    box.hidden = !rule
    box.textContent = rule
    const results = rule ? {} : calculator.work(read.values)
    const got = calculator.outputs.map((output) => {
      const si = results[output.id] ?? NaN
      const waits = waiting(output, si, read, may)
      const why = rule && !waits.startsWith('Needs') ? 'Refused, see above.' : waits
      return showOutput(find(`[data-output="${output.id}"]`), output, si, why)
    }).filter(Boolean)
    const told = rule ? [] : slips(calculator, { ...read.values, ...results }, read, may)
    showSlips(find('[data-slips]'), told)
    find('[data-example]').hidden = !example
    find('[data-example]').textContent = example
    line.value = got.length
      ? [(example === ALL ? 'Example figures. ' : example ? 'Example figures in part. ' : '') + calculator.title, got.join('; '),
          `from ${read.given.join(', ')}`, `source: ${calculator.source}`, read.state].join(' · ')
      : ''
    const mark = find('[data-state]')
    mark.textContent = read.state
    mark.classList.toggle('un', read.state !== 'verified')
    find('[data-copied]').textContent = ''
    if (figure) void draw(figure, calculator, { values: read.values, results, missing: read.missing, refused: Boolean(rule), units: read.units })
    for (const listener of listeners) listener(results)
    clearTimeout(pause)
    pause = window.setTimeout(() => (find('[data-said]').textContent = rule || [got[0] ?? '', ...told].join(' ')), 800)
  }

  let unit = /** @type {FromUnit | null} */ (null)
  if (asked) unit = await opened(root, calculator, asked, group)
  const left = leaving(find('[data-left]'), `${name} ${unit ? `${asked} ${unit.given.group ? group : ''}` : ''}`.trim(), asked, group)
  /** @type {Record<string, string>} */
  const gives = Object.fromEntries(Object.entries(unit?.given.fields ?? {}).map(([id, { text }]) => [id, text]))
  if (unit) {
    const { given: { fields: given, gone } } = unit
    for (const [id, text] of Object.entries(gives)) fields.put(id, text)
    for (const { id } of gone) fields.put(id, '')
    fields.trust(Object.fromEntries(Object.entries(given).map(([id, { state }]) => [id, state])))
    const { texts } = fields.read()
    const rest = calculator.inputs.some(({ id }) => !(id in given) && texts[id])
    example = rest ? REST : ''
  }
  let more = ''
  const written = calculator.inputs.filter(({ id }) => address.has(id))
  if (written.length) {
    for (const { id } of written) fields.put(id, address.get(id) ?? '')
    example = ''
  } else {
    const before = left.before(gives)
    more = before.says
    if (before.fields) {
      for (const [id, text] of Object.entries(before.fields)) fields.put(id, text)
      example = ''
    }
  }
  if (unit) (await import('../reckon/unit.js')).showUnit(find('[data-from]'), calculator, unit, more)

  const changed = () => {
    example = ''
    left.keep(fields.read().texts, gives)
    update()
  }
  root.addEventListener('input', ({ target }) => {
    if (target instanceof Element && target.closest('[data-input]')) changed()
  })
  update()

  const back = /** @type {HTMLDetailsElement | null} */ (root.querySelector('[data-backwards]'))
  const unfold = async () => {
    const { backwards } = await import('../reckon/backwards.js')
    listeners.push(backwards(find('[data-back]'), calculator, fields.read, (id, text) => {
      fields.put(id, text)
      changed()
    }))
  }
  // It may have been opened before any script was there.
  if (back?.open) void unfold()
  else back?.addEventListener('toggle', unfold, { once: true })
  if (Object.keys(calculator.carry).length) {
    const { carrying } = await import('../reckon/carry.js')
    listeners.push(await carrying(root, calculator, unit ? asked : '', () => line.value))
    update()
  }
}

/**
 * @param {HTMLElement} root @param {Calculator} calculator @param {string} asked @param {string} group
 * @returns {Promise<FromUnit | null>} null where the unit cannot be had: that is said, and the page works without it
 */
async function opened(root, calculator, asked, group) {
  try {
    return await (await import('../reckon/unit.js')).fromUnit(calculator, asked, group)
  } catch (error) {
    const place = /** @type {HTMLElement} */ (root.querySelector('[data-from]'))
    const said = document.createElement('p')
    said.setAttribute('role', 'alert')
    said.textContent = `Not filled from a unit. ${error instanceof Error ? error.message : String(error)}`
    place.replaceChildren(said)
    place.hidden = false
    return null
  }
}

/** @param {HTMLElement} place @param {string[]} told */
function showSlips(place, told) {
  if (place.textContent === told.map((text) => `CAUTION ${text}`).join('')) return
  place.replaceChildren(...told.map((text) => {
    const [block, said, word] = [document.createElement('div'), document.createElement('p'), document.createElement('b')]
    block.className = 'warn caution'
    word.textContent = 'CAUTION'
    said.append(word, ` ${text}`)
    block.append(said)
    return block
  }))
}

/** @param {HTMLElement} place @param {Calculator} calculator @param {Omit<import('../figure/paper.js').Facts, 'calculator'>} facts */
async function draw(place, calculator, facts) {
  const { draw: drawn } = await import(`../figure/${calculator.figure}.js`)
  drawn(place, { calculator, ...facts })
}
