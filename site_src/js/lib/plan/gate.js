// Whether place and weather allow the jobs of a plan. What was not measured is unknown, and unknown is never clear.

/** @typedef {{state: 'go' | 'hold' | 'unknown', says: string, work: string}} Verdict `work` the page that reckons it, '' where none */
/**
 * @typedef {{air: number | null, damp: number | null, metal: number | null, labelAir: number | null, labelDamp: number | null,
 *   slope: number | null, stand: number | null, gap: number | null, stack: number | null, under: number | null,
 *   creeper: number | null}} Place K, shares, K, K, share, share, kg each stand, m, m, m, m; null where not measured
 * @typedef {{name: string, kerb: number | null, rear: number | null}} Raised a vehicle that is raised: kg, share on its rear axle
 * @typedef {(given: Record<string, number>) => Record<string, number>} Work
 */

const FREEZING = 273.15
const DEW_GAP = 3 // K between metal and dew point: the rule of the coating standards, taken over
const SLOPE = 0.02
const SLOW = 10 // °C of air below which cleaner dries slower than the cards plan: common practice
const CHEST = 0.05 // m between chest and vehicle on a creeper: common practice

/**
 * @param {Place} place
 * @param {{sealed: boolean, dries: boolean, raised: Raised[]}} what `sealed`: a joint is closed with sealant; `dries`: cleaner
 *   must have gone before that
 * @param {{dew: Work, stretch: Work}} works the calculators that reckon it
 * @returns {{verdicts: Verdict[], times: number | null}} `times` a label's waits are stretched by, never under 1; null where unknown
 */
export function gate(place, what, works) {
  const { verdict, times } = what.sealed ? weather(place, works) : { verdict: [], times: null }
  return { verdicts: [...verdict, ...(what.dries ? [drying(place)] : []), ...(what.raised.length ? [level(place), ...what.raised.map((one) => stands(place, one)), ...room(place)] : [])], times }
}

/** @param {Place} place @param {{dew: Work, stretch: Work}} works @returns {{verdict: Verdict[], times: number | null}} */
function weather({ air, damp, metal, labelAir, labelDamp }, works) {
  /** @type {Verdict[]} */
  const verdict = []
  if (air === null || damp === null || metal === null) {
    verdict.push({ state: 'unknown', says: 'Dew: measure air, humidity and the metal of the joint.', work: 'dew-gate' })
  } else {
    const { dew = NaN, gap = NaN } = works.dew({ air, humidity: damp, metal })
    const words = `dew point ${degrees(dew)}, the metal ${gap < 0 ? `${Math.abs(gap).toFixed(1)} K below` : `${gap.toFixed(1)} K above`} it`
    verdict.push(gap >= DEW_GAP ? { state: 'go', says: `Dew: ${words}.`, work: 'dew-gate' }
      : { state: 'hold', says: `Dew: ${words}, and ${DEW_GAP} K are needed. Warm the metal, wait for another hour, or take another day.`, work: 'dew-gate' })
  }
  if (air === null || damp === null || labelAir === null || labelDamp === null) {
    verdict.push({ state: 'unknown', says: 'Sealant: the label times stand as they are typed. Colder or drier air than on the label makes them longer.', work: 'sealant-stretch' })
    return { verdict, times: null }
  }
  const { now = NaN, then = NaN } = works.stretch({ first: 1, full: 1, label_air: labelAir, label_damp: labelDamp, air, damp })
  const times = Math.max(1, then / now)
  if (!Number.isFinite(times)) return { verdict, times: null }
  if (times > 4) verdict.push({ state: 'hold', says: `Sealant: in this air it would take ${times.toFixed(1)} times the label. Use a gasket, or take another day.`, work: 'sealant-stretch' })
  else verdict.push({ state: 'go', says: times > 1 ? `Sealant: label times are stretched ${times.toFixed(2)} times, since the air is colder or drier than on the label.` : 'Sealant: label times as on the label. They are never shortened.', work: 'sealant-stretch' })
  return { verdict, times }
}

/** @param {Place} place @returns {Verdict} */
function drying({ air }) {
  if (air === null) return { state: 'unknown', says: 'Cleaner: measure the air. In the cold it dries slower than the card plans.', work: '' }
  return air - FREEZING >= SLOW ? { state: 'go', says: `Cleaner: at ${degrees(air)} it dries as planned. Feel for a cool patch all the same.`, work: '' }
    : { state: 'unknown', says: `Cleaner: at ${degrees(air)} it dries slower than the card plans. Nobody can say how long: no cool patch and no smell, then close.`, work: '' }
}

/** @param {Place} place @returns {Verdict} */
function level({ slope }) {
  if (slope === null) return { state: 'unknown', says: 'Slope: lay a level both ways. Under 2 % is accepted.', work: '' }
  return slope < SLOPE ? { state: 'go', says: `Slope: ${share(slope)}, under 2 %.`, work: '' }
    : { state: 'hold', says: `Slope: ${share(slope)}. Lift only under 2 %, and read levels on level ground.`, work: '' }
}

/** @param {Place} place @param {Raised} vehicle @returns {Verdict} each stand for the whole of the heavier axle */
function stands({ stand }, { name, kerb, rear }) {
  const work = 'lift-and-stands'
  if (kerb === null || rear === null || stand === null) {
    const lacks = [kerb === null && 'its kerb mass', rear === null && 'the share on its rear axle', stand === null && 'the rating of one stand'].filter(Boolean)
    return { state: 'unknown', says: `Stands for ${name}: not known are ${lacks.join(' and ')}.`, work }
  }
  const load = kerb * Math.max(rear, 1 - rear)
  const words = `${name}: the heavier axle is ${Math.round(load)} kg empty`
  return stand >= load ? { state: 'go', says: `Stands for ${words}, each is rated ${Math.round(stand)} kg. What is loaded comes on top.`, work }
    : { state: 'hold', says: `Stands for ${words}, and each is rated ${Math.round(stand)} kg only. Each must carry the whole axle.`, work }
}

/** @param {Place} place @returns {Verdict[]} */
function room({ gap, stack, under, creeper }) {
  /** @type {Verdict[]} */
  const out = []
  const mm = (/** @type {number} */ value) => `${Math.round(value * 1000)} mm`
  if (gap !== null && stack !== null) {
    out.push(stack <= gap ? { state: 'go', says: `Tools: socket, extension and head are ${mm(stack)}, the gap is ${mm(gap)}.`, work: '' }
      : { state: 'hold', says: `Tools: socket, extension and head are ${mm(stack)} and do not fit the gap of ${mm(gap)}.`, work: '' })
  }
  if (under !== null && creeper !== null) {
    const need = creeper + CHEST
    out.push(need <= under ? { state: 'go', says: `Room: ${mm(under)} beneath, ${mm(need)} with you on the creeper and 50 mm to spare.`, work: '' }
      : { state: 'hold', says: `Room: ${mm(under)} beneath, and ${mm(need)} are needed with 50 mm to spare.`, work: '' })
  }
  return out
}

/** @param {number} kelvin */
const degrees = (kelvin) => `${(kelvin - FREEZING).toFixed(1).replace('-', '−')} °C`
/** @param {number} value */
const share = (value) => `${(value * 100).toFixed(1)} %`
