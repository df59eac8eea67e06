// What the rules that read the log share: what they are given, and figures in words, each with its unit and where it stands.
import { METRES } from './eras.js'
import { format } from './quantity.js'

/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').Unit} Unit */
/** @typedef {import('../types').Finding} Finding */
/** @typedef {import('../types').SiteData} SiteData */
/** @typedef {import('../types').Reading} Reading */
/** @typedef {Pick<SiteData, 'service' | 'events' | 'work'>} Rules */
/** @typedef {import('./ledger.js').Ledger & {looks: import('./looks.js').Looks}} Book one vehicle: its log in order, and its looks */
/** @typedef {{today: string, books: Book[], site: Rules}} Given */
/** @typedef {Omit<Finding, 'rule'>} Found */

/** @param {number} cubic m³ @returns {string} */
export const litres = (cubic) => `${format(cubic * 1000, 3)} L`

/** @param {number} cubic m³ @returns {string} */
export const millilitres = (cubic) => `${Math.round(cubic * 1e6)} mL`

/** @param {Reading} reading @returns {string} as typed, and in litres where that is another unit */
export function volume({ typed, unit, si }) {
  const said = unit ? `${typed} ${unit}` : typed
  return si === null || unit === 'L' || unit === 'mL' || / m?L$/.test(typed) ? said : `${said} (${litres(si)})`
}

/** @param {{typed: string, si: number}} stated an amount of a sheet @returns {string} as typed, and in litres where that is another unit */
export const amount = ({ typed, si }) => volume({ typed, unit: '', si })

/** @param {number} value @returns {string} whole, thousands set apart by a thin space */
export const grouped = (value) => String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, '\u202f')

/** @param {number} share @returns {string} one decimal */
export const percent = (share) => `${(share * 100).toFixed(1)} %`

/** @param {number} metres @param {'mi' | 'km'} unit @returns {string} true distance */
export const distance = (metres, unit) => `${grouped(metres / METRES[unit])} ${unit} true`

/** @param {Entry} entry @returns {string} such as `2022-08-20 at 92 250 mi` */
export function stamp({ date, odometer: { typed, unit, si } }) {
  if (si === null) return date
  return `${date} at ${unit === 'mi' || unit === 'km' ? `${grouped(si / METRES[unit])} ${unit}` : `${typed} ${unit}`}`
}

/** @param {Unit | undefined} unit @returns {string} such as `Rear axle`, for the start of a sentence */
export const placeOf = (unit) => (unit?.place ?? '').replace(/^./, (letter) => letter.toUpperCase())

/** @param {Entry} entry @param {string} field @returns {number | null} SI, as left before as found */
export const readOf = ({ found, done, left }, field) => (left[field] ?? done[field] ?? found[field])?.si ?? null

/** @param {Entry} entry @param {Rules} site @returns {boolean} whether all of the fluid, or what drains of it, was renewed */
export const isChange = ({ procedure, finished }, { work }) => finished && ['change', 'part-change'].includes(work[procedure]?.does ?? '')

/** @param {Entry} entry @param {Rules} site @returns {boolean} */
export const isTopUp = ({ procedure }, { work }) => work[procedure]?.does === 'top-up'

/** @param {Entry} entry @returns {number} m³ poured, 0 where none */
export const poured = (entry) => entry.in?.si ?? 0

/** @param {Entry} entry @returns {boolean} whether the level was seen, on level ground or at least not known to be off it */
export const levelSeen = ({ levelVerified, vehicleLevel }) => levelVerified === 'yes' && vehicleLevel !== 'no'

/** @param {Book} book @param {Entry} entry @param {(later: Entry) => boolean} fits @returns {Entry | undefined} the first after it on its unit */
export function laterOn({ byUnit }, entry, fits) {
  const list = byUnit.get(entry.unit) ?? []
  return list.slice(list.findIndex(({ id }) => id === entry.id) + 1).find(fits)
}

/** @param {Book} book @returns {{unit: Unit, entries: Entry[]}[]} its units, each with its entries in order */
export const unitsOf = ({ vehicle, byUnit }) => Object.values(vehicle.units).map((unit) => ({ unit, entries: byUnit.get(unit.id) ?? [] }))
