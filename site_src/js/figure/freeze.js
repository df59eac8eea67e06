// Where a coolant freezes over its share of glycol, with the band of the published figures, and how far that is below
// the coldest start.
import { ticks, withUnit } from '../lib/quantity.js'
import { along, axes, trace } from './axes.js'
import { amount, inputOf, inUnit, outputOf, paper, paragraph, plain, typed, waits } from './paper.js'

/** Published figures differ by so much, in kelvin, where the calculator does not say. */
const BAND = 3

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values, results } = facts
  const [input, output] = [inputOf(calculator, 'share'), outputOf(calculator, 'freeze')]
  if (!input || !output || waits(place, facts, output.needs.filter((id) => id !== 'share'))) return
  const unit = inputOf(calculator, 'coldest') ? facts.units.coldest ?? output.unit : output.unit
  const at = (/** @type {number} */ share) => calculator.work({ ...values, share: share / 100 }).freeze ?? NaN
  const known = along(0, 100, 200).filter((share) => Number.isFinite(at(share)))
  const [first = NaN, last = NaN] = [known[0], known.at(-1)]
  if (!(last > first)) {
    place.replaceChildren(paragraph('No drawing for these figures.'))
    return
  }
  const here = inUnit(values.share ?? NaN, '%')
  const coldest = values.coldest ?? NaN
  const freezes = at(here)
  // The margin counts from the warm edge of the band, as the calculator reckons it.
  const margin = results.margin ?? NaN
  const taken = coldest - freezes - margin
  const band = taken > 0 ? taken : BAND
  const all = [...known.map(at).flatMap((si) => [si - band, si + band]), coldest].filter(Number.isFinite)
  const [low, high] = [inUnit(Math.min(...all), unit), inUnit(Math.max(...all), unit)]

  const sheet = paper(place, 300)
  const [from, to] = [Math.min(0, first), Math.max(Math.ceil(last / 10) * 10, Number.isFinite(here) ? Math.ceil(here / 10) * 10 : 0)]
  const frame = axes(sheet,
    { from, to, ticks: ticks(from, to, 7), title: `${input.label}, %` },
    { from: low, to: high, ticks: ticks(low, high, 6), title: `Freezing point, ${unit}` })
  const points = (/** @type {number} */ shift) => known.map((share) => /** @type {[number, number]} */ ([share, inUnit(at(share) + shift, unit)]))
  sheet.path(`${trace(frame, [...points(band), ...points(-band).reverse()])}Z`, { fill: sheet.hatch(), stroke: 'none' })
  sheet.path(trace(frame, points(0)), { class: 'run' })
  const [px, py] = [frame.px, (/** @type {number} */ si) => frame.py(inUnit(si, unit))]
  if (Number.isFinite(here)) sheet.path(`M${px(here).toFixed(1)} ${frame.top}V${frame.bottom}`, { 'stroke-dasharray': '2 3' })
  if (Number.isFinite(coldest)) sheet.path(`M${frame.left} ${py(coldest).toFixed(1)}H${frame.right}`, { 'stroke-dasharray': '6 3' })
  const kelvin = unit === '°F' ? 'Δ°F' : 'Δ°C'
  const words = `${margin < 0 ? 'short by' : 'margin'} ${amount(Math.abs(margin), kelvin, outputOf(calculator, 'margin')?.digits)}`
  if (Number.isFinite(margin)) {
    sheet.path(`M${px(here).toFixed(1)} ${py(freezes + band).toFixed(1)}V${py(coldest).toFixed(1)}`, { 'stroke-width': 5, 'data-margin': '' })
  }
  if (Number.isFinite(freezes)) sheet.shape('circle', { class: 'here', cx: px(here).toFixed(1), cy: py(freezes).toFixed(1), r: 6 })
  for (const shift of [-band, 0, band]) sheet.avoid(points(shift).map(([x, y]) => [px(x), frame.py(y)]))
  if (Number.isFinite(here)) sheet.avoid([[px(here), frame.top], [px(here), frame.bottom]])
  if (Number.isFinite(coldest)) sheet.avoid([[frame.left, py(coldest)], [frame.right, py(coldest)]])
  if (Number.isFinite(coldest)) {
    const [left, right, line] = [frame.left + 6, frame.right, py(coldest)]
    sheet.say(`coldest ${typed(coldest, unit)}`, [left, line + 11, 'start'], [left, line - 11, 'start'], [right, line - 11, 'end'], [right, line + 11, 'end'])
  }
  if (Number.isFinite(margin)) {
    const [x, y] = [px(here), (py(freezes + band) + py(coldest)) / 2]
    const over = py(coldest) - 12
    /** @type {import('./paper.js').Spot[]} */
    const spots = [y, over, over + 24, over - 18, over - 36, y + 22, y - 22, y + 40, y - 40].flatMap((height) => [[x - 8, height, 'end'], [x + 8, height, 'start']])
    sheet.say(words, ...spots)
  }
  const whole = (/** @type {number} */ si) => plain(Math.round(inUnit(si, unit)))
  const rows = [...new Set([...ticks(first, last, 7), last, here])].filter((share) => Number.isFinite(at(share))).sort((one, other) => one - other)
  sheet.tell([
    Number.isFinite(freezes) ? `At ${plain(here)} % it freezes at ${withUnit(whole(freezes), unit)}.` : '',
    Number.isFinite(margin) ? `Against ${typed(coldest, unit)}: ${words}.` : '',
  ].filter(Boolean).join(' '), ['Share', `Freezes at, ${unit}`, `Between, ${unit}`],
  rows.map((share) => [`${plain(share)} %`, whole(at(share)), `${whole(at(share) + band)} and ${whole(at(share) - band)}`]),
  [`Hatched: published figures differ by ${typed(band, kelvin)} up and down.`])
}
