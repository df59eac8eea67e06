// What a vehicle's sheet may hold, key by key: the shape of content/vehicles/<id>.yaml, told in words where it differs.
import { parseAmount } from './amounts.js'

/** @typedef {import('./amounts.js').Units} Units */
/** @typedef {{path: string, says: string, expected: string, got: string}} Problem */
/** @typedef {{units: Units, sources: Record<string, string>}} Known */
/** @typedef {(value: unknown, path: string, known: Known, out: Problem[]) => void} Rule */

const ID = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/
const LONGEST_LIST = 500
const WORDS = 400

/** @param {unknown} value @returns {string} */
export function shortly(value) {
  const text = typeof value === 'string' ? value : JSON.stringify(value) ?? String(value)
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

/** @param {string} key @returns {boolean} whether it is a word of the language, which no file may name its things by */
const reserved = (key) => key in {}

/** @param {string} expected @param {(value: any, known: Known) => boolean} fits @param {string} [says] @returns {Rule} */
const rule = (expected, fits, says = '') => (value, path, known, out) => {
  if (!fits(value, known)) out.push({ path, says: says || `must be ${expected}`, expected, got: shortly(value) })
}

const text = rule(`text of 1 to ${WORDS} letters`, (value) => typeof value === 'string' && value.length > 0 && value.length <= WORDS)
const flag = rule('true or false', (value) => typeof value === 'boolean')
const id = rule('an id such as rear-axle', (value) => typeof value === 'string' && ID.test(value) && !reserved(value))
export const isId = (/** @type {string} */ value) => ID.test(value) && !reserved(value)
const date = rule('a date such as 2022-06-11', (value) => typeof value === 'string' && realDate(value), 'not a date')
const source = rule('a source of this site', (value, { sources }) => typeof value === 'string' && Object.hasOwn(sources, value), 'unknown source')

/** @param {...string} words @returns {Rule} */
const word = (...words) => rule(`one of ${words.join(', ')}`, (value) => words.includes(value), 'unknown word')
/** @param {number} least @param {number} most @returns {Rule} */
const whole = (least, most) => rule(`a whole number from ${least} to ${most}`, (value) => Number.isInteger(value) && value >= least && value <= most)
/** @param {number} above @param {number} below @param {boolean} [closed] whether `below` itself is allowed @returns {Rule} */
const between = (above, below, closed = false) => rule(`a number over ${above} and ${closed ? 'up to' : 'under'} ${below}`,
  (value) => typeof value === 'number' && value > above && (closed ? value <= below : value < below))

/** @param {string} dimension @param {number} [least] in the amount's own unit @returns {Rule} */
const amount = (dimension, least = -Infinity) => (value, path, { units }, out) => {
  const got = parseAmount(value, units, dimension)
  if (!got.ok) out.push({ path, says: got.says, expected: got.expected, got: shortly(value) })
  else if (!Number.isFinite(got.si) || got.value < least) out.push({ path, says: 'out of its range', expected: `at least ${least} ${got.unit}`, got: shortly(value) })
}

/** @param {Rule} each @param {number} [least] @returns {Rule} */
const list = (each, least = 0) => (value, path, known, out) => {
  if (!Array.isArray(value)) return void out.push({ path, says: 'must be a list', expected: 'a list', got: shortly(value) })
  if (value.length < least || value.length > LONGEST_LIST) {
    out.push({ path, says: value.length < least ? 'too few entries' : 'too many entries', expected: `${least} to ${LONGEST_LIST}`, got: String(value.length) })
    return
  }
  value.forEach((one, index) => each(one, `${path}[${index}]`, known, out))
}

/** @param {unknown} value @param {string} path @param {Problem[]} out @returns {value is Record<string, unknown>} */
function mapping(value, path, out) {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return true
  out.push({ path, says: 'must be a mapping', expected: 'keys with values', got: shortly(value) })
  return false
}

/** @param {string} path @param {string} key */
const under = (path, key) => (path ? `${path}.${key}` : key)

/** @param {Rule} key @param {Rule} each @param {number} [least] @returns {Rule} */
const named = (key, each, least = 0) => (value, path, known, out) => {
  if (!mapping(value, path, out)) return
  const keys = Object.keys(value)
  if (keys.length < least || keys.length > LONGEST_LIST) {
    out.push({ path, says: keys.length < least ? 'too few entries' : 'too many entries', expected: `${least} to ${LONGEST_LIST}`, got: String(keys.length) })
    return
  }
  for (const one of keys) {
    key(one, under(path, one), known, out)
    each(value[one], under(path, one), known, out)
  }
}

/** @param {Record<string, Rule>} must @param {Record<string, Rule>} [may] @returns {Rule} */
const shape = (must, may = {}) => (value, path, known, out) => {
  if (!mapping(value, path, out)) return
  const all = { ...must, ...may }
  for (const key of Object.keys(value)) {
    if (Object.hasOwn(all, key)) /** @type {Rule} */ (all[key])(value[key], under(path, key), known, out)
    else out.push({ path: under(path, key), says: 'unknown key', expected: `one of ${Object.keys(all).join(', ')}`, got: shortly(key) })
  }
  for (const key of Object.keys(must)) {
    if (!Object.hasOwn(value, key)) out.push({ path, says: `‘${key}’ is missing`, expected: `a key ‘${key}’`, got: 'nothing' })
  }
}

/** @param {string} value @returns {boolean} whether the calendar has it */
function realDate(value) {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(value)
  if (!match) return false
  const [year, month, day] = match.slice(1).map(Number)
  const leap = Number(year) % 4 === 0 && (Number(year) % 100 !== 0 || Number(year) % 400 === 0)
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][Number(month) - 1]
  return Number(year) > 0 && days !== undefined && Number(day) >= 1 && Number(day) <= days
}

export const KINDS = ['axle-cover', 'axle-dropout', 'front-axle', 'swivel', 'transfer', 'manual-box', 'auto-box', 'engine', 'cooling',
  'brakes', 'steering', 'hub', 'propshaft', 'battery', 'belt', 'wheels', 'vehicle']
export const DIFFS = ['open', 'clutch-ls', 'cone-ls', 'gear-ls', 'locker', 'unknown']
export const THREADS = ['dry', 'oiled', 'anti-seize', 'sealant', 'new-plated', 'unknown']
export const PATTERNS = ['ring', 'rail', 'inline', 'single']
export const FILLS = ['refill', 'dry', 'additive', 'flush', 'swivel-each']
export const FASTENERS = ['cover', 'fill-plug', 'drain-plug', 'pan', 'wheel', 'hub-seat', 'hub-lock', 'hub-bolts', 'swivel-plug',
  'bleed-screw', 'flange', 'tensioner', 'joint', 'clamp']

export const FACES = ['cover', 'smooth']
export const SHAPES = ['round', 'flat-oval', 'tall-oval', 'egg', 'square', 'cornered']
/** Where the fill hole is on the face, as on a clock. */
export const HOURS = ['middle', ...Array.from({ length: 12 }, (_, hour) => `${hour + 1} o'clock`)]
export const PLUGS = ['straight', 'taper', 'push']
export const KEYS = ['square', 'hexagon', 'head']
export const DRAINS = ['present', 'none']
export const HOUSINGS = ['beam', 'independent']
export const ENDS = ['plain', 'swivels']

const origin = { source, state: word('unverified', 'plausible', 'verified', 'conflict', 'superseded') }
const told = { date, page: text, note: text }
const use = word('normal', 'severe')

/** @param {string} dimension @param {number} least @returns {Rule} a value with its origin and its rivals */
function stated(dimension, least) {
  /** @type {Rule} */
  const one = (value, path, known, out) => shape({ value: amount(dimension, least), ...origin }, { ...told, other: list(one) })(value, path, known, out)
  return one
}

const unit = shape(
  { code: text, kind: word(...KINDS), label: text, place: text },
  {
    words: list(text), opens_by: word('cover', 'plugs', 'pan'), cover: text,
    outline: shape({}, {
      face: word(...FACES), shape: word(...SHAPES), bolts: whole(3, 48), fill: word(...HOURS), plug: word(...PLUGS), key: word(...KEYS),
      drain: word(...DRAINS), housing: word(...HOUSINGS), ends: word(...ENDS), marks: text }),
    tag: text, ratio: between(0.5, 12),
    ring_teeth: whole(1, 200), pinion_teeth: whole(1, 200), diff: word(...DIFFS), yellow_metal: word('yes', 'no', 'unknown'),
    fluid: shape({ grade: text, category: text, ...origin }, { additive: word('none', 'included', 'separate', 'unknown'), ...told }),
    fills: named(word(...FILLS), stated('volume', 0)),
    level: shape({ low: amount('length'), high: amount('length'), below: text, ...origin }, { attitude: text, ...told }),
    plugs: named(word('fill', 'drain'), shape({ tool: text }, { thread: text, seal: text })),
    fasteners: named(word(...FASTENERS), shape(
      { name: text, count: whole(1, 48), thread: text, torque: stated('torque', 0), thread_state: word(...THREADS), pattern: word(...PATTERNS) },
      { class: text, stages: list(amount('share', 0)), then: text })),
    fill_hole_offset: amount('length'), oil_surface: amount('area', 0), note: text,
  })

/** @type {Rule} */
export const sheet = shape(
  {
    rev: whole(1, 1_000_000), name: text, short: text, invented: flag,
    odometer: shape({ unit: word('mi', 'km'), digits: whole(5, 7), reading: amount('length', 0), as_of: date }, { rollovers: whole(0, 9) }),
    coldest_start: amount('temperature'), severity: use,
    tyre_eras: list(shape({ since: amount('length', 0), size: text, factor: between(0.5, 2), method: word('size-code', 'roll-out', 'GPS-track'), ...origin },
      { since_date: date, ...told }), 1),
    units: named(id, unit, 1),
  },
  {
    model_year: whole(1930, 2035), wheelbase: amount('length', 0), kerb_mass: amount('mass', 0), rear_share: amount('share', 0),
    severity_eras: list(shape({ since: amount('length', 0), since_date: date, use })),
    service: list(shape({ units: list(id, 1), ...origin }, { distance: amount('length', 0), months: whole(1, 240), severe_factor: between(0, 1, true), ...told })),
    changed: list(shape({ rev: whole(1, 1_000_000), date, why: text })), note: text,
  })
