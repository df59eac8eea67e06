// The plan as it is kept on the phone: one plan, and beside it what was typed once and holds for the next one too.
import * as garage from '../garage.js'
import { cardsFor } from '../lib/match.js'
import { vehicleOf } from '../lib/sheet.js'
import { today } from '../own/where.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Card} Card */
/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {import('../types.js').Unit} Unit */
/** @typedef {{vehicle: string, unit: string, no: string, option: string, label: Record<number, number>}} Chosen */
/**
 * @typedef {{jobs: Chosen[], date: string, begin: string, until: string, pairs: number, spill: string, flush: string,
 *   air: string, damp: string, metal: string, labelAir: string, labelDamp: string, slope: string, stand: string, gap: string, stack: string, under: string, creeper: string,
 *   solvent: string, ticked: string[]}} Plan amounts as typed
 * @typedef {{size: string, price: string, stock: string, shop: string}} Offer
 * @typedef {{grade: string, category: string, left: string, opened: string, best: string}} Part
 * @typedef {{offers: Record<string, Offer[]>, shelf: Part[], have: Record<string, string>, shops: Record<string, string>}} Known
 */
/** @typedef {{chosen: Chosen, id: string, card: Card, unit: Unit, vehicle: Vehicle, begun?: import('./running.js').Begun}} Job */

const PLAN = 'plan'
const KNOWN = 'plan-known'

/** @returns {Plan} */
export const blank = () => ({
  jobs: [], date: today(), begin: '09:00', until: '', pairs: 1, spill: '5', flush: '', air: '', damp: '', metal: '',
  labelAir: '23', labelDamp: '50', slope: '', stand: '', gap: '', stack: '', under: '', creeper: '', solvent: '', ticked: [],
})

/** @returns {Promise<{plan: Plan, known: Known}>} what an older version kept is taken with what it lacks */
export async function kept() {
  const [plan, known] = /** @type {[Partial<Plan> | undefined, Partial<Known> | undefined]} */ (await store.notedAll([PLAN, KNOWN]))
  return { plan: { ...blank(), ...plan }, known: { offers: {}, shelf: [], have: {}, shops: {}, ...known } }
}

/** @param {Plan} plan @param {Known} known @returns {Promise<unknown>} once both are on the disk; rejects with NotSaved */
export const keep = (plan, known) => Promise.all([store.note(PLAN, plan), store.note(KNOWN, known)])

/**
 * @param {Chosen[]} chosen
 * @returns {Promise<{jobs: Job[], lost: string[]}>} `lost` says what is not there any more
 */
export async function worked(chosen) {
  const site = await garage.site()
  /** @type {Job[]} */
  const jobs = []
  /** @type {string[]} */
  const lost = []
  for (const [index, one] of chosen.entries()) {
    try {
      const [found, card] = await Promise.all([garage.sheet(one.vehicle), garage.card(one.no)])
      const vehicle = found && vehicleOf(one.vehicle, found.sheet, site)
      const unit = vehicle?.units[one.unit]
      if (!vehicle || !unit) throw new Error('its vehicle or unit is not on this phone.')
      jobs.push({ chosen: one, id: `${index}`, card, unit, vehicle })
    } catch (error) {
      lost.push(`${one.no}, ${one.vehicle} ${one.unit}: ${error instanceof Error ? error.message : error}`)
    }
  }
  return { jobs, lost }
}

/** @returns {Promise<{site: import('../types.js').SiteData, vehicles: Vehicle[]}>} every vehicle that is shown; one that cannot be read is left out */
export async function vehicles() {
  const [site, sheets] = await Promise.all([garage.site(), garage.sheets()])
  const all = sheets.flatMap(({ id, sheet }) => {
    try {
      return [vehicleOf(id, sheet, site)]
    } catch {
      return [] // its own page says so
    }
  })
  return { site, vehicles: all }
}

/** @param {Unit} unit @param {import('../types.js').SiteData} site @returns {import('../types.js').CardRow[]} */
export const offered = (unit, site) => cardsFor(unit, site.cards)
