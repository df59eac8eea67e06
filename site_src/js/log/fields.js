// What the quick form asks, by the work done. Keys are the field ids of the cards, so that the log reads alike however
// an entry came into it; `…-left` is the same field after the work.
import { made } from '../job/own.js'

/** @typedef {import('../types.js').Field} Field */
/** @typedef {import('../types.js').Unit} Unit */

/** @param {(string | [string, string])[]} words a word of the cards, with what it means @returns {Field['options']} */
const pick = (words) => words.map((one) => (typeof one === 'string' ? { word: one, means: '', stop: false } : { word: one[0], means: one[1], stop: /^Stop\./.test(one[1]) }))

/** @param {string} id @param {string} label @param {string} unit */
const amount = (id, label, unit) => made({ id, label, unit, phase: 'as-found' })

/** @param {string} id @param {string} label @param {(string | [string, string])[]} words */
const choice = (id, label, words) => made({ id, label, kind: 'pick', phase: 'as-found', options: pick(words) })

/** @type {Record<string, Field>} */
export const FIELDS = Object.fromEntries([
  amount('in', 'Poured in', 'L'), amount('out', 'Came out', 'L'), amount('flush', 'Flush', 'L'), amount('additive', 'Additive', 'mL'),
  amount('level-found', 'Level found, below the hole', 'mm'),
  choice('level-verified', 'Level seen at the rule', ['yes', ['no', 'Not seen is not full. Top up until you see it.']]),
  choice('vehicle-level', 'Vehicle level both ways', ['yes', ['no', 'The level rule is true on a level vehicle only. Level it and look again.'],
    ['unknown', 'Lay the level on both ways before you trust the hole.']]),
  choice('colour', 'Oil colour', ['clear amber', 'clear brown', 'dark and clear', 'black', 'milky or grey-tan', 'metallic shimmer']),
  choice('smell', 'Smell', ['plain gear oil', 'burnt', 'solvent or fuel', 'none']),
  choice('water', 'Water', ['none seen', 'hazy', 'milky', ['free water', 'Stop. Do not drive on it. Find the way in, and change the oil.']]),
  choice('magnet', 'Magnet grade', [['0', 'Clean.'], ['1', 'Fine grey paste, normal wear.'], ['2', 'Paste with fine glitter. Halve the interval.'],
    ['3', 'Stop. Slivers that you can feel: inspect the bearings first.'], ['4', 'Stop. Chips with a shape: do not drive on it.']]),
  amount('water-in-column', 'Sample in the jar, height', 'mm'), amount('water-column', 'Water under it, height', 'mm'),
  choice('leak-grade', 'Leak grade', ['dry', ['stain', 'Damp and no drop. Wipe it dry and look again next morning.'],
    ['weep', 'No drop in 10 minutes. Mark it and look again next morning.'], ['drip', 'Stop. Do not drive on it. Find the highest wet point.']]),
  choice('re-torque-found', 'At the re-torque', ['no nut moved', ['some nuts moved', 'Re-torque once more after the same distance.']]),
  amount('water-depth', 'Water, how deep', 'm'), amount('breather-height', 'Breather end above ground', 'm'), amount('breather-height-left', 'Breather end as left', 'm'),
  amount('play', 'Play', 'mm'), amount('play-left', 'Play as left', 'mm'),
  amount('glycol-share', 'Glycol share', '%'), amount('voltage', 'Voltage, rested', 'V'), amount('temperature', 'Temperature', '°C'),
].map((field) => [field.id, field]))

const POUR = ['level-verified', 'vehicle-level']
const LOOK = ['colour', 'water', 'smell', 'magnet']
const JAR = ['water-in-column', 'water-column']
/** Asked for a work by its number; others by what it does. @type {Record<string, string[]>} */
const ASKED = {
  P11: ['re-torque-found', 'torque'],
  P13: [...LOOK, ...JAR, 'level-found', ...POUR, 'breather-height-left'],
  P14: ['voltage', 'temperature'],
  P15: [...LOOK, 'play', 'play-left', 'torque', 'out', 'in', 'fluid', ...POUR],
  P17: ['leak-grade', 'level-found'],
  P21: ['out', 'additive', 'fluid'],
  event: [],
  'water-crossing': ['water-depth', 'breather-height'],
  'top-up': ['level-found', 'in', 'fluid', ...POUR],
  change: [...LOOK, 'level-found', 'out', 'flush', 'in', 'additive', 'fluid', ...POUR, 'torque'],
  look: [...LOOK, ...JAR, 'level-found', 'leak-grade', 'play'],
  other: ['torque', 'play', 'play-left', 'out', 'in', 'fluid'],
}
/** What is tested of a unit, by its kind. @type {Record<string, string[]>} */
const TESTED = { cooling: ['glycol-share', 'temperature'], battery: ['voltage', 'temperature'] }

/**
 * @param {string} work key of the site's works @param {string} does @param {Unit | null} unit null is the whole vehicle
 * @param {string} event id of the event's rule, '' for none
 * @returns {string[]} keys in order; `fluid` and `torque` are groups of their own
 */
export function asked(work, does, unit, event = '') {
  const keys = work === 'test' ? TESTED[unit?.kind ?? ''] ?? ['glycol-share', 'voltage', ...JAR, 'play', 'temperature']
    : ASKED[event] ?? ASKED[work] ?? ASKED[does === 'part-change' ? 'change' : does] ?? []
  return unit || work === 'test' ? keys.filter((key) => key !== 'torque' || Object.keys(unit?.fasteners ?? {}).length) : keys.filter((key) => key !== 'torque')
}

/** @param {string} id of a reading in an entry @returns {string} */
export const labelOf = (id) => {
  const known = FIELDS[id]?.label ?? id.replaceAll('-', ' ')
  return known.charAt(0).toUpperCase() + known.slice(1)
}
