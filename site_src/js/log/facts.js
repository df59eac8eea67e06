// What an entry says, in the words of the trade: one list for the log on the screen and for the printed history.
import { both } from '../job/words.js'
import { typed, volume } from '../lib/entry.js'
import { distance } from '../lib/odometer.js'
import { labelOf } from './fields.js'

/** @typedef {import('../types.js').Entry} Entry */
/** @typedef {import('../types.js').LogRecord} LogRecord */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {[label: string, words: string]} Fact */

/** @param {Pick<Entry, 'procedure' | 'event'>} entry @param {SiteData} site @returns {string} `P18 Top-up`, `Water above hub height` */
export function workOf({ procedure, event }, site) {
  const title = site.work[procedure]?.title ?? ''
  if (procedure === 'event') return site.events.find((one) => one.id === event)?.event ?? title
  return /^P\d/.test(procedure) ? `${procedure} ${title}`.trim() : title || procedure
}

/** @param {Entry} entry @param {Vehicle | undefined} vehicle @returns {string} */
export const unitOf = ({ unit }, vehicle) => (unit ? vehicle?.units[unit]?.title ?? unit : 'whole vehicle')

/** @param {Entry} entry @returns {string} as the clock showed it; a reading in another unit stays as it was typed */
export function odometerOf({ odometer, odometerUnit }) {
  const value = Number(odometer.typed)
  return odometer.unit === odometerUnit && /^\d+$/.test(odometer.typed) ? distance(value, odometer.unit) : typed(odometer)
}

/** @param {Entry} entry @returns {string} the litres and the fluid in one line, '' where there are none */
export function litresOf(entry) {
  const parts = /** @type {[string, import('../types.js').Reading | null | undefined][]} */ (
    [['out', entry.out], ['flush', entry.flush], ['in', entry.in], ['additive', entry.additive]])
  return [...parts.flatMap(([label, reading]) => (reading ? [`${label} ${volume(reading)}`] : [])), entry.fluid].filter(Boolean).join(', ')
}

/** @param {Record<string, import('../types.js').Reading>} readings @param {string[]} without @returns {string} */
const read = (readings, without = []) => Object.entries(readings).filter(([id]) => !without.includes(id))
  .map(([id, reading]) => `${labelOf(id)} ${typed(reading)}`).join(', ')

/** Fields of a job that stand in the entry by themselves. */
const OWN = ['volume-out', 'volume-in', 'additive-in', 'oil-product', 'oil-grade', 'oil-category', 'level-verified', 'vehicle-level', 'deviation',
  'batch', 'receipt', 'waste']

/**
 * @param {LogRecord} record @param {Vehicle | undefined} vehicle
 * @param {(id: string) => string} named words for the id of an entry or a follow-up
 * @param {string[]} looks what it left to be looked at, and whether that is open
 * @returns {Fact[]} only what is there, in the order of the work
 */
export function facts({ entry }, vehicle, named, looks) {
  const fasteners = vehicle?.units[entry.unit]?.fasteners ?? {}
  const own = (/** @type {string} */ id) => typed(entry.done[id] ?? entry.left[id] ?? entry.found[id])
  const rows = /** @type {Fact[]} */ ([
    ['Defect', entry.defect], ['Remarks', entry.says ?? ''], ['As found', read(entry.found, OWN)],
    ['Litres and fluid', litresOf(entry)],
    ['Level seen at the rule', entry.levelVerified], ['Vehicle level both ways', entry.vehicleLevel],
    ['Torque used', entry.torque.map(({ role, target, used, state }) =>
      `${fasteners[role]?.name ?? role} ${both(used)}${Math.abs(used - target) > 0.005 * target ? `, table ${both(target)}` : ', as the table'}, threads ${state}`).join('; ')],
    ['Job', read(entry.done, OWN)], ['As left', read(entry.left, OWN)],
    ['Notes', entry.notes.map(({ step, text }) => (step ? `step ${step}: ${text}` : text)).join('; ')],
    ['Deviations', entry.deviations.join('; ')],
    ['Parts', entry.parts ?? ''], ['Batch', entry.batch || own('batch')], ['Cost', entry.cost ?? ''], ['Receipt', entry.receipt || own('receipt')],
    ['Waste', entry.waste || own('waste')],
    ['Settles', (entry.closes ?? []).map(named).join('; ')],
    ['Follow-ups', looks.join('; ')],
    ['Photos', entry.photos.length ? `${entry.photos.length}` : ''],
  ])
  return rows.filter(([, words]) => words)
}
