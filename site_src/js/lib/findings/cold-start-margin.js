// What the coldest start needs against what is in: where the coolant freezes, and how far down the gear oil still flows.
import { percent, placeOf, readOf, stamp, unitsOf } from '../findingwords.js'

/** @typedef {import('../findingwords.js').Book} Book */
/** @typedef {import('../../types').Entry} Entry */
/** @typedef {import('../../types').Unit} Unit */

const FREEZING = 273.15
/** Kelvin; the table is good to 2 K and a thermometer in the yard to as much. Ours; no source. */
const MARGIN = 5
/** Ethylene glycol and water, share by volume and °C at which it freezes: the table of the refrigeration handbooks, rounded, ±2 K. */
const FREEZES = [[0, 0], [0.1, -4], [0.2, -9], [0.3, -16], [0.33, -18], [0.4, -24], [0.5, -37], [0.6, -52]]
/** More glycol than that protects less again. */
const MOST = 0.65
/** SAE J306 (2019): °C down to which a gear oil stays below 150 000 mPa·s, by its W number. */
/** @type {Record<string, number>} */
const FLOWS = { 70: -55, 75: -40, 80: -26, 85: -12 }
const GEARS = ['axle-cover', 'axle-dropout', 'front-axle', 'swivel', 'transfer', 'manual-box']

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) =>
  GEARS.includes(unit.kind) ? gear(book, unit, entries) : unit.kind === 'cooling' ? glycol(book, unit, entries) : []))

/** @param {number} share by volume @returns {number} °C, straight between two rows */
export function freezesAt(share) {
  const i = FREEZES.findIndex(([at = 0]) => at >= share - 1e-9)
  const [[low = 0, warm = 0], [high = 0, cold = 0]] = [FREEZES[Math.max(0, i - 1)] ?? [0.6, -52], FREEZES[i] ?? [0.6, -52]]
  return high === low ? cold : warm + ((cold - warm) * (share - low)) / (high - low)
}

/** @param {number} degrees @returns {string} */
const celsius = (degrees) => `${degrees.toFixed(0).replace('-', '−').replace('−0', '0')} °C`

/** @param {number} margin K @returns {'warning' | 'caution'} */
const severity = (margin) => (margin <= 1e-9 ? 'warning' : 'caution')

/** @param {Book} book @param {Unit} unit @param {Entry[]} entries @returns {import('../findingwords.js').Found[]} */
function glycol({ vehicle }, unit, entries) {
  const tested = entries.filter((entry) => readOf(entry, 'glycol-share') !== null).at(-1)
  const share = tested ? readOf(tested, 'glycol-share') : null
  if (!tested || share === null) return []
  const coldest = Number((vehicle.coldestStart - FREEZING).toFixed(2))
  const margin = coldest - freezesAt(share)
  if (share <= MOST && margin >= MARGIN) return []
  const strong = share > MOST
  const carried = /carried forward/i.test(tested.says ?? '') ? ' It was carried forward, and nothing was done since.' : ''
  return [{
    vehicle: vehicle.id, unit: unit.id, severity: strong ? 'caution' : severity(margin),
    says: strong ? `${placeOf(unit)}: more than ${percent(MOST)} glycol protects less again.`
      : `${placeOf(unit)}: ${margin <= 1e-9 ? 'no margin' : `only ${margin.toFixed(0)} K of margin`} to the coldest start.`,
    evidence: [
      `Glycol ${percent(share)} by volume, tested ${stamp(tested)}.${carried}`,
      ...(strong ? [] : [`It freezes at about ${celsius(freezesAt(share))} (handbook table, ±2 K); the coldest start is ${celsius(coldest)}.`]),
      ...(unit.fluid ? [`Asked for: ${unit.fluid.grade}, ${unit.fluid.category} (${unit.fluid.state}).`] : []),
    ],
    settle: 'Bring the share to 50 %: work out how much to swap, change it, and test again.',
    entries: [tested.id],
  }]
}

/** @param {Book} book @param {Unit} unit @param {Entry[]} entries @returns {import('../findingwords.js').Found[]} */
function gear({ vehicle }, unit, entries) {
  const letter = (/** @type {string | undefined} */ text) => /\b(\d\d)W\b/i.exec(text ?? '')?.[1] ?? ''
  const filled = entries.filter((entry) => letter(entry.fluid)).at(-1)
  const grade = letter(filled?.fluid) || letter(unit.fluid?.grade)
  const limit = FLOWS[grade]
  if (limit === undefined) return []
  const coldest = Number((vehicle.coldestStart - FREEZING).toFixed(2))
  const margin = coldest - limit
  if (margin >= MARGIN) return []
  return [{
    vehicle: vehicle.id, unit: unit.id, severity: severity(margin),
    says: `${placeOf(unit)}: a ${grade}W oil ${margin < 0 ? `is too thick by ${-Math.round(margin)} K` : `has ${margin.toFixed(0)} K of margin`} at the coldest start.`,
    evidence: [
      filled ? `Poured ${stamp(filled)}: ${filled.fluid}.` : `Written down for it: ${unit.fluid?.grade} (${unit.fluid?.state}).`,
      `${grade}W flows to the bearings down to ${celsius(limit)} (SAE J306, 2019); the coldest start is ${celsius(coldest)}.`,
    ],
    settle: 'Take a grade with a lower W number that the manual allows, at the next change or before the cold.',
    entries: filled ? [filled.id] : [],
  }]
}
