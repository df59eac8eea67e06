// Draws a final drive as its record tells it: one line drawing, and all of it in words for who cannot see it.
import { sketch } from '../lib/sketch.js'
import { make } from './diagram.js'

const [WIDE, HIGH, FACE] = [64, 50, 42]
const BROKEN = { 'stroke-dasharray': '3 3' }
const LINE = { fill: 'none', stroke: 'currentColor', 'stroke-width': 1.6 }

/** @param {import('../types.js').Outline} outline @returns {SVGElement} */
export function drawing(outline) {
  const told = sketch(outline)
  const svg = make('svg', { class: 'diagram', viewBox: `${-WIDE} ${-HIGH} ${2 * WIDE} ${2 * HIGH}`, width: 128, role: 'img', 'aria-label': told.says })
  const to = (/** @type {{x: number, y: number}} */ point) => ({ cx: (point.x * FACE).toFixed(1), cy: (point.y * FACE).toFixed(1) })
  for (const side of [-1, 1]) {
    if (told.housing === 'beam') svg.append(make('rect', { x: side < 0 ? -WIDE - 4 : 24, y: -9, width: 44, height: 18, 'stroke-width': 1.6 }))
    if (told.housing === 'independent') {
      svg.append(make('path', { ...LINE, d: `M${side * 36} -5H${side * WIDE}M${side * 36} 5H${side * WIDE}` }), make('circle', { cx: side * 52, cy: 0, r: 9, 'stroke-width': 1.6 }))
    }
    if (told.swivels) svg.append(make('circle', { cx: side * 60, cy: 0, r: 15, 'stroke-width': 1.6 }))
  }
  const edge = `M${told.edge.map(({ x, y }) => `${(x * FACE).toFixed(1)} ${(y * FACE).toFixed(1)}`).join('L')}Z`
  svg.append(make('path', { d: edge, fill: 'var(--sheet)', stroke: 'currentColor', 'stroke-width': 2, ...(told.known ? {} : BROKEN) }))
  for (const bolt of told.bolts) svg.append(make('circle', { ...to(bolt), r: 3, 'stroke-width': 1.3, ...(told.behind ? { 'stroke-dasharray': '2 1.5' } : {}) }))
  if (told.fill) {
    const { x, y } = { x: told.fill.x * FACE, y: told.fill.y * FACE }
    svg.append(make('circle', { ...to(told.fill), r: 6.5, 'stroke-width': 2 }))
    if (told.key === 'square') svg.append(make('rect', { x: x - 2.6, y: y - 2.6, width: 5.2, height: 5.2, 'stroke-width': 1.3 }))
    if (told.key === 'hexagon' || told.key === 'head') {
      const size = told.key === 'head' ? 5 : 3.2
      const corners = Array.from({ length: 6 }, (_, at) => `${(x + size * Math.cos((at * Math.PI) / 3)).toFixed(1)} ${(y + size * Math.sin((at * Math.PI) / 3)).toFixed(1)}`)
      svg.append(make('path', { ...LINE, d: `M${corners.join('L')}Z` }))
    }
  }
  if (told.drain) svg.append(make('circle', { ...to(told.drain), r: 4.5, 'stroke-width': 1.6 }), make('circle', { ...to(told.drain), r: 1.2, 'stroke-width': 1.3 }))
  return svg
}
