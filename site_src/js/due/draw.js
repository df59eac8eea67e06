// A unit over time: what was done above the line, what is due below it, today as a bar across. The same stands in a
// table beneath, for those who read and for readers of the screen.
import { h } from '../job/dom.js'
import { make } from '../ui/diagram.js'

/** @typedef {{from: string, to: string, marks: {at: string, kind: string, label: string, entry: string}[],
 *   bounds: {at: string, label: string, state: string}[]}} Timeline */

const [WIDE, LEFT, RIGHT, LINE] = [340, 12, 328, 74]
/** Shape by what was done, so that it reads without colour. @type {Record<string, string>} */
const SHAPES = { service: 'M-6 6V-6H6V6Z', event: 'M0-8L8 6H-8Z', look: 'M-5 0A5 5 0 1 0 5 0A5 5 0 1 0-5 0', other: 'M-6 0L0-6L6 0L0 6Z' }

/** @param {Timeline} line @param {string} today @param {string} base @returns {HTMLElement} */
export function timeline(line, today, base) {
  const [from, to] = [Date.parse(line.from), Date.parse(line.to)]
  const x = (/** @type {string} */ at) => LEFT + ((Date.parse(at) - from) / (to - from || 1)) * (RIGHT - LEFT)
  const svg = make('svg', { viewBox: `0 0 ${WIDE} 132`, class: 'timeline', role: 'img', 'aria-label': `${line.marks.length} entries and ${line.bounds.length} bounds from ${line.from} to ${line.to}; they stand in the table beneath` })
  svg.append(make('path', { d: `M${LEFT} ${LINE}H${RIGHT}`, class: 'axis' }))
  const [first, last] = [Number(line.from.slice(0, 4)) + 1, Number(line.to.slice(0, 4))]
  const every = Math.max(1, Math.ceil((last - first + 1) / 7))
  for (let year = first; year <= last; year += 1) {
    const at = x(`${year}-01-01`).toFixed(1)
    svg.append(make('path', { d: `M${at} ${LINE - 4}V${LINE + 4}`, class: 'axis' }))
    if ((last - year) % every === 0) svg.append(make('text', { x: at, y: 128, 'text-anchor': 'middle' }, String(year)))
  }
  // Marks that would lie on each other are stacked upwards.
  let [end, height] = [-99, 0]
  for (const mark of line.marks) {
    const at = x(mark.at)
    height = at - end < 14 ? (height + 1) % 4 : 0
    end = at
    const shape = make('path', { d: SHAPES[mark.kind] ?? SHAPES.other ?? '', transform: `translate(${at.toFixed(1)} ${LINE - 12 - height * 15})`, class: `mark ${mark.kind}` })
    shape.append(make('title', {}, `${mark.at} ${mark.label}`))
    svg.append(shape)
  }
  line.bounds.forEach((bound, index) => {
    const at = x(bound.at).toFixed(1)
    svg.append(make('path', { d: `M${at} ${LINE}V${LINE + 14 + (index % 3) * 9}`, class: `bound ${bound.state}` }),
      make('circle', { cx: at, cy: LINE + 16 + (index % 3) * 9, r: 4, class: `bound ${bound.state}` }))
  })
  const now = x(today).toFixed(1)
  svg.append(make('path', { d: `M${now} 8V${LINE + 36}`, class: 'today' }), make('text', { x: now, y: 8, 'text-anchor': Number(now) > 280 ? 'end' : 'middle' }, 'today'))
  return h('figure', { class: 'time' }, svg,
    h('figcaption', { class: 'of' }, 'Square: service. Round: look. Triangle: event. Below the line: when it is due.'),
    h('table', { class: 'cap' }, h('tbody', {},
      line.marks.map((mark) => h('tr', {}, h('th', { scope: 'row' }, mark.at), h('td', {}, h('a', { class: 'inline', href: `${base}log/?entry=${encodeURIComponent(mark.entry)}` }, mark.label)))),
      line.bounds.map((bound) => h('tr', {}, h('th', { scope: 'row' }, bound.at), h('td', {}, h('b', { class: 'word' }, bound.state), ` ${bound.label}`))))))
}
