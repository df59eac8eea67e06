// One output over one input, the other inputs as typed.
import { format, logTicks, ticks, withUnit } from '../lib/quantity.js'
import { along, axes, trace } from './axes.js'
import { fromUnit, inputOf, inUnit, outputOf, paper, paragraph, plain, waits } from './paper.js'

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values } = facts
  const drawing = calculator.draw
  const input = inputOf(calculator, drawing?.x ?? '')
  const output = outputOf(calculator, drawing?.y ?? '')
  if (!drawing || !input || !output || waits(place, facts, output.needs.filter((id) => id !== input.id))) return
  const unit = facts.units[input.id] ?? input.unit
  const at = (/** @type {number} */ x) => inUnit(calculator.work({ ...values, [input.id]: fromUnit(x, unit) })[output.id] ?? NaN, output.unit)
  const [from, to] = [inUnit(drawing.from, unit), inUnit(drawing.to, unit)]
  const points = along(from, to).map((x) => /** @type {[number, number]} */ ([x, at(x)]))
  const drawn = points.map(([, y]) => y).filter((y) => Number.isFinite(y) && (!drawing.log || y > 0))
  if (drawn.length < 2) {
    place.replaceChildren(paragraph('No drawing for these figures.'))
    return
  }
  const [low, high] = spread(Math.min(...drawn), Math.max(...drawn))
  const xs = ticks(from, to, 8)
  const sheet = paper(place, 250)
  const frame = axes(sheet,
    { from, to, ticks: xs, title: titled(input.label, unit) },
    { from: low, to: high, ticks: drawing.log ? logTicks(low, high) : ticks(low, high), title: titled(output.label, output.unit),
      ...(drawing.log ? { scale: Math.log10 } : {}) })
  sheet.path(trace(frame, points), { class: 'run' })
  const si = values[input.id]
  const here = si === undefined ? NaN : inUnit(si, unit)
  const there = at(here)
  const shown = (/** @type {number} */ x) => [withUnit(plain(x), unit), withUnit(format(at(x), output.digits), output.unit)]
  const marked = here >= from && here <= to && Number.isFinite(there)
  if (marked) sheet.shape('circle', { class: 'here', cx: frame.px(here).toFixed(1), cy: frame.py(there).toFixed(1), r: 6 })
  sheet.tell(marked ? `At ${shown(here).join(' it is ')}.` : '', [input.label, output.label], xs.map(shown))
}

/** @param {string} label @param {string} unit */
const titled = (label, unit) => (unit === '1' ? label : `${label}, ${unit}`)

/** A line that neither rises nor falls lies in the middle. @param {number} low @param {number} high @returns {[number, number]} */
const spread = (low, high) => (high - low > 1e-9 * Math.abs(high) ? [low, high] : low === 0 ? [-1, 1] : [low - Math.abs(low) / 2, low + Math.abs(low) / 2])
