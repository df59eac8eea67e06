// The step graph of a card: how a step goes for the option chosen, and what lies before and behind it.

/** @typedef {import('../types').Card} Card */
/** @typedef {import('../types').Step} Step */
/** @typedef {import('../types').Way} Way */

/**
 * @param {Step} step
 * @param {string} option of the card's choice, '' where it has none
 * @returns {Way}
 * @throws {RangeError} when the card says nothing for that option
 */
export function way(step, option) {
  const found = step.ways[option] ?? step.ways['']
  if (!found) throw new RangeError(`step ${step.no}: no way for option "${option}", it has ${Object.keys(step.ways).join(', ')}`)
  return found
}

/** @param {Card} card @param {number} no @returns {Step | undefined} */
export const stepOf = (card, no) => card.steps.find((step) => step.no === no)

/** @param {Card} card @param {number} no */
export const holdOf = (card, no) => card.holds.find((hold) => hold.no === no)

/** @param {Card} card @param {number} no @returns {import('../types').Hold[]} the holds that keep a step shut */
export const holdsOn = (card, no) => card.holds.filter((hold) => hold.blocks.includes(no))

/**
 * @param {Card} card
 * @param {number[]} from
 * @returns {Set<number>} every step that must be done before any of `from`, however far back; not `from` itself
 */
export function before(card, from) {
  return reach(from, (no) => stepOf(card, no)?.after.map((one) => one.step) ?? [])
}

/**
 * @param {Card} card
 * @param {number[]} from
 * @returns {Set<number>} every step that rests on any of `from`, however far on; not `from` itself
 */
export function behind(card, from) {
  return reach(from, (no) => card.steps.filter((step) => step.after.some((one) => one.step === no)).map((step) => step.no))
}

/**
 * @param {number[]} from
 * @param {(no: number) => number[]} onward
 * @returns {Set<number>}
 */
function reach(from, onward) {
  /** @type {Set<number>} */
  const found = new Set()
  const todo = [...from]
  while (todo.length) {
    for (const next of onward(/** @type {number} */ (todo.pop()))) {
      if (found.has(next)) continue
      found.add(next)
      todo.push(next)
    }
  }
  return found
}
