// A vehicle's sheet held to its shape and its numbers to each other, as the build does with content/vehicles/. The
// phone refuses what the build would refuse, so that a file goes both ways; each problem says where, what, and what not.
import { apart, parseAmount } from './amounts.js'
import { sheet as whole } from './sheetshape.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {import('../types.js').Stated} Stated */
/** @typedef {import('./sheetshape.js').Problem} Problem */
/**
 * @typedef {import('./sheetshape.js').Known & {
 *   ceiling?: (thread: string, strength: string, threads: string) => number | null}} Known the most that a bolt takes, N·m
 */

const ADDITIVE_MOST = 0.15 // of the refill
const RATIO_APART = 0.01
const [LEAST, MOST] = [0.3, 1.05] // of the bolt's ceiling
const CANNOT_VERIFY = ['common-practice', 'previous-owner-note', 'unknown', 'from-memory']

// What the build refuses in every file of content: what is not seen, or turns the direction of writing.
const UNSEEN = /[\0-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff\ud800-\udfff]/u

/** @param {unknown} value @param {string} path @param {Problem[]} out */
function unseen(value, path, out) {
  const found = typeof value === 'string' ? UNSEEN.exec(value)?.[0].codePointAt(0) : undefined
  if (found !== undefined) out.push({ path, says: 'a letter that is not seen', expected: 'none of the kind', got: `U+${found.toString(16).padStart(4, '0')}` })
  if (typeof value !== 'object' || value === null) return
  for (const [key, one] of Object.entries(value)) unseen(one, Array.isArray(value) ? `${path}[${key}]` : path ? `${path}.${key}` : key, out)
}

/**
 * @param {unknown} raw whatever a file held @param {Known} known
 * @returns {Problem[]} none: it is a Sheet
 */
export function checkSheet(raw, known) {
  /** @type {Problem[]} */
  const out = []
  try {
    whole(raw, '', known, out)
  } catch (error) {
    // The shape is not deep; a file that exhausts the stack is no vehicle.
    if (!(error instanceof RangeError)) throw error
    return [{ path: '', says: 'nested too deep', expected: 'a vehicle', got: 'lists within lists' }]
  }
  if (!out.length) unseen(raw, '', out)
  if (out.length) return out // numbers are judged once the shape holds
  const sheet = /** @type {Sheet} */ (raw)
  const say = (/** @type {string} */ path, /** @type {string} */ says, /** @type {string} */ expected, /** @type {unknown} */ got) =>
    out.push({ path, says, expected, got: String(got) })
  odometer(sheet, known, say)
  service(sheet, say)
  /** @type {Map<string, string>} */
  const codes = new Map()
  for (const [id, unit] of Object.entries(sheet.units)) {
    const path = `units.${id}`
    if (codes.has(unit.code)) say(`${path}.code`, 'unit code is taken', `a code of its own; ${codes.get(unit.code)} has it`, unit.code)
    codes.set(unit.code, id)
    fills(unit, path, known, say)
    ratio(unit, path, say)
    fasteners(unit, path, known, say)
  }
  origins(sheet, '', known, say)
  return out
}

/** @typedef {(path: string, says: string, expected: string, got: unknown) => void} Say */

/** @param {string | undefined} text @param {Known} known @returns {number} SI */
function si(text, known) {
  const got = parseAmount(text, known.units)
  return got.ok ? got.si : NaN
}
/** @param {string} text @returns {number} the number as typed */
const number = (text) => Number((text.split(' ')[0] ?? '').replace('−', '-'))
/** @param {string} text @returns {string} */
const unitOf = (text) => text.slice(text.indexOf(' ') + 1).trim()

/** @param {Sheet} sheet @param {Known} known @param {Say} say */
function odometer(sheet, known, say) {
  const { unit, digits, reading } = sheet.odometer
  if (unitOf(reading) !== unit) say('odometer.reading', 'the reading is not in the odometer’s unit', `a reading in ${unit}`, reading)
  if (number(reading) >= 10 ** digits) say('odometer.reading', `the odometer has ${digits} digits`, `less than ${10 ** digits}; count the rollovers`, reading)
  for (const [key, eras] of /** @type {[string, {since: string, since_date?: string}[]][]} */ ([['tyre_eras', sheet.tyre_eras], ['severity_eras', sheet.severity_eras ?? []]])) {
    eras.forEach((era, index) => {
      const before = eras[index - 1]
      const path = `${key}[${index}]`
      if (unitOf(era.since) !== unit) say(`${path}.since`, 'the era is not in the odometer’s unit', `a distance in ${unit}`, era.since)
      if (before && si(era.since, known) <= si(before.since, known)) say(`${path}.since`, 'eras run backwards', `more than ${before.since}`, era.since)
      if (before?.since_date && era.since_date && era.since_date < before.since_date) {
        say(`${path}.since_date`, 'eras run backwards', `not before ${before.since_date}`, era.since_date)
      }
    })
  }
}

/** @param {Sheet} sheet @param {Say} say */
function service(sheet, say) {
  /** @type {Set<string>} */
  const taken = new Set()
  for (const [index, one] of (sheet.service ?? []).entries()) {
    const path = `service[${index}]`
    if (one.distance === undefined && one.months === undefined) say(path, 'an interval needs a distance or months', '‘distance’, ‘months’ or both', 'neither')
    for (const [place, unit] of one.units.entries()) {
      if (!Object.hasOwn(sheet.units, unit)) say(`${path}.units[${place}]`, 'the vehicle has no such unit', `one of ${Object.keys(sheet.units).join(', ')}`, unit)
      else if (taken.has(unit)) say(`${path}.units[${place}]`, 'the unit has an interval already', 'each unit once', unit)
      taken.add(unit)
    }
  }
  const changed = sheet.changed ?? []
  changed.forEach((one, index) => {
    const last = changed[index - 1]?.rev ?? 0
    if (one.rev <= last) say(`changed[${index}].rev`, 'revisions must rise', `more than ${last}`, one.rev)
  })
  const end = changed.at(-1)
  if (end && end.rev !== sheet.rev) say(`changed[${changed.length - 1}].rev`, 'the last change is not of the present revision', String(sheet.rev), end.rev)
}

/** @param {UnitSheet} unit @param {string} path @param {Known} known @param {Say} say */
function fills({ fills: all = {} }, path, known, say) {
  const [refill, dry, additive] = ['refill', 'dry', 'additive'].map((role) => all[role]?.value)
  const most = ADDITIVE_MOST * si(refill, known)
  if (si(refill, known) > si(dry, known)) say(`${path}.fills.refill.value`, 'refill is larger than the dry fill', `at most ${dry}; a drained unit keeps some oil`, refill)
  if (si(additive, known) > most) say(`${path}.fills.additive.value`, 'additive is over 15 % of the refill', `at most ${Math.round(most * 1e6)} mL; mL or L?`, additive)
}

/** @param {UnitSheet} unit @param {string} path @param {Say} say */
function ratio(unit, path, say) {
  if (!unit.ratio || !unit.ring_teeth || !unit.pinion_teeth) return
  const counted = unit.ring_teeth / unit.pinion_teeth
  if (Math.abs(counted - unit.ratio) > RATIO_APART * counted) {
    say(`${path}.ratio`, 'ratio and teeth differ by more than 1 %', `${unit.ring_teeth}/${unit.pinion_teeth} = ${counted.toFixed(3)}`, unit.ratio)
  }
}

/** @param {UnitSheet} unit @param {string} path @param {Known} known @param {Say} say */
function fasteners(unit, path, known, say) {
  for (const [role, group] of Object.entries(unit.fasteners ?? {})) {
    const at = `${path}.fasteners.${role}`
    const shares = (group.stages ?? []).map((stage) => si(stage, known))
    if (shares.length && (shares.some((share, index) => index && share <= (shares[index - 1] ?? 0)) || Math.abs((shares.at(-1) ?? 0) - 1) > 1e-9)) {
      say(`${at}.stages`, 'stages must rise and end at 100 %', 'such as 50 %, 75 %, 100 %', (group.stages ?? []).join(', '))
    }
    if ((group.pattern === 'single') !== (group.count === 1)) {
      say(`${at}.pattern`, 'pattern and count do not fit', 'single for one bolt, ring, rail or inline for more', `${group.pattern} for ${group.count}`)
    }
    const most = known.ceiling?.(group.thread, group.class ?? '', group.thread_state) ?? null
    const torque = si(group.torque.value, known)
    if (most !== null && (torque < LEAST * most || torque > MOST * most)) {
      say(`${at}.torque.value`, torque > most ? 'torque over the bolt’s proof ceiling' : 'torque far under the bolt’s',
        `${(LEAST * most).toFixed(1)} to ${(MOST * most).toFixed(1)} N·m for ${group.thread}, class ${group.class}, ${group.thread_state}; check the unit, the thread and the class`, group.torque.value)
    }
  }
}

/**
 * Every state is one that its source can carry, and a conflict is never hidden.
 * @param {unknown} value @param {string} path @param {Known} known @param {Say} say
 */
function origins(value, path, known, say) {
  if (typeof value !== 'object' || value === null) return
  for (const [key, one] of Object.entries(value)) origins(one, Array.isArray(value) ? `${path}[${key}]` : path ? `${path}.${key}` : key, known, say)
  const one = /** @type {Stated} */ (value)
  if (typeof one.source !== 'string') return
  if (one.state === 'verified' && CANNOT_VERIFY.includes(one.source)) {
    say(`${path}.state`, `‘${one.source}’ cannot make a value verified`, 'unverified or plausible', one.state)
  }
  if (typeof one.value !== 'string') return
  const rivals = (one.other ?? []).filter((other) => other.state !== 'superseded')
  if (one.state === 'conflict' && !rivals.length) say(`${path}.state`, 'a conflict needs both values', 'the rival value under ‘other’', 'no ‘other’')
  if (one.state !== 'conflict' && one.state !== 'superseded' && rivals.some((other) => apart(si(one.value, known), si(other.value, known)))) {
    say(`${path}.state`, 'the values differ by more than 5 %', 'conflict', one.state)
  }
}
