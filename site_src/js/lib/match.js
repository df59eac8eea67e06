// Which job cards are for which unit: by kind, by how the unit opens where a kind comes in
// several builds, and by its differential, which is unknown where nobody wrote it down.

/** @typedef {import('../types').CardRow} CardRow */

/** Kinds of unit that are final drives, and all that have gears in oil. */
export const DRIVES = ['axle-cover', 'axle-dropout', 'front-axle', 'swivel']
export const GEARED = [...DRIVES, 'transfer', 'manual-box', 'auto-box']

/**
 * @param {{kind: string, opensBy: string, diff: string}} unit
 * @param {CardRow[]} cards
 * @returns {CardRow[]} by number
 */
export function cardsFor(unit, cards) {
  return cards
    .filter(({ kinds, opensBy, diffs }) => kinds.includes(unit.kind) && (!opensBy || opensBy === unit.opensBy)
      && (!diffs.length || diffs.includes(unit.diff || 'unknown')))
    .sort((a, b) => (a.no < b.no ? -1 : 1))
}
