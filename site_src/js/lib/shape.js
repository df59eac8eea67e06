// Says of a value out of a file whether it has the shape that the pages rely on, and in words where it has not.

/** @typedef {(value: any, path: string) => string} Shape '' where it fits; else where, what was expected, what was got */

const DEEP = 40
const LONG_LIST = 20_000
const HUGE = 1e15

/** @param {unknown} value @returns {string} */
function shown(value) {
  const text = typeof value === 'string' ? `"${value}"` : JSON.stringify(value) ?? String(value)
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

/** @param {string} expected @param {(value: any) => boolean} fits @returns {Shape} */
export const rule = (expected, fits) => (value, path) => (fits(value) ? '' : `${path} must be ${expected}, got ${shown(value)}`)

/** A word of the language itself names nothing of ours: a page that looks such a key up would find the language's own. */
const reserved = (/** @type {string} */ key) => key in {}

/** @param {number} [most] letters @returns {Shape} */
export const text = (most = 1_000_000) => rule(`text of at most ${most} letters`, (value) => typeof value === 'string' && value.length <= most)
export const id = rule('an id of letters, digits, - . : and _', (value) => typeof value === 'string' && /^[A-Za-z0-9][\w.:-]{0,99}$/.test(value) && !reserved(value))
/** What a page looks up by: no id, and no word of the language. */
export const word = rule('a word', (value) => typeof value === 'string' && value.length <= 200 && !reserved(value))
export const flag = rule('true or false', (value) => typeof value === 'boolean')
export const number = rule('a number', (value) => typeof value === 'number' && Math.abs(value) <= HUGE)
/** @param {number} least @param {number} [most] */
export const whole = (least, most = HUGE) => rule(`a whole number from ${least}`, (value) => Number.isInteger(value) && value >= least && value <= most)
/** @param {string[]} words */
export const one = (...words) => rule(`one of ${words.join(', ')}`, (value) => words.includes(value))
export const date = rule('a date such as 2026-04-18', (value) => typeof value === 'string' && real(value))

/** @param {string} iso @returns {boolean} whether the calendar has it */
function real(iso) {
  const match = /^(\d{4})-(\d\d)-(\d\d)$/.exec(iso)
  const [year = 0, month = 0, day = 0] = (match ?? []).slice(1).map(Number)
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
  return day >= 1 && day <= ([31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0)
}

/** @param {Shape} shape @returns {Shape} or null */
export const maybe = (shape) => (value, path) => (value === null ? '' : shape(value, path))

/** @param {Shape} a @param {Shape} b @returns {Shape} either; what is said is what the second says */
export const or = (a, b) => (value, path) => a(value, path) && b(value, path)

const mapping = rule('an object', (value) => typeof value === 'object' && value !== null && !Array.isArray(value))
const listing = rule(`a list of at most ${LONG_LIST}`, (value) => Array.isArray(value) && value.length <= LONG_LIST)

/** @param {Shape} shape @returns {Shape} */
export const list = (shape) => (value, path) => listing(value, path) || first(value.map((/** @type {unknown} */ each, /** @type {number} */ i) => () => shape(each, `${path}[${i}]`)))

/** @param {Shape} shape @returns {Shape} an object whose values are all of one shape */
export const map = (shape) => (value, path) => mapping(value, path) || first(Object.keys(value).map((key) => () => shape(value[key], `${path}.${key}`)))

/**
 * A key that is not named here is let through: a later version may have added it, and no page of this one asks for it.
 * @param {Record<string, Shape>} must @param {Record<string, Shape>} [may] @returns {Shape}
 */
export const object = (must, may = {}) => (value, path) => mapping(value, path) || first([
  ...Object.entries(must).map(([key, shape]) => () => (Object.hasOwn(value, key) ? shape(value[key], `${path}.${key}`) : `${path}.${key} is missing`)),
  ...Object.entries(may).map(([key, shape]) => () => (Object.hasOwn(value, key) ? shape(value[key], `${path}.${key}`) : '')),
])

/** @param {(() => string)[]} asked @returns {string} the first complaint */
function first(asked) {
  for (const ask of asked) {
    const says = ask()
    if (says) return says
  }
  return ''
}

/**
 * What no record may hold, whatever its shape: keys that the language uses, numbers out of all bounds, nests too deep.
 * @param {unknown} value as JSON.parse made it @param {string} path @param {number} [deep]
 * @returns {string}
 */
export function sane(value, path, deep = 0) {
  if (typeof value === 'number' && !(Math.abs(value) <= HUGE)) return `${path} is a number out of all bounds, got ${value}`
  if (typeof value !== 'object' || value === null) return ''
  if (deep > DEEP) return `${path} is nested too deep, more than ${DEEP} levels`
  if (Array.isArray(value)) return listing(value, path) || first(value.map((each, i) => () => sane(each, `${path}[${i}]`, deep + 1)))
  return first(Object.keys(value).map((key) => () =>
    (reserved(key) ? `${path} holds the key "${key}", which no record of this site has` : sane(/** @type {any} */ (value)[key], `${path}.${key}`, deep + 1))))
}
