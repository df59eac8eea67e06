// One's own units in the look-up: the words that each is found by, and its block, made when it is first shown.
import { fill, h } from '../job/dom.js'
import { allOwn } from './all.js'
import { unitBlock } from './unitview.js'
import { base } from './where.js'

/** @typedef {import('./unitview.js').View} View */
/**
 * @typedef {{hidden: boolean, vehicles: number, replaced: string[], words: string[],
 *   show(place: HTMLElement, ids: number[], most: number, more: () => void): void}} Own
 *   replaced: vehicles of the site that stand here as one's own; words: by unit, as `show` counts them
 */

/** @returns {Promise<Own>} */
export async function ownUnits() {
  const { site, hidden, own, broken } = await allOwn()
  /** @type {View[]} */
  const views = own.flatMap(({ vehicle, sheet }) => Object.values(vehicle.units).map((unit) =>
    ({ vehicle, unit, sheet: /** @type {import('../types.js').UnitSheet} */ (sheet.units[unit.id]), site, base })))
    .filter(({ sheet }) => sheet.fills || sheet.fasteners || sheet.fluid)
  /** @type {Map<number, HTMLElement>} */
  const made = new Map()
  const block = (/** @type {number} */ id) => {
    const known = made.get(id)
    if (known) return known
    const view = /** @type {View} */ (views[id])
    const section = h('section', { class: 'entry' })
    unitBlock(section, view, { vehicle: true })
    made.set(id, section)
    return section
  }
  return {
    hidden, vehicles: own.length, words: views.map(wordsOf),
    replaced: own.map(({ vehicle }) => vehicle.id).filter((id) => site.vehicles.some((one) => one.id === id)),
    show(place, ids, most, more) {
      const rest = ids.length - most
      fill(place, broken, ids.slice(0, most).map(block), rest > 0 && h('button', { type: 'button', class: 'btn line', onclick: more }, `Show ${rest} more of your own units`))
    },
  }
}

/** @param {View} view @returns {string} all words that a person may type to find this unit */
function wordsOf({ vehicle, unit, sheet }) {
  const bolts = Object.values(sheet.fasteners ?? {}).flatMap((group) => [group.name, `${group.count} × ${group.thread}`, group.class ? `class ${group.class}` : ''])
  const fluid = sheet.fluid ? `${sheet.fluid.grade} ${sheet.fluid.category}` : ''
  return [vehicle.name, vehicle.short, unit.label, unit.place, unit.code, unit.kind.replace(/-/g, ' '), ...unit.words, fluid, unit.tag, ...bolts].join(' ')
}
