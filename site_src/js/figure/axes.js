// Axes for a figure: a frame with round numbers, and where a value lies in it.
import { plain, WIDE } from './paper.js'

/**
 * @typedef {object} Axis
 * @property {number} from
 * @property {number} to
 * @property {number[]} ticks the more important first: one that has no room is left out, with its line
 * @property {string} title
 * @property {(value: number) => number} [scale] what is spread evenly; the value itself where nothing is said
 * @typedef {{px: (x: number) => number, py: (y: number) => number, left: number, right: number, top: number, bottom: number}} Frame
 */

/**
 * @param {import('./paper.js').Paper} paper
 * @param {Axis} x its title stands at the foot
 * @param {Axis} y its title stands at the top
 * @param {{above?: number, beside?: number}} [room] kept free over the frame and to its right
 * @returns {Frame}
 */
export function axes(paper, x, y, { above = 0, beside = 14 } = {}) {
  const [top, bottom] = [30 + above, paper.high - 48]
  const left = Math.ceil(Math.max(...y.ticks.map((tick) => paper.width(plain(tick))))) + 8
  const right = WIDE - beside
  const frame = { left, right, top, bottom, px: place(x, left, right), py: place(y, bottom, top) }
  paper.say(y.title, [0, 9, 'start'])
  paper.say(x.title, [WIDE, paper.high - 9, 'end'])
  for (const tick of y.ticks) {
    const at = frame.py(tick)
    if (paper.say(plain(tick), [left - 5, at, 'end'])) paper.path(`M${left} ${at.toFixed(1)}H${right}`, { class: 'grid' })
  }
  for (const tick of x.ticks) {
    const at = frame.px(tick)
    if (paper.say(plain(tick), [at, bottom + 19])) paper.path(`M${at.toFixed(1)} ${top}V${bottom}`, { class: 'grid' })
  }
  paper.path(`M${left} ${top}V${bottom}H${right}`)
  return frame
}

/** @param {Axis} axis @param {number} low @param {number} high @returns {(value: number) => number} */
function place({ from, to, scale = (value) => value }, low, high) {
  const [first, last] = [scale(from), scale(to)]
  return (value) => low + ((scale(value) - first) / (last - first || 1)) * (high - low)
}

/** @param {Frame} frame @param {[x: number, y: number][]} points @returns {string} a path, broken where there is no value */
export function trace({ px, py }, points) {
  let pen = 'M'
  return points.map(([x, y]) => {
    const [across, down] = [px(x), py(y)]
    if (!Number.isFinite(across + down)) {
      pen = 'M'
      return ''
    }
    const said = `${pen}${across.toFixed(1)} ${down.toFixed(1)}`
    pen = 'L'
    return said
  }).join('')
}

/** @param {number} from @param {number} to @param {number} [steps] @returns {number[]} evenly spread, both ends included */
export const along = (from, to, steps = 60) => Array.from({ length: steps + 1 }, (_, step) => from + ((to - from) * step) / steps)
