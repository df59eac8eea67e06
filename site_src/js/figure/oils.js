// Up to three oils from cold start to hot axle. The scales are those of ASTM D341, where its equation is a straight line.
import { grades } from '../data/grades.js'
import { format, ticks, withUnit } from '../lib/quantity.js'
import { along, axes, trace } from './axes.js'
import { fromUnit, inputOf, inUnit, outputOf, paper, plain, typed, waits, WIDE } from './paper.js'

/** @typedef {{name: string, dash: string, kv40: number, kv100: number}} Oil */

const HUNDRED = 373.15
/** Told apart by the kind of line, and by a letter at its cold end. */
const OILS = [['A', '', ''], ['B', '_b', '9 4'], ['C', '_c', '2 4']]
/** In mm²/s: the decades, then what lies between while there is room. */
const THICK = [10, 100, 1000, 10_000, 100_000, 5, 20, 3, 2, 50, 200, 500, 5000, 50_000]
/** The equation holds above this, in mm²/s. */
const LEAST = 2
/** Thicker than this, in mm²/s, an oil no longer flows to a bearing. */
const MOST = 100_000
const MM2 = 1e-6
/** Over the frame, for each of the lines that the user's own temperatures make: they may lie close together. */
const ROWS = 18

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values } = facts
  const [input, output] = [inputOf(calculator, 'temp'), outputOf(calculator, 'nu')]
  if (!input || !output || waits(place, facts, ['kv40', 'kv100'])) return
  const unit = facts.units.temp ?? input.unit
  const oils = OILS.flatMap(([name = '', key, dash = '']) => {
    const [kv40, kv100] = [values[`kv40${key}`] ?? NaN, values[`kv100${key}`] ?? NaN]
    return kv100 < kv40 ? [{ name, dash, kv40, kv100 }] : []
  })
  const at = (/** @type {Oil} */ { kv40, kv100 }, /** @type {number} */ temp) =>
    temp < input.min[0] - 1e-6 || temp > input.max[0] + 1e-6 ? NaN : calculator.work({ kv40, kv100, temp }).nu ?? NaN

  const marks = marksOf(values)
  const [from, to] = [Math.min(input.min[0], ...marks.map(({ si }) => si)), Math.max(input.max[0], ...marks.map(({ si }) => si))]
  const drawn = oils.flatMap((oil) => [at(oil, input.min[0]), at(oil, input.max[0])])
  const bands = grades.filter(({ grade }) => Number(grade) >= 75 && Number(grade) <= 140)
  const low = Math.max(LEAST * MM2, Math.min(5 * MM2, ...drawn))
  const high = Math.min(MOST * MM2, Math.max(100 * MM2, ...drawn))

  const sheet = paper(place, 400)
  const [left, right] = [inUnit(from, unit), inUnit(to, unit)]
  const round = ticks(left, right, 12)
  const frame = axes(sheet,
    { from: left, to: right, ticks: ticks(left, right, 6), title: `${input.label}, ${unit}`, scale: (value) => Math.log10(fromUnit(value, unit)) },
    { from: low / MM2, to: high / MM2, ticks: THICK.filter((tick) => tick >= low / MM2 && tick <= high / MM2),
      title: `${output.label}, mm²/s`, scale: double },
    { above: marks.length ? 8 + ROWS * marks.length : 0, beside: bands.length ? 66 : 14 })
  const px = (/** @type {number} */ si) => frame.px(inUnit(si, unit))
  const py = (/** @type {number} */ nu) => frame.py(nu / MM2)

  if (from < input.min[0] - 1e-6) {
    sheet.shape('rect', { x: frame.left, y: frame.top, width: px(input.min[0]) - frame.left, height: frame.bottom - frame.top,
      fill: sheet.hatch(), stroke: 'none' })
  }
  ladder(sheet, bands, px(HUNDRED), frame, py)
  for (const { si, words } of marks) {
    const across = px(si)
    sheet.path(`M${across.toFixed(1)} ${frame.top - 4}V${frame.bottom}`, { 'stroke-dasharray': '6 3' })
    const said = `${words} ${typed(si, unit)}`
    const wide = sheet.width(said)
    const beside = Math.max(wide / 2, Math.min(across, frame.right + 40 - wide / 2))
    sheet.say(said, [beside, frame.top - 20], [beside, frame.top - 20 - ROWS])
  }
  const runs = oils.map((oil) => {
    const points = along(input.min[0], input.max[0]).map((temp) => /** @type {[number, number]} */ ([inUnit(temp, unit), at(oil, temp) / MM2]))
    const seen = points.filter(([, nu]) => nu >= (low / MM2) * 0.999 && nu <= (high / MM2) * 1.001)
    sheet.path(trace(frame, seen), { class: 'run', 'data-oil': oil.name, ...(oil.dash ? { 'stroke-dasharray': oil.dash } : {}) })
    const here = values.temp ?? NaN
    if (at(oil, here) >= low && at(oil, here) <= high) sheet.shape('circle', { class: 'here', cx: px(here).toFixed(1), cy: py(at(oil, here)).toFixed(1), r: 5 })
    return seen.map(([temp, nu]) => /** @type {[number, number]} */ ([frame.px(temp), frame.py(nu)]))
  })
  for (const run of runs) sheet.avoid(run)
  if (oils.length > 1) {
    oils.forEach(({ name }, index) => {
      const beside = (runs[index] ?? []).slice(5, 50).flatMap(([x, y]) => /** @type {import('./paper.js').Spot[]} */ ([[x + 6, y - 12], [x - 6, y + 13]]))
      sheet.say(name, ...beside)
    })
  }

  const shown = (/** @type {Oil} */ oil, /** @type {number} */ si) =>
    Number.isFinite(at(oil, si)) ? within(at(oil, si) / MM2, output.digits) : 'none'
  const rows = [...round.map((tick) => ({ si: fromUnit(tick, unit), head: withUnit(plain(tick), unit) })),
    ...marks.map(({ si, words }) => ({ si, head: `${typed(si, unit)}, ${words}` }))].sort((one, other) => one.si - other.si)
  const graded = oils.map((oil) => `${oils.length > 1 ? `Oil ${oil.name} is ` : ''}SAE ${gradeOf(oil.kv100)} by its figure at 100 °C.`)
  sheet.tell(graded.join(' '), ['Oil at', ...oils.map(({ name }) => (oils.length > 1 ? `Oil ${name}` : output.label))],
    [...rows.map(({ si, head }) => [head, ...oils.map((oil) => shown(oil, si))]),
      ['SAE J306, by 100 °C', ...oils.map((oil) => gradeOf(oil.kv100))]],
    [from < input.min[0] - 1e-6 ? `Hatched: below ${typed(input.min[0], unit)} the equation says nothing.` : '',
      ...OILS.slice(1).filter(([name]) => !oils.some((oil) => oil.name === name)).map(([name, key]) => lacking(values, name, key))], 'mm²/s')
}

/** @param {number} nu mm²/s @param {number} digits */
const within = (nu, digits) => (nu > MOST ? `>${MOST}` : nu < LEAST * 0.999 ? `<${LEAST}` : format(nu, digits))

/** The double logarithm of ASTM D341, of a viscosity in mm²/s. @param {number} nu */
const double = (nu) => Math.log10(Math.log10(nu + 0.7))

/** @param {Record<string, number>} values @returns {{si: number, words: string}[]} */
const marksOf = ({ coldest, hot }) => [
  ...(coldest === undefined ? [] : [{ si: coldest, words: 'coldest' }]), ...(hot === undefined ? [] : [{ si: hot, words: 'hot' }]),
].filter(({ si }) => Number.isFinite(si))

/** @param {number} kv100 m²/s @returns {string} */
const gradeOf = (kv100) => grades.find(({ thin, thick }) => kv100 >= thin * (1 - 1e-12) && (thick === null || kv100 < thick * (1 - 1e-12)))?.grade ?? 'none'

/** @param {Record<string, number>} values @param {string} [name] @param {string} [key] */
function lacking(values, name, key) {
  const given = [values[`kv40${key}`], values[`kv100${key}`]].filter((one) => one !== undefined && Number.isFinite(one)).length
  if (given === 1) return `Oil ${name} is not drawn: it needs both of its figures.`
  return given === 2 ? `Oil ${name} is not drawn: an oil thins as it warms.` : ''
}

/**
 * The grades as rungs at 100 °C, their names to the right in two files, since one file has no room for all.
 * @param {import('./paper.js').Paper} sheet @param {{grade: string, thin: number, thick: number | null}[]} bands @param {number} across
 * @param {import('./axes.js').Frame} frame @param {(nu: number) => number} py
 */
function ladder(sheet, bands, across, frame, py) {
  if (!bands.length) return
  sheet.path(`M${across.toFixed(1)} ${frame.top}V${frame.bottom}`, { class: 'grid' })
  bands.forEach(({ grade, thin, thick }, index) => {
    const [bottom, top] = [py(thin), py(thick ?? thin)]
    sheet.path(`M${across.toFixed(1)} ${bottom.toFixed(1)}H${frame.right + 4}`, { class: 'grid', 'stroke-dasharray': '2 2' })
    if (index === bands.length - 1) sheet.path(`M${across.toFixed(1)} ${top.toFixed(1)}H${frame.right + 4}`, { class: 'grid', 'stroke-dasharray': '2 2' })
    sheet.shape('rect', { x: across - 4, y: top, width: 8, height: bottom - top, 'data-grade': grade, fill: index % 2 ? 'currentColor' : 'var(--paper)' })
    sheet.say(grade, [frame.right + (index % 2 ? 37 : 6), (top + bottom) / 2, 'start'])
  })
  sheet.say('SAE at', [WIDE, frame.top + 8, 'end'])
  sheet.say('100 °C', [WIDE, frame.top + 27, 'end'])
}
