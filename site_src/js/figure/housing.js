// A round housing that lies on its side: its end and its side to the same scale, with the oil in it.
import { format, ticks, withUnit } from '../lib/quantity.js'
import { make } from '../ui/diagram.js'
import { amount, fromUnit, inputOf, inUnit, outputOf, paper, typed, waits, WIDE } from './paper.js'

const TOP = 16
const TALL = 150
const GAP = 26
/** A level that is as good as one of the round ones needs no row of its own. */
const NEAR = 1e-9

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values, results } = facts
  if (waits(place, facts, ['diameter', 'length'])) return
  const { diameter = NaN, length = NaN, level = NaN } = values
  const [inLevel, out] = [inputOf(calculator, 'level'), outputOf(calculator, 'volume')]
  const unit = facts.units.level ?? inLevel?.unit ?? 'mm'
  const volume = out?.unit ?? 'L'
  const scale = Math.min(TALL / diameter, (WIDE - 8 - GAP) / (diameter + length))
  const [wide, deep] = [diameter * scale, length * scale]
  const left = (WIDE - wide - GAP - deep) / 2
  const side = left + wide + GAP
  const bottom = TOP + wide
  const sheet = paper(place, bottom + 76)
  const [liquid, surface] = [sheet.liquid(), bottom - level * scale]
  const end = { cx: (left + wide / 2).toFixed(2), cy: (TOP + wide / 2).toFixed(2), r: (wide / 2).toFixed(2) }
  if (level > 0) {
    const box = { y: surface.toFixed(2), height: (bottom - surface).toFixed(2), fill: liquid, stroke: 'none' }
    sheet.shape('rect', { ...box, x: left, width: wide, ...sheet.within('end', make('circle', end)) })
    sheet.shape('rect', { ...box, x: side, width: deep })
    const half = Math.sqrt(Math.max(0, level * (diameter - level))) * scale
    sheet.path(`M${(left + wide / 2 - half).toFixed(2)} ${surface.toFixed(2)}h${(2 * half).toFixed(2)}M${side.toFixed(2)} ${surface.toFixed(2)}h${deep.toFixed(2)}`, { class: 'run', 'data-level': '' })
  }
  sheet.shape('circle', { ...end, 'data-end': '' })
  sheet.shape('rect', { x: side.toFixed(2), y: TOP, width: deep.toFixed(2), height: wide.toFixed(2), 'data-side': '' })
  sheet.say('end', [left + wide / 2, bottom + 14])
  sheet.say('side', [side + deep / 2, bottom + 14], [side + deep, bottom + 14, 'end'])
  const full = results.full ?? NaN
  const holds = results.volume ?? NaN
  const words = [`level ${typed(level, unit)} of ${typed(diameter, unit)}`, `${amount(holds, volume)} of ${amount(full, volume)}`]
  if (Number.isFinite(holds)) words.forEach((text, row) => sheet.stress(text, [WIDE / 2, bottom + 38 + 20 * row]))
  const at = (/** @type {number} */ height) => calculator.work({ ...values, level: height }).volume ?? NaN
  const round = ticks(0, inUnit(diameter, unit), 8).map((tick) => fromUnit(tick, unit))
  const rows = [...round, diameter, ...(Number.isFinite(holds) ? [level] : [])].sort((one, other) => one - other)
  const shown = (/** @type {number} */ height) => [typed(height, unit), withUnit(format(inUnit(at(height), volume), 3), volume)]
  sheet.tell(Number.isFinite(holds) ? `${words.join(', ')}.` : '', [inLevel?.label ?? 'Level', out?.label ?? 'Volume'],
    rows.filter((height, row) => row === 0 || height - (rows[row - 1] ?? 0) > NEAR).map(shown))
}
