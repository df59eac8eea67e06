// Amounts as the trade writes them, and how far a value is trusted: unverified, plausible, verified, conflict.
import { read } from './quantity.js'

/** @typedef {import('../types.js').Stated} Stated */
/** @typedef {import('../types.js').State} State */
/** @typedef {Record<string, {dimension: string, factor: number, offset: number, symbol?: string}>} Units by every spelling */
/** @typedef {'volume' | 'torque'} What */
/** @typedef {{ok: true, value: number, unit: string, si: number, dimension: string} | {ok: false, says: string, expected: string}} Parsed */

const AMOUNT = /^([-−]?\d+(?:\.\d+)?)\s+(\S.*)$/
const LONGEST = 30 // letters of a number: more digits than any quantity has
const FORM = 'a number, a space, a unit, such as 2.35 L'

/**
 * @param {unknown} raw @param {Units} units @param {string} [dimension] what it must measure
 * @returns {Parsed} never a guess: a bare number, a decimal comma and an unknown unit are refused in words
 */
export function parseAmount(raw, units, dimension = '') {
  if (typeof raw === 'number') return { ok: false, says: 'number without a unit', expected: FORM }
  if (typeof raw !== 'string') return { ok: false, says: 'not an amount', expected: FORM }
  const text = raw.trim()
  const match = AMOUNT.exec(text)
  if (!match) {
    const says = /^[-−]?\d+,\d/.test(text) ? 'decimal comma' : /^[-−]?\d+(\.\d+)?$/.test(text) ? 'number without a unit' : 'not an amount'
    return { ok: false, says, expected: FORM }
  }
  const [, number = '', symbol = ''] = match
  if (number.length > LONGEST) return { ok: false, says: 'number is too long', expected: `at most ${LONGEST} letters` }
  const unit = Object.hasOwn(units, symbol.trim()) ? units[symbol.trim()] : undefined
  if (!unit) return { ok: false, says: 'unknown unit', expected: `one of ${symbols(units, dimension).join(', ')}` }
  if (dimension && unit.dimension !== dimension) {
    return { ok: false, says: `wrong kind of unit: this is a ${dimension}`, expected: `one of ${symbols(units, dimension).join(', ')}` }
  }
  const value = Number(number.replace('−', '-'))
  return { ok: true, value, unit: symbol.trim(), si: value * unit.factor + unit.offset, dimension: unit.dimension }
}

/** @param {Units} units @param {string} dimension @returns {string[]} the symbols of a dimension, all where it is '' */
export const symbols = (units, dimension) =>
  Object.keys(units).filter((one) => (units[one]?.symbol ?? one) === one && (!dimension || units[one]?.dimension === dimension))

/**
 * @param {string} typed as typed in a field @param {string} unit @param {boolean} [minus]
 * @returns {{ok: true, text: string} | {ok: false, says: string}} digits as typed, so that 2.50 stays 2.50
 */
export function amountText(typed, unit, minus = false) {
  const got = read(typed, minus)
  if (!got.ok) return { ok: false, says: got.why }
  return { ok: true, text: `${typed.trim().replace(/^\+/, '').replace(/^[−–]/, '-').replace(',', '.')} ${unit}` }
}

const FAR = 0.05 // two values further apart than this are in conflict
/** How a fill says that it was measured so; with it the measurement is as good as a fill can be known. */
export const TO_LEVEL = 'To the level rule, on level ground.'
// What speaks for itself about this one unit. Common practice and hearsay of no source never support another value.
const WITNESS = ['service-manual-page', 'unit-tag-or-casting', 'owner-measured', 'supplier-data-sheet', 'previous-owner-note']
// Which source wins, best first: a fill measured to level beats any written one; for torque the manual page beats all.
const RANK = {
  volume: ['owner-measured', 'service-manual-page', 'unit-tag-or-casting', 'supplier-data-sheet'],
  torque: ['service-manual-page', 'unit-tag-or-casting', 'supplier-data-sheet', 'owner-measured'],
}

/** @param {What} what @param {string} source @returns {number} 0 is best */
export function rank(what, source) {
  const place = RANK[what].indexOf(source)
  return place < 0 ? RANK[what].length : place
}

/** @param {Stated} one @param {What} what @returns {boolean} whether it is verified by the rule, with no other value needed */
export function sure(one, what) {
  if (one.source === 'service-manual-page') return Boolean(one.page?.trim())
  return what === 'volume' && one.source === 'owner-measured' && Boolean(one.note?.startsWith(TO_LEVEL))
}

/** @param {number} a @param {number} b @returns {boolean} whether two values differ by more than 5 % of the smaller */
export const apart = (a, b) => Math.abs(a - b) > FAR * Math.min(Math.abs(a), Math.abs(b)) * (1 + 1e-9)

/**
 * @param {Stated[]} values of the same thing @param {What} what @param {Units} units
 * @returns {State} by the rule: values over 5 % apart are a conflict; a manual page seen, or a fill measured to level,
 *   is verified; two independent sources that agree are plausible; anything else is unverified
 */
export function stateOf(values, what, units) {
  const live = values.filter((one) => one.state !== 'superseded')
  const si = live.map((one) => si_(one, units))
  if (si.some((a, index) => si.slice(index + 1).some((b) => apart(a, b)))) return 'conflict'
  if (live.some((one) => one.state === 'verified' || sure(one, what))) return 'verified'
  const witnesses = new Set(live.map((one) => one.source).filter((one) => WITNESS.includes(one)))
  return witnesses.size > 1 || live.some((one) => one.state === 'plausible') ? 'plausible' : 'unverified'
}

/** @param {Stated} one @param {Units} units @returns {number} */
function si_(one, units) {
  const got = parseAmount(one.value, units)
  return got.ok ? got.si : NaN
}

/** @param {Stated} one @param {What} what @returns {Stated} alone, with the state that it has by itself */
function alone({ other: _, ...one }, what) {
  const state = one.state === 'superseded' || one.state === 'plausible' || one.state === 'verified' ? one.state : 'unverified'
  return { ...one, state: state !== 'superseded' && sure(one, what) ? 'verified' : state }
}

/**
 * Values of one thing in one record: the best one stands first, with the state of them all.
 * @param {Stated[]} values one at least @param {What} what @param {Units} units
 * @returns {Stated}
 */
export function merged(values, what, units) {
  const all = values.map((one) => alone(one, what))
  const state = stateOf(all, what, units)
  const place = (/** @type {Stated} */ one) =>
    (one.state === 'superseded' ? 100 : 0) + (state !== 'conflict' && one.state !== 'verified' ? 10 : 0) + rank(what, one.source)
  const [first, ...rest] = all.map((one, index) => ({ one, index })).sort((a, b) => place(a.one) - place(b.one) || a.index - b.index).map(({ one }) => one)
  return { .../** @type {Stated} */ (first), state, ...(rest.length ? { other: rest } : {}) }
}

/**
 * A value beside those that are there: nothing is overwritten, but the same value from the same source is told once.
 * @param {Stated | undefined} there @param {Stated} added @param {What} what @param {Units} units
 * @returns {Stated}
 */
export function beside(there, added, what, units) {
  const same = (/** @type {Stated} */ one) => one.state !== 'superseded' && one.source === added.source
    && Math.abs(si_(one, units) - si_(added, units)) <= 1e-9 * Math.abs(si_(added, units))
  const kept = there ? [there, ...(there.other ?? [])].filter((one) => !same(one)) : []
  return merged([...kept, added], what, units)
}

/**
 * A conflict settled by recording: the value that is sure stands, all others stay as superseded.
 * @param {Stated} there @param {Stated} found must be sure @param {What} what
 * @returns {Stated}
 */
export function settled(there, found, what) {
  if (!sure(found, what)) throw new RangeError('only a manual page read, or a fill measured to level, settles a conflict')
  const others = [there, ...(there.other ?? [])].map((one) => /** @type {Stated} */ ({ ...alone(one, what), state: 'superseded' }))
  return { ...alone(found, what), state: 'verified', other: others }
}
