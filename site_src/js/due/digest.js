// What is due, worked out once and kept: a log of years need not be read again before the first screen stands. It is
// worked out anew when the log, a vehicle, the demo data or the day has changed.
import * as garage from '../garage.js'
import { day } from '../job/words.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Due} Due */
/** @typedef {import('../types.js').Finding} Finding */
/** @typedef {{id: string, name: string, short: string, invented: boolean, own: boolean, unit: 'mi' | 'km',
 *   units: Record<string, string>}} Named a vehicle and its units in words */
/** @typedef {{key: string, dues: Due[], findings: number, vehicles: Named[]}} Digest */

const KEY = 'due-digest'
/** To be raised when the same log comes to another answer. */
const MADE = 1

/** @returns {Promise<string>} changes with everything that the answer rests on */
async function keyNow() {
  const [marks, demo, site] = await Promise.all([store.marks(), garage.demo(), garage.site()])
  return [MADE, marks.rev, day(Date.now()), demo.hidden, demo.log, site.valuesAsOf, site.vehicles.length].join(' ')
}

/** @returns {Promise<Digest>} from the store where it still holds, else worked out and kept */
export async function digest() {
  const [key, kept] = await Promise.all([keyNow(), store.noted(KEY)])
  const found = /** @type {Digest | undefined} */ (kept)
  if (found?.key === key) return found
  const { dues, findings, vehicles } = await worked()
  const fresh = {
    key, dues, findings: findings.length,
    vehicles: vehicles.map(({ own, ...one }) => ({
      id: one.id, name: one.name, short: one.short, invented: one.invented, own, unit: one.odometer.unit,
      units: Object.fromEntries(Object.values(one.units).map(({ id, title }) => [id, title])),
    })),
  }
  await store.note(KEY, fresh).catch(() => {}) // no room: it is worked out again next time
  return fresh
}

/**
 * Everything, from the log itself.
 * @returns {Promise<{dues: Due[], findings: Finding[], vehicles: (import('../types.js').Vehicle & {own: boolean})[],
 *   records: import('../types.js').LogRecord[], today: string}>}
 */
export async function worked() {
  const [site, sheets, records, { vehicleOf }, { due }, { findings }] = await Promise.all([
    garage.site(), garage.sheets(), garage.records(),
    import('../lib/sheet.js'), import('../lib/due.js'), import('../lib/findings.js'),
  ])
  const vehicles = sheets.map(({ id, sheet, own }) => ({ ...vehicleOf(id, sheet, site), own }))
  const today = day(Date.now())
  const asked = { today, vehicles, records, site }
  return { dues: due(asked), findings: findings(asked), vehicles, records, today }
}
