// Fields that do not come from the card's steps: what the page writes down itself, and what every start asks.

/** @typedef {import('../types.js').Field} Field */

/** Fields of the record that the page itself writes down, so that they are not asked again. */
export const OWN = new Set(['date', 'odometer', 'follow-ups', 'photos', 'joint', 'torque-used', 'torque-drain', 'torque-fill', 'thread-state'])

/** @param {Partial<Field> & {id: string, label: string}} field @returns {Field} */
export const made = (field) => ({ phase: 'job', kind: 'amount', unit: '', options: [], ...field })

// Two choices instead of a minus sign, which phones have no key for.
const UP = 'slope, the end with the fill hole up'
export const DOWN = 'slope, the end with the fill hole down'

/** Asked at every start, whether the card records it or not. @type {Field[]} */
export const PLACE = [
  made({ id: 'ground', label: 'The vehicle stands', kind: 'pick', options: ['level pad', 'level, all four raised', UP, DOWN].map((word) => ({ word, means: '', stop: false })) }),
  made({ id: 'pitch', label: 'Slope along the vehicle', unit: '°' }),
]
