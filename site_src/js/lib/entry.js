// An entry of the service log as the quick form makes it, a correction of one, and what either of them says.
import { format } from './quantity.js'

/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').Reading} Reading */
/** @typedef {import('../types').LogRecord} LogRecord */
/** @typedef {import('../types').Unit} Unit */
/**
 * @typedef {{
 *   id: string, vehicle: {id: string, invented: boolean, odometer: {unit: string}}, unit: string, work: string, event: string,
 *   date: string, odometer: Reading, deviations: string[], says: string, fluid: string[],
 *   readings: Record<string, Reading | null>, torque: {role: string, target: number, used: number, state: string}[],
 *   words: Record<string, string>, waste: {what: string, amount: Reading | null, where: string},
 *   photos: string[], closes: string[], replaces: string,
 * }} Held what stands in the form; readings by the keys of log/fields.js, words: parts, cost, receipt, batch
 */

/** Keys of the form that are amounts of their own in the entry. */
const AMOUNTS = ['out', 'in', 'additive', 'flush']
const LEVELS = ['level-verified', 'vehicle-level']
/** What was seen after the work; everything else that is read was found. A key may carry `-left` to tell it from the same found. */
const LEFT = /-left$|^leak-grade$|^re-torque-found$/

/** @param {string} key of the form @returns {{left: boolean, id: string}} which side of the entry it stands on, and its id there */
export const placeOf = (key) => ({ left: LEFT.test(key), id: key.replace(/-left$/, '') })

/** @param {Reading | null | undefined} reading @returns {string} as it was typed */
export const typed = (reading) => (reading ? `${reading.typed}${reading.unit ? ` ${reading.unit}` : ''}` : '')

/** @param {Reading | null | undefined} reading a volume @returns {string} as typed, in litres beside it where typed otherwise */
export function volume(reading) {
  if (!reading || reading.si === null || ['L', 'mL'].includes(reading.unit)) return typed(reading)
  return `${typed(reading)} (${format(reading.si * 1000, 3)} L)`
}

/** @param {string[]} parts @param {string} between @returns {string} */
const joined = (parts, between) => parts.map((part) => part.trim()).filter(Boolean).join(between)

/** @param {Held['waste']} waste @returns {string} `old gear oil, 2.4 L, to the depot` */
export const wasteWords = ({ what, amount, where }) => joined([what, typed(amount), where && `to ${where.trim().replace(/^to /i, '')}`], ', ')

/** @param {Held} held @returns {Entry} with every field of an entry set */
export function entryOf(held) {
  const { readings, words } = held
  const picked = (/** @type {boolean} */ left) => Object.fromEntries(Object.entries(readings).flatMap(([key, reading]) => {
    const place = placeOf(key)
    return reading && !AMOUNTS.includes(key) && !LEVELS.includes(key) && place.left === left ? [[place.id, reading]] : []
  }))
  const amount = (/** @type {string} */ key) => readings[key] ?? null
  return {
    id: held.id, job: '', date: held.date, vehicle: held.vehicle.id, unit: held.unit, procedure: held.work, rev: 0, finished: true,
    odometer: held.odometer, odometerUnit: held.vehicle.odometer.unit, trueKm: null,
    fluid: joined(held.fluid, ', '), out: amount('out'), in: amount('in'), additive: amount('additive'), flush: amount('flush'),
    torque: held.torque, deviations: held.deviations, found: picked(false), done: {}, left: picked(true),
    notes: [], photos: held.photos, levelVerified: amount('level-verified')?.typed ?? '', vehicleLevel: amount('vehicle-level')?.typed ?? '',
    defect: '', replaces: held.replaces, demo: held.vehicle.invented, closes: held.closes,
    event: held.work === 'event' ? held.event : '', says: held.says.trim(),
    batch: words.batch?.trim() ?? '', parts: words.parts?.trim() ?? '', cost: words.cost?.trim() ?? '', receipt: words.receipt?.trim() ?? '',
    waste: wasteWords(held.waste),
  }
}

/**
 * A correction says the whole entry again. What the form did not show is carried over from the old one, so that nothing
 * is lost by mending one figure; what it showed stands as it was left in the form, and may be empty.
 * @param {Entry} old @param {Held} held @param {string[]} shown keys of the readings that the form showed
 * @returns {Entry}
 */
export function corrected(old, held, shown) {
  const fresh = entryOf({ ...held, replaces: old.id })
  const side = (/** @type {boolean} */ left) => shown.map(placeOf).filter((place) => place.left === left).map(({ id }) => id)
  const carried = (/** @type {Record<string, Reading>} */ of, /** @type {string[]} */ known) =>
    Object.fromEntries(Object.entries(of).filter(([key]) => !known.includes(key)))
  const amount = (/** @type {'out' | 'in' | 'additive' | 'flush'} */ key) => (shown.includes(key) ? fresh[key] : old[key]) ?? null
  return {
    ...fresh, trueKm: old.trueKm, out: amount('out'), in: amount('in'), additive: amount('additive'), flush: amount('flush'),
    fluid: shown.includes('fluid') ? fresh.fluid : old.fluid,
    torque: [...old.torque.filter(({ role }) => !shown.includes(`torque ${role}`)), ...fresh.torque],
    found: { ...carried(old.found, side(false)), ...fresh.found }, done: old.done, left: { ...carried(old.left, side(true)), ...fresh.left },
    notes: old.notes, photos: [...old.photos, ...fresh.photos], defect: old.defect, finished: old.finished,
    deviations: [...old.deviations.filter((one) => !one.startsWith('Odometer: ')), ...fresh.deviations],
    levelVerified: shown.includes('level-verified') ? fresh.levelVerified : old.levelVerified,
    vehicleLevel: shown.includes('vehicle-level') ? fresh.vehicleLevel : old.vehicleLevel,
  }
}

/**
 * An entry that was logged by mistake: the new one says so and counts as no work. It keeps place, day and odometer.
 * @param {Entry} old @param {string} id @param {string} why @returns {Entry}
 */
export const withdrawn = (old, id, why) => ({
  ...old, id, job: '', procedure: 'event', event: '', rev: 0, finished: true, fluid: '', out: null, in: null, additive: null, flush: null,
  torque: [], deviations: old.deviations.filter((one) => one.startsWith('Odometer: ')), found: {}, done: {}, left: {}, notes: [], photos: [],
  levelVerified: '', vehicleLevel: '', defect: '', closes: [], batch: '', parts: '', cost: '', receipt: '', waste: '',
  replaces: old.id, says: `Withdrawn, this was not done: ${why.trim()}`,
})

/**
 * What litres say beside the unit's own figure. They are never refused: the level decides.
 * @param {'change' | 'part-change' | 'top-up' | 'look' | 'other'} does
 * @param {Reading | null} poured @param {Reading | null} out @param {Unit['refill']} refill
 * @returns {string} '' where there is nothing to say
 */
export function litres(does, poured, out, refill) {
  if (!poured || poured.si === null) return ''
  if (!refill) return 'No figure is known for this unit: fill to level, and log the litres as they are.'
  const table = `${format(refill.si * 1000, 3)} L${refill.state === 'verified' ? '' : ` (${refill.state})`}`
  const share = poured.si / refill.si
  const in_ = volume(poured)
  if (does === 'top-up') {
    if (share > 1) return `${in_} is more than the whole refill, ${table}. Read amount and unit again.`
    return share > 0.1 ? `${in_} is ${format(share * 100, 2)} % of the refill, ${table}. Find where it went.` : ''
  }
  if (does !== 'change' && does !== 'part-change') return ''
  // Measured out and in alike is no surprise, whatever the table says.
  if (out?.si && Math.abs(poured.si - out.si) <= 0.1 * refill.si) return ''
  if (Math.abs(share - 1) <= 0.1) return ''
  const pint = Math.abs(share - 0.8327) < 0.015 || Math.abs(share - 1.2009) < 0.02
  const country = pint ? ' US and imperial pints and quarts differ by just that: read the label.' : ''
  return `${in_} is ${format(Math.abs(share - 1) * 100, 2)} % ${share < 1 ? 'less' : 'more'} than the refill, ${table}.${country} Fill to level, and say why below.`
}

/** @param {LogRecord[]} records @returns {LogRecord[]} newest first: by day, then by when it was logged */
export const newestFirst = (records) => [...records].sort((a, b) =>
  a.entry.date === b.entry.date ? b.at - a.at || (a.id < b.id ? 1 : -1) : a.entry.date < b.entry.date ? 1 : -1)

/** @param {LogRecord[]} records @returns {Map<string, Entry>} by the id of the old entry: the one that took its place */
export const corrections = (records) => new Map(records.filter(({ entry }) => entry.replaces).map(({ entry }) => [entry.replaces, entry]))
