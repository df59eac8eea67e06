// Draws the tightening order from data: data-pattern, data-count. Each bolt carries its place in the order.
import { positions, sequence } from '../lib/sequence.js'

const SVG = 'http://www.w3.org/2000/svg'
const WORDS = {
  published: 'Cross pattern as published (ASME PCC-1)',
  ours: 'Our order, not a standard',
  practice: 'Common practice',
}

/**
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {string} [text]
 * @returns {SVGElement}
 */
export function make(name, attributes, text) {
  const element = document.createElementNS(SVG, name)
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value))
  if (text !== undefined) element.textContent = text
  return element
}

/**
 * @param {import('../lib/sequence.js').Pattern} pattern
 * @param {number} count
 * @returns {{svg: SVGElement, standing: keyof typeof WORDS, bolts: SVGElement[]}} `bolts` by bolt number
 */
export function drawing(pattern, count) {
  const { order, standing } = sequence(pattern, count)
  const flat = pattern === 'rail' || pattern === 'inline'
  const radius = count > 16 ? 6.4 : count > 10 ? 7.4 : 8.8
  const [wide, high] = flat ? [64, 44] : [40, 40]
  const at = positions(pattern, count).map(({ x, y }) => ({ x: x * wide, y: y * high }))
  const frame = { x: -wide - 14, y: -(flat ? high / 2 : high) - 14 }
  const svg = make('svg', {
    class: 'diagram',
    viewBox: `${frame.x} ${frame.y} ${-2 * frame.x} ${-2 * frame.y}`,
    role: 'img',
    'aria-label': `Tightening order by bolt, clockwise from the top: ${order.join(', ')}`,
  })
  svg.append(
    flat
      ? make('rect', { x: frame.x + 1, y: frame.y + 1, width: -2 * frame.x - 2, height: -2 * frame.y - 2, rx: 8, 'stroke-width': 1.5 })
      : make('circle', { r: wide + 12.5, 'stroke-width': 1.5 })
  )
  const line = order.slice(0, 4).map((bolt) => `${at[bolt - 1]?.x.toFixed(1)} ${at[bolt - 1]?.y.toFixed(1)}`)
  svg.append(make('path', { class: 'path', d: `M${line.join(' L')}` }))
  /** @type {SVGElement[]} */
  const bolts = []
  order.forEach((bolt, index) => {
    const place = at[bolt - 1] ?? { x: 0, y: 0 }
    const size = radius * 1.22
    const label = make('text', { x: place.x.toFixed(1), y: (place.y + size * 0.36).toFixed(1), 'font-size': size.toFixed(1) })
    label.textContent = String(index + 1)
    const group = make('g', { 'data-bolt': bolt })
    group.append(make('circle', { cx: place.x.toFixed(1), cy: place.y.toFixed(1), r: radius, 'stroke-width': 1.3 }), label)
    svg.append(group)
    bolts[bolt - 1] = group
  })
  return { svg, standing, bolts }
}

/** @param {HTMLElement} element */
export function start(element) {
  const pattern = /** @type {import('../lib/sequence.js').Pattern} */ (element.dataset.pattern)
  const { svg, standing } = drawing(pattern, Number(element.dataset.count))
  element.prepend(svg)
  const caption = element.querySelector('figcaption')
  if (caption) caption.textContent = WORDS[standing]
}
