// How much of the old fluid is left after each partial change, and where the target lies.
import { format } from '../lib/quantity.js'
import { axes } from './axes.js'
import { inUnit, outputOf, paper, plain, waits } from './paper.js'

/** More bars than these cannot be told apart on a phone. */
const MOST = 24

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values, results } = facts
  const output = outputOf(calculator, 'left')
  if (!output || waits(place, facts, ['total', 'each'])) return
  const left = (/** @type {number} */ changes) => inUnit(calculator.work({ ...values, changes }).left ?? NaN, '%')
  const goal = 100 - inUnit(values.target ?? NaN, '%')
  const needed = Math.ceil((results.needed ?? NaN) - 1e-9)
  const wanted = Math.max(4, Number.isFinite(needed) ? needed + 1 : 0, values.changes ?? 0)
  const last = Math.min(MOST, Math.ceil(wanted))

  const sheet = paper(place, 260)
  const counts = Array.from({ length: last + 1 }, (_, count) => count)
  const frame = axes(sheet,
    { from: -0.6, to: last + 0.6, ticks: last > 12 ? counts.filter((count) => count % 4 === 0) : counts, title: 'Changes' },
    { from: 0, to: 100, ticks: [0, 20, 40, 60, 80, 100], title: 'Old fluid left, %' }, { above: 16 })
  const hatch = sheet.hatch()
  const half = 0.36 * (frame.px(1) - frame.px(0))
  for (const count of counts) {
    const top = frame.py(left(count))
    const reached = left(count) <= goal + 1e-9
    sheet.shape('rect', { x: (frame.px(count) - half).toFixed(2), y: top.toFixed(2), width: (2 * half).toFixed(2),
      height: Math.max(0, frame.bottom - top).toFixed(2), fill: reached ? 'currentColor' : hatch, 'data-changes': count })
  }
  const line = frame.py(goal)
  sheet.avoid([[frame.left, line], [frame.right, line]])
  for (const count of counts) {
    const [x, y] = [frame.px(count), frame.py(left(count)) - 10]
    /** @type {import('./paper.js').Spot[]} */
    const spots = [[x, y], [x, Math.min(y, line - 11)]]
    if (left(count) >= 0.01 && !sheet.say(format(left(count), 3), ...spots)) sheet.say(format(left(count), 2), ...spots)
  }
  if (Number.isFinite(goal)) {
    sheet.path(`M${frame.left} ${line.toFixed(1)}H${frame.right}`, { 'stroke-dasharray': '6 3', 'data-target': '' })
    const ends = [11, 28, 45, 62, 79].flatMap((over) => [line - over, line + over]).filter((y) => y > frame.top && y < frame.bottom - 8)
    sheet.say(`target ${plain(goal)} %`, ...ends.map((y) => /** @type {import('./paper.js').Spot} */ ([frame.right, y, 'end'])))
  }

  const share = (/** @type {number} */ number) =>
    number > 0 && number < 0.01 ? '<0.01' : number > 99.99 && number < 100 ? '>99.99' : format(number, number > 99 && number < 100 ? 4 : output.digits)
  const told = Number.isFinite(needed) && Number.isFinite(goal) ? `${needed} ${needed === 1 ? 'change reaches' : 'changes reach'} the target of ${plain(goal)} % old fluid.` : ''
  sheet.tell(told, ['Changes', 'Old left', 'Fresh'], counts.map((count) => [plain(count), share(left(count)), share(100 - left(count))]), [
    Number.isFinite(goal) ? 'Solid: the target is reached. Hatched: not yet.' : '',
    wanted > last ? `Only the first ${last} changes are drawn.` : '',
  ], '%')
}
