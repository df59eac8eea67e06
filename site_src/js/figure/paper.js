// The sheet that a figure is drawn on: shapes below, labels above. A label takes the first of its spots where it lies
// on no other and sticks out nowhere; where there is none it is left out, and the table beneath still has the number.
import { units } from '../data/units.js'
import { format, fromSi, withUnit } from '../lib/quantity.js'
import { make } from '../ui/diagram.js'

/**
 * What every figure is drawn from, all values in SI. `values` holds the inputs that can be read and what picked options
 * give; `results` what the calculator's `work` gave, empty when refused; `missing` the inputs without a value, id to
 * label; `units` the unit picked in each typed input's field.
 * @typedef {{calculator: import('../data/calculator.js').Calculator, values: Record<string, number>,
 *   results: Record<string, number>, missing: Map<string, string>, refused: boolean, units: Record<string, string>}} Facts
 * @typedef {(place: HTMLElement, facts: Facts) => void} Draw every module of this folder that a calculator names as its
 *   figure exports `draw`; it fills the place anew, and says what it needs where something is missing
 * @typedef {[x: number, y: number, anchor?: 'start' | 'middle' | 'end']} Spot y is the middle of the text's height
 * @typedef {ReturnType<typeof paper>} Paper
 */

/** Units across every drawing. At 360 px one of them is a little more than a pixel. */
export const WIDE = 320
/** From a text's middle down to its base line, at the size that the stylesheet gives to labels. */
const BASE = 5

/** Sizes of texts once measured: measuring lays out the whole page, and the same ones come back with every key typed. @type {Map<string, DOMRect>} */
const sizes = new Map()

/** @param {HTMLElement} place @param {number} high */
export function paper(place, high) {
  const svg = make('svg', { viewBox: `0 0 ${WIDE} ${high}`, role: 'img' })
  const [shapes, labels] = [make('g', {}), make('g', {})]
  svg.append(shapes, labels)
  place.replaceChildren(svg)
  /** @type {Box[]} */
  const taken = []
  /** @type {Box[]} */
  const lines = []

  /** A text's box when it begins at 0 0. @param {string} text @param {Record<string, string | number>} [how] */
  function sizeOf(text, how = {}) {
    const key = JSON.stringify([text, how])
    let size = sizes.get(key)
    if (!size) {
      const label = /** @type {SVGGraphicsElement} */ (make('text', how, text))
      labels.append(label)
      size = label.getBBox()
      label.remove()
      if (size.width) sizes.set(key, size)
    }
    return size
  }

  /** @param {string} text @param {Record<string, string | number>} how @param {Spot[]} spots */
  function put(text, how, spots) {
    const { width, height, y: rise } = sizeOf(text, how)
    // Clear of the lines too while one of the spots is.
    for (const others of [[...taken, ...lines], taken]) {
      for (const [wanted, y, anchor = 'middle'] of spots) {
        const x = Math.min(Math.max(wanted, 1), WIDE - 1)
        const start = x - (anchor === 'start' ? 0 : anchor === 'end' ? width : width / 2)
        // One that stands across its point moves inwards at an edge rather than being cut.
        const left = anchor === 'middle' ? Math.min(Math.max(start, 1), WIDE - 1 - width) : start
        const box = { left, right: left + width, top: y + BASE + rise, bottom: y + BASE + rise + height }
        const inside = box.left >= 0 && box.right <= WIDE && box.top >= 0 && box.bottom <= high
        if (!inside || others.some((one) => meet(one, box))) continue
        taken.push(box)
        labels.append(make('text', { x: (x + left - start).toFixed(1), y: (y + BASE).toFixed(1), 'text-anchor': anchor, ...how }, text))
        return true
      }
    }
    return false
  }

  /** @param {string} id @param {string} d @param {number} size @param {number} turned */
  function pattern(id, d, size, turned) {
    const drawn = make('pattern', { id, width: size, height: size, patternUnits: 'userSpaceOnUse', patternTransform: `rotate(${turned})` })
    drawn.append(make('path', { d, 'stroke-width': 1.2 }))
    svg.prepend(drawn)
    return `url(#${id})`
  }

  return {
    high,
    /** @param {string} d @param {Record<string, string | number>} [how] */
    path: (d, how = {}) => shapes.append(make('path', { d, ...how })),
    /** @param {string} name @param {Record<string, string | number>} how */
    shape: (name, how) => shapes.append(make(name, how)),
    /** @param {string} text @returns {number} */
    width: (text) => sizeOf(text).width,
    /** @param {string} text @param {Spot[]} spots the best first @returns {boolean} whether there was room */
    say: (text, ...spots) => put(text, {}, spots),
    /** The same, heavy. @param {string} text @param {Spot[]} spots */
    stress: (text, ...spots) => put(text, { 'font-weight': 800 }, spots),
    /** Labels keep clear of a line where they can. @param {[x: number, y: number][]} points of the line, on the sheet */
    avoid(points) {
      points.slice(1).forEach(([x, y], index) => {
        const [before = 0, over = 0] = points[index] ?? []
        if (Number.isFinite(x + y + before + over)) {
          lines.push({ left: Math.min(x, before), right: Math.max(x, before), top: Math.min(y, over), bottom: Math.max(y, over) })
        }
      })
    },
    /** A fill of slanting lines, so that an area needs no colour. */
    hatch: () => pattern('hatch', 'M1 0V6', 6, 45),
    /** The fill of a liquid: broken level lines. */
    liquid: () => pattern('liquid', 'M0 2H7M6 8H12', 12, 0),
    /** Keep what is drawn with the answered attribute inside a shape. @param {string} id @param {Element} shape */
    within(id, shape) {
      const clip = make('clipPath', { id })
      clip.append(shape)
      svg.prepend(clip)
      return { 'clip-path': `url(#${id})` }
    },
    /**
     * What the drawing shows, for those who hear it, and its numbers beneath.
     * @param {string} words @param {string[]} heads @param {string[][]} rows @param {string[]} [notes] @param {string} [unit] of all numbers
     */
    tell(words, heads, rows, notes = [], unit = '') {
      const title = place.dataset.words ?? ''
      svg.setAttribute('aria-label', `${title}. ${words} The table beneath holds the numbers.`)
      place.append(...notes.filter(Boolean).map(paragraph), table(unit ? `${title}, ${unit}` : title, heads, rows))
    },
  }
}

/** @typedef {{left: number, right: number, top: number, bottom: number}} Box */
/** A little air between: a text is not quite as large at every size of the screen. @param {Box} one @param {Box} other */
const meet = (one, other) =>
  one.left < other.right + 3 && other.left < one.right + 3 && one.top < other.bottom + 1 && other.top < one.bottom + 1

/**
 * @param {HTMLElement} place @param {Facts} facts @param {string[]} ids the inputs that the figure cannot do without
 * @returns {boolean} whether there is nothing to draw; the place says why
 */
export function waits(place, { missing, refused }, ids) {
  const needs = ids.filter((id) => missing.has(id)).map((id) => missing.get(id))
  if (needs.length || refused) place.replaceChildren(paragraph(refused ? 'No drawing for these figures.' : `Needs: ${needs.join(', ')}`))
  return refused || needs.length > 0
}

/** @param {string} text */
export function paragraph(text) {
  const said = document.createElement('p')
  said.textContent = text.replaceAll(' °', '\u00a0°')
  return said
}

/** @param {string} words @param {string[]} heads @param {string[][]} rows */
function table(words, heads, rows) {
  const element = document.createElement('table')
  element.className = 'data'
  element.createCaption().textContent = words
  const [head, body] = [element.createTHead().insertRow(), element.createTBody()]
  for (const text of heads) head.append(heading(text, 'col'))
  for (const [first = '', ...rest] of rows) {
    const row = body.insertRow()
    row.append(heading(first, 'row'))
    for (const text of rest) row.insertCell().textContent = text
  }
  return element
}

/** @param {string} text @param {string} scope */
function heading(text, scope) {
  const cell = document.createElement('th')
  cell.scope = scope
  cell.textContent = text
  return cell
}

/** @param {string} symbol */
const unitOf = (symbol) => units[symbol] ?? { dimension: 'number', factor: 1, offset: 0 }

/** @param {number} si @param {string} symbol @returns {number} in that unit */
export const inUnit = (si, symbol) => fromSi(si, unitOf(symbol))

/** @param {number} number @param {string} symbol @returns {number} in SI */
export const fromUnit = (number, symbol) => number * unitOf(symbol).factor + unitOf(symbol).offset

/** @param {number} si @param {string} symbol @param {number} [digits] */
export const amount = (si, symbol, digits = 3) => withUnit(format(inUnit(si, symbol), digits), symbol)

/** The same without its unit, for a column that names it. @param {number} si @param {string} symbol @param {number} [digits] */
export const bare = (si, symbol, digits = 3) => format(inUnit(si, symbol), digits)

/** @param {number} si @param {string} symbol @param {number} decimals at most */
export const near = (si, symbol, decimals) => plain(Number(inUnit(si, symbol).toFixed(decimals)) + 0)

/** A number as it was typed or stands at an axis. @param {number} number */
export const plain = (number) => String(Number(number.toPrecision(5))).replace('-', '−')

/** @param {number} si @param {string} symbol @returns {string} as it was typed */
export const typed = (si, symbol) => withUnit(plain(inUnit(si, symbol)), symbol)

/** @param {import('../data/calculator.js').Calculator} calculator @param {string} id */
export const inputOf = (calculator, id) => /** @type {import('../data/calculator.js').Typed | undefined} */ (
  calculator.inputs.find((one) => one.id === id && one.kind === 'typed'))

/** @param {import('../data/calculator.js').Calculator} calculator @param {string} id */
export const outputOf = (calculator, id) => calculator.outputs.find((one) => one.id === id)
