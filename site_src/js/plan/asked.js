// A job that an address asks for, and the choice that a new one starts with.

/** @typedef {import('./kept.js').Chosen} Chosen */

/** @param {string} search `?add=p01/thornback/rear-axle` @returns {Chosen | null} */
export function chosenFrom(search) {
  const [no = '', vehicle = '', unit = ''] = new URLSearchParams(search).get('add')?.split('/') ?? []
  return /^p\d\d$/i.test(no) && vehicle && unit ? { vehicle, unit, no: no.toUpperCase(), option: '', label: {} } : null
}

/** @param {import('./kept.js').Job} job a card with a choice takes its first until another is picked */
export function first({ chosen, card }) {
  const options = Object.keys(card.choice?.options ?? {})
  if (!options.includes(chosen.option)) chosen.option = options[0] ?? ''
}
