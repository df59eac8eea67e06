// Which job cards are for which unit: by kind and, where a kind comes in several builds, by how the unit opens.

/** @typedef {import('../types').CardRow} CardRow */

/**
 * @param {{kind: string, opensBy: string}} unit
 * @param {CardRow[]} cards
 * @returns {CardRow[]} by number
 */
export function cardsFor(unit, cards) {
  return cards
    .filter(({ kinds, opensBy }) => kinds.includes(unit.kind) && (!opensBy || opensBy === unit.opensBy))
    .sort((a, b) => (a.no < b.no ? -1 : 1))
}
