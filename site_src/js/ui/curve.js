// Draws one output over one input as an SVG, with the same numbers in a table beneath.
import { units } from '../data/units.js'
import { format, fromSi, logTicks, ticks, toSi, withUnit } from '../lib/quantity.js'

const SVG = 'http://www.w3.org/2000/svg'
const WIDE = 320
const HIGH = 250
const LEFT = 58
const RIGHT = 304
const TOP = 26
const BOTTOM = 204
const POINTS = 60

/** @typedef {import('../data/calculator.js').Calculator} Calculator */

/**
 * @param {HTMLElement} figure @param {Calculator} calculator @param {Record<string, number>} values
 * @param {Map<string, string>} missing inputs without a value @param {boolean} refused
 */
export function curve(figure, calculator, values, missing, refused) {
  const drawing = calculator.draw
  const input = calculator.inputs.find((one) => one.id === drawing?.x)
  const output = calculator.outputs.find((one) => one.id === drawing?.y)
  if (!drawing || !output || input?.kind !== 'typed') return
  const needs = output.needs.filter((id) => id !== input.id && missing.has(id))
  if (needs.length || refused) {
    const said = document.createElement('p')
    said.textContent = refused ? 'No curve for these figures.' : `Needs: ${needs.map((id) => missing.get(id)).join(', ')}`
    figure.replaceChildren(said)
    return
  }
  const picked = figure.ownerDocument.querySelector(`[data-input="${input.id}"] select`)
  const across = picked instanceof HTMLSelectElement ? picked.value : input.unit
  const [xUnit, yUnit] = [units[across], units[output.unit]]
  if (!xUnit || !yUnit) return
  const at = (/** @type {number} */ x) =>
    fromSi(calculator.work({ ...values, [input.id]: toSi(x, xUnit) })[output.id] ?? NaN, yUnit)
  const [from, to] = [fromSi(drawing.from, xUnit), fromSi(drawing.to, xUnit)]
  const points = Array.from({ length: POINTS + 1 }, (_, step) => {
    const x = from + ((to - from) * step) / POINTS
    return { x, y: at(x) }
  }).filter(({ y }) => Number.isFinite(y) && (!drawing.log || y > 0))
  if (points.length < 2) return
  const low = Math.min(...points.map(({ y }) => y))
  const high = Math.max(...points.map(({ y }) => y))
  const scale = drawing.log ? Math.log10 : (/** @type {number} */ y) => y
  const px = (/** @type {number} */ x) => LEFT + ((x - from) / (to - from)) * (RIGHT - LEFT)
  const py = (/** @type {number} */ y) =>
    BOTTOM - ((scale(y) - scale(low)) / (scale(high) - scale(low) || 1)) * (BOTTOM - TOP)

  const words = figure.dataset.words ?? ''
  const svg = make('svg', { viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img', 'aria-label': `${words}. The table beneath holds the numbers.` })
  const xs = ticks(from, to, 8)
  for (const x of xs) {
    svg.append(make('path', { class: 'grid', d: `M${px(x)} ${TOP}V${BOTTOM}` }))
    svg.append(label(px(x), BOTTOM + 18, 'middle', String(x).replace('-', '−')))
  }
  for (const y of drawing.log ? logTicks(low, high) : ticks(low, high)) {
    svg.append(make('path', { class: 'grid', d: `M${LEFT} ${py(y)}H${RIGHT}` }))
    svg.append(label(LEFT - 6, py(y) + 5, 'end', String(y)))
  }
  svg.append(label(0, 14, 'start', `${output.label}, ${output.unit}`))
  svg.append(label(WIDE, HIGH - 6, 'end', `${input.label}, ${across}`))
  svg.append(make('path', { class: 'run', d: 'M' + points.map(({ x, y }) => `${px(x).toFixed(1)} ${py(y).toFixed(1)}`).join('L') }))
  const si = values[input.id]
  const here = si === undefined ? NaN : fromSi(si, xUnit)
  if (here >= from && here <= to && Number.isFinite(at(here))) {
    svg.append(make('circle', { class: 'here', cx: String(px(here)), cy: String(py(at(here))), r: '6' }))
  }
  figure.replaceChildren(svg, table(xs.map((x) => [withUnit(String(x).replace('-', '−'), across),
    withUnit(format(at(x), output.digits), output.unit)]), [input.label, output.label], words))
}

/** @param {string} name @param {Record<string, string>} attributes */
function make(name, attributes) {
  const element = document.createElementNS(SVG, name)
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value)
  return element
}

/** @param {number} x @param {number} y @param {string} anchor @param {string} text */
function label(x, y, anchor, text) {
  const element = make('text', { x: x.toFixed(1), y: y.toFixed(1), 'text-anchor': anchor })
  element.textContent = text
  return element
}

/** @param {string[][]} rows @param {string[]} heads @param {string} words */
function table(rows, heads, words) {
  const element = document.createElement('table')
  element.className = 'data'
  element.createCaption().textContent = words
  const head = element.createTHead().insertRow()
  for (const text of heads) {
    const cell = document.createElement('th')
    cell.scope = 'col'
    cell.textContent = text
    head.append(cell)
  }
  const body = element.createTBody()
  for (const cells of rows) {
    const row = body.insertRow()
    for (const text of cells) row.insertCell().textContent = text
  }
  return element
}
