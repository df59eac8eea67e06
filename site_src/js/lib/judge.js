// What the readings of a job say: whether a hold may be ticked, and what was found out of the ordinary.
import { format } from './quantity.js'

/** @typedef {import('./replay.js').Job} Job */
/** @typedef {import('../types').Hold} Hold */
/** @typedef {import('../types').Reading} Reading */
/** @typedef {import('../types').Fastener} Fastener */
/** @typedef {Record<string, (values: Record<string, number | string>) => Record<string, number>>} Works by calculator; a picked
 *   input takes the id of its choice. Made by `worksOf`. */
/** @typedef {{inputs: {id: string, kind: string, options?: Record<string, {gives: Record<string, number>}>}[],
 *   work(values: Record<string, number>): Record<string, number>}} Calculator */

/** Litres in may be off the table by a tenth; under 85 % drained it was low. Common practice, no source. */
const OFF = 0.1
const DRAINED = 0.85
/** Kelvin between metal and dew point: the rule of the coating standards, taken over for sealant. */
const GAP = 3
/** A limit met exactly is met, though the sum may miss it in the last digit. */
const SLACK = 1e-9
/** Read only where something else is out. */
const REASON = 'litres-why'
const FREEZING = 273.15

/** The state of a thread in the words of the card -> the choice of the calculator. Others have no known factor. */
/** @type {Record<string, string>} */
const THREAD = { dry: 'dry', 'new-plated': 'dry', oiled: 'lubricated', 'anti-seize': 'anti-seize' }

/**
 * @param {Record<string, Calculator>} calculators the module that the build writes
 * @returns {Works}
 */
export function worksOf(calculators) {
  return Object.fromEntries(Object.entries(calculators).map(([id, one]) => [id, (values) => {
    /** @type {Record<string, number>} */
    const numbers = {}
    for (const [name, value] of Object.entries(values)) {
      if (typeof value === 'number') numbers[name] = value
      else Object.assign(numbers, one.inputs.find((input) => input.id === name)?.options?.[value]?.gives)
    }
    return one.work(numbers)
  }]))
}

/**
 * @param {Job} job
 * @param {Works} works
 * @returns {Record<number, string>} by hold: '' where its readings are fine or it needs none, else why not
 */
export function verdicts(job, works) {
  return Object.fromEntries(job.copy.card.holds.map((hold) => [
    hold.no, missing(job, hold) || halting(job, hold) || GUARDS[hold.guard]?.(job, hold, works) || '',
  ]))
}

/** @param {Job} job @param {Hold} hold @returns {string} what a reading of the hold says where it says stop */
function halting(job, hold) {
  const stop = stops(job).find((one) => hold.reads.includes(one.field))
  return stop ? `${stop.label}: ${stop.word}. ${stop.means}` : ''
}

/** @param {Job} job @param {Hold} hold @returns {string} */
function missing(job, hold) {
  const labels = hold.reads.filter((id) => id !== REASON && !job.readings[id])
    .map((id) => (job.copy.card.record.find((field) => field.id === id)?.label ?? id).toLowerCase())
  return labels.length ? `Not read yet: ${labels.join(', ')}.` : ''
}

/** @param {Job} job @param {string} id @returns {number} NaN where it was not read */
function number(job, id) {
  const reading = job.readings[id]
  return reading ? (reading.si ?? Number(reading.typed)) : NaN
}

/** @param {Job} job @param {string} id @returns {string} */
const typed = (job, id) => job.readings[id]?.typed.trim() ?? ''

/** @param {number} cubic m³ @returns {string} */
const litres = (cubic) => `${format(cubic * 1000, 3)} L`

/** @type {Record<string, (job: Job, hold: Hold, works: Works) => string>} */
const GUARDS = {
  support(job, hold) {
    if (!hold.reads.includes('stand-rating')) return ''
    const [rating, load] = [number(job, 'stand-rating'), number(job, 'axle-load')]
    if (!(rating < load * (1 - SLACK))) return ''
    return `Each stand carries ${format(rating, 3)} kg, the axle weighs ${format(load, 3)} kg. Take stands that carry it each.`
  },
  count(job, hold) {
    if (!hold.reads.includes('cloths-in') || !hold.reads.includes('cloths-out')) return ''
    const [put, taken] = [number(job, 'cloths-in'), number(job, 'cloths-out')]
    if (put === taken) return ''
    const so = `Cloths in ${typed(job, 'cloths-in')}, out ${typed(job, 'cloths-out')}.`
    return taken < put ? `${so} Look in the housing before it is closed.` : `${so} Count again.`
  },
  dry(job, hold, works) {
    if (!hold.reads.includes('metal-temp')) return ''
    const [air, humidity, metal] = [number(job, 'air-temp'), number(job, 'humidity'), number(job, 'metal-temp')]
    const { dew = NaN, gap = NaN } = works['dew-gate']?.({ air, humidity, metal }) ?? {}
    if (gap >= GAP - SLACK) return ''
    if (!Number.isFinite(gap)) return 'The dew point cannot be worked out from these readings. Read air, humidity and metal again.'
    const stands = `${format(Math.abs(gap), 2)} °C ${gap < 0 ? 'under' : 'above'}`
    return `The metal is ${stands} the dew point, ${(dew - FREEZING).toFixed(1).replace('-', '−')} °C. ${GAP} °C above it are needed.`
  },
  reconcile(job, _hold, works) {
    const why = typed(job, REASON)
    const { refill } = job.copy.unit
    if (!refill || refill.state !== 'verified') {
      if (typed(job, 'level-verified') === 'yes' || why) return ''
      return 'No verified figure to compare with: fill to level. Record the level as seen, or write why the litres are as they are.'
    }
    const off = works['fill-reconcile']?.({ table: refill.si, out: number(job, 'volume-out'), poured: number(job, 'volume-in') })?.off ?? NaN
    if (Math.abs(off) <= OFF + SLACK || why) return ''
    if (!Number.isFinite(off)) return 'Litres in and table cannot be compared. Read the litres in again.'
    return `${percent(Math.abs(off))} ${off < 0 ? 'less' : 'more'} than the table, ${litres(refill.si)}. Find out why, then write it down.`
  },
}

/** @param {number} share @returns {string} one decimal, so that what is just over a limit does not look like it */
const percent = (share) => `${(share * 100).toFixed(1)} %`

/**
 * Oil out against the table: what it says about the time before.
 * @param {Job} job
 * @param {Works} works
 * @returns {{words: string, low: boolean}} no words before the oil is measured, or without a figure
 */
export function fill(job, works) {
  const { refill } = job.copy.unit
  const out = number(job, 'volume-out')
  if (!refill || !Number.isFinite(out)) return { words: '', low: false }
  const drained = works['fill-reconcile']?.({ table: refill.si, out, poured: number(job, 'volume-in') })?.drained ?? NaN
  if (!Number.isFinite(drained)) return { words: '', low: false }
  const low = drained < DRAINED - SLACK
  const sure = refill.state === 'verified' ? '' : ` (${refill.state})`
  const so = `${litres(out)} out is ${percent(drained)} of the table, ${litres(refill.si)}${sure}.`
  return { words: low ? `${so} It was running low: look for a leak, or it was filled short before.` : so, low }
}

/**
 * What a vehicle that does not stand level does to the fill hole, along the vehicle; needs `pitch` read, in radians.
 * @param {Job} job
 * @param {Works} works
 * @returns {{words: string, rise: number, volume: number}} m and m³, above 0 too much oil; 0 where not known
 */
export function tilt(job, works) {
  const { fillHoleOffset: along, oilSurface: surface } = job.copy.unit
  const [pitch, roll] = [number(job, 'pitch'), number(job, 'roll')]
  const nothing = { words: '', rise: 0, volume: 0 }
  if (!Number.isFinite(pitch) || along === null || surface === null) {
    if (typed(job, 'vehicle-level') !== 'no') return nothing
    return { ...nothing, words: 'The vehicle is not level both ways, so the hole does not tell the level. Level it, or work out the tilt.' }
  }
  // How far the hole sits from the middle across the vehicle is not kept: it is taken as in the middle.
  const found = works['hole-tilt']?.({ pitch, roll: Number.isFinite(roll) ? roll : 0, along, across: 0, surface })
  const { rise = NaN, volume = NaN } = found ?? {}
  if (!Number.isFinite(rise) || !Number.isFinite(volume)) return nothing
  const words = Math.abs(rise) < 5e-5 ? 'The hole stands as on level ground.'
    : `The hole stands ${format(Math.abs(rise) * 1000, 3)} mm ${rise > 0 ? 'higher' : 'lower'} than on level ground: ` +
      `filled to it, ${format(Math.abs(volume) * 1000, 2)} L too ${rise > 0 ? 'much' : 'little'}.`
  return { words, rise, volume }
}

/**
 * @param {Job} job
 * @returns {{field: string, label: string, word: string, means: string}[]} readings that say stop
 */
export function stops(job) {
  return job.copy.card.record.flatMap(({ id, label, options }) => {
    const option = options.find((one) => one.stop && one.word === job.readings[id]?.typed)
    return option ? [{ field: id, label, word: option.word, means: option.means }] : []
  })
}

/**
 * The torque for threads in another state than the one of record, for the same clamp.
 * @param {Fastener} fastener
 * @param {string} actual state of the threads, such as `oiled`
 * @param {Works} works
 * @returns {{target: number, used: number, factor: number, known: boolean}} N·m; where one of the two states has no
 *   known factor, the torque of record stands and `known` is false
 */
export function torqueFor({ torque: target, threadState }, actual, works) {
  if (actual === threadState) return { target, used: target, factor: 1, known: true }
  const [stated, now] = [THREAD[threadState], THREAD[actual]]
  const used = stated && now ? (works['thread-condition']?.({ target, stated, actual: now })?.torque ?? NaN) : NaN
  if (!Number.isFinite(used)) return { target, used: target, factor: 1, known: false }
  return { target, used, factor: used / target, known: true }
}
