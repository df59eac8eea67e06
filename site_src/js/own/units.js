// One's own units in the look-up: the words that each is found by, taken from the sheet as it is written, and its block,
// worked out and made when it is first shown: two hundred of them weigh nothing until then.
import { fill, h } from '../job/dom.js'
import { vehicleOf } from '../lib/sheet.js'
import * as garage from '../garage.js'
import { brokenLine } from './all.js'
import { unitBlock } from './unitview.js'
import { base } from './where.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {{id: string, sheet: Sheet, unitId: string, unit: UnitSheet}} Row */
/**
 * @typedef {{hidden: boolean, vehicles: number, replaced: string[], words: string[],
 *   show(place: HTMLElement, ids: number[], most: number, more: () => void): void, check(): Promise<boolean>}} Own
 *   replaced: vehicles of the site that stand here as one's own; words: by unit, as `show` counts them; check: read what
 *   was not shown yet, and say whether some of it cannot be read
 */

/** @returns {Promise<Own>} */
export async function ownUnits() {
  const [site, own, { hidden }] = await Promise.all([garage.site(), garage.added(), garage.demo()])
  /** @type {Map<string, import('../types.js').Vehicle | null>} */
  const known = new Map()
  /** @type {HTMLElement[]} */
  const broken = []
  const vehicleNow = (/** @type {string} */ id, /** @type {Sheet} */ sheet) => {
    if (!known.has(id)) {
      try {
        known.set(id, vehicleOf(id, sheet, site))
      } catch (error) {
        known.set(id, null)
        broken.push(brokenLine(id, sheet, error))
      }
    }
    return known.get(id) ?? null
  }
  const rows = own.flatMap(({ id, sheet }) => {
    try {
      return Object.entries(sheet.units).filter(([, unit]) => unit.fills || unit.fasteners || unit.fluid)
        .map(([unitId, unit]) => ({ id, sheet, unitId, unit, words: wordsOf(sheet, unit) }))
    } catch {
      vehicleNow(id, sheet) // says why
      return []
    }
  })
  /** @type {Map<number, HTMLElement | null>} */
  const made = new Map()
  const block = (/** @type {number} */ at) => {
    const there = made.get(at)
    if (there !== undefined) return there
    const { id, sheet, unitId, unit } = /** @type {Row} */ (rows[at])
    const vehicle = vehicleNow(id, sheet)
    const shown = vehicle?.units[unitId]
    const section = vehicle && shown ? h('section', { class: 'entry' }) : null
    if (section && vehicle && shown) unitBlock(section, { vehicle, unit: shown, sheet: unit, site, base }, { vehicle: true })
    made.set(at, section)
    return section
  }
  return {
    hidden, vehicles: own.length, words: rows.map(({ words }) => words),
    replaced: own.map(({ id }) => id).filter((id) => site.vehicles.some((one) => one.id === id)),
    show(place, ids, most, more) {
      const rest = ids.length - most
      const blocks = ids.slice(0, most).map(block)
      fill(place, broken, blocks, rest > 0 && h('button', { type: 'button', class: 'btn line', onclick: more }, `Show ${rest} more units`))
    },
    async check() {
      const before = broken.length
      for (const { id, sheet } of own) {
        vehicleNow(id, sheet)
        await new Promise((resolve) => setTimeout(resolve)) // a key pressed meanwhile comes first
      }
      return broken.length > before
    },
  }
}

/** @param {Sheet} sheet @param {UnitSheet} unit @returns {string} all words that a person may type to find this unit */
function wordsOf(sheet, unit) {
  const bolts = Object.values(unit.fasteners ?? {}).flatMap((group) => [group.name, `${group.count} × ${group.thread}`, group.class ? `class ${group.class}` : ''])
  const fluid = unit.fluid ? `${unit.fluid.grade} ${unit.fluid.category}` : ''
  return [sheet.name, sheet.short, unit.label, unit.place, unit.code, unit.kind.replace(/-/g, ' '), ...(unit.words ?? []), fluid, unit.tag ?? '', ...bolts].join(' ')
}
