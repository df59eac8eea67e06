// What is due, worked out once and kept: a log of years need not be read again before the first screen stands. It is
// worked out anew when the log, a vehicle, the demo data, the site's own data, its reckoning or the day has changed.
import { day } from '../job/words.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Due} Due */
/** @typedef {{id: string, name: string, short: string, invented: boolean, own: boolean, unit: 'mi' | 'km',
 *   units: Record<string, string>}} Named a vehicle and its units in words */
/** @typedef {{key: string, dues: Due[], findings: number, vehicles: Named[], unread: string[]}} Digest */

const KEY = 'due-digest'

/** @param {HTMLElement} element of the page, whose data-made tells data and reckoning of the site @returns {Promise<Digest>} */
export async function digest(element) {
  const [kept, marks, ...shown] = await store.notedAll([KEY, store.MARKS, 'demo-hidden', 'demo-log', 'chosen'])
  const { rev = 0 } = /** @type {{rev?: number}} */ (marks ?? {})
  const key = [element.dataset.made, rev, ...shown, day(Date.now())].join(' ')
  const found = /** @type {Digest | undefined} */ (kept)
  if (found?.key === key) return found
  const { worked } = await import('./worked.js')
  const { dues, findings, vehicles, unread } = await worked()
  const fresh = {
    key, dues, unread, findings: findings.length,
    vehicles: vehicles.map(({ own, ...one }) => ({
      id: one.id, name: one.name, short: one.short, invented: one.invented, own, unit: one.odometer.unit,
      units: Object.fromEntries(Object.values(one.units).map(({ id, title }) => [id, title])),
    })),
  }
  await store.jot(KEY, fresh).catch(() => {}) // no room: it is worked out again next time
  return fresh
}
