// What the log says of one vehicle, in order: the entries that count, where the odometer stood, at what pace it goes.
import { dayOf } from './calendar.js'
import { erasOf, trackOf, where } from './eras.js'
import { paceOf } from './pace.js'

/** @typedef {import('../types').Vehicle} Vehicle */
/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').LogRecord} LogRecord */
/**
 * @typedef {{vehicle: Vehicle, records: LogRecord[], entries: Entry[], byUnit: Map<string, Entry[]>, byId: Map<string, Entry>,
 *   replaced: Map<string, Entry>, ahead: Entry[],
 *   track: import('./eras.js').Track, eras: import('./eras.js').Eras, pace: import('./pace.js').Pace,
 *   at(entry: Entry): number | null, day(entry: Entry): number}} Ledger `records` and `entries` count and are in order;
 *   `replaced` is those that were corrected, `ahead` those dated after today; `at` is the odometer with rollovers counted in, null where it is not known
 */

/**
 * @param {Vehicle[]} vehicles
 * @param {LogRecord[]} records
 * @param {string} today ISO date; what is dated later has not happened
 * @returns {Ledger[]} one per vehicle, in their order
 */
export function ledgersOf(vehicles, records, today) {
  const gone = new Set(records.map(({ entry }) => entry.replaces).filter(Boolean))
  const limit = dayOf(today)
  /** @type {Map<string, LogRecord[]>} */
  const lists = new Map(vehicles.map(({ id }) => [id, []]))
  for (const record of records) lists.get(record.entry.vehicle)?.push(record)
  return vehicles.map((vehicle) => ledgerOf(vehicle, lists.get(vehicle.id) ?? [], gone, limit))
}

/** @param {Vehicle} vehicle @param {LogRecord[]} every of it @param {Set<string>} gone @param {number} limit day @returns {Ledger} */
function ledgerOf(vehicle, every, gone, limit) {
  const all = every.filter(({ entry }) => dayOf(entry.date) <= limit)
  const live = all.filter(({ id }) => !gone.has(id))
  const track = trackOf(vehicle, live.map(({ entry }) => entry))
  const believed = new Map(track.points.map((point) => [point.entry, point.at]))
  const days = new Map(live.map(({ entry }) => [entry, dayOf(entry.date)]))
  const day = (/** @type {Entry} */ entry) => days.get(entry) ?? dayOf(entry.date)
  const at = (/** @type {Entry} */ entry) => believed.get(entry.id) ?? where(track.points, day(entry))
  const places = new Map(live.map((record) => [record, { day: day(record.entry), at: at(record.entry) ?? -1 }]))
  const place = (/** @type {LogRecord} */ record) => places.get(record) ?? { day: 0, at: 0 }
  const records = live.sort((a, b) => place(a).day - place(b).day || place(a).at - place(b).at || a.at - b.at || (a.id < b.id ? -1 : 1))
  const entries = records.map(({ entry }) => entry)
  /** @type {Map<string, Entry[]>} */
  const byUnit = new Map()
  for (const entry of entries) {
    const list = byUnit.get(entry.unit)
    if (list) list.push(entry)
    else byUnit.set(entry.unit, [entry])
  }
  return {
    vehicle, records, entries, byUnit, byId: new Map(entries.map((entry) => [entry.id, entry])), track, eras: erasOf(vehicle), pace: paceOf(track.points), at, day,
    ahead: all.length === every.length ? [] : every.map(({ entry }) => entry).filter(({ date }) => dayOf(date) > limit),
    replaced: new Map(all.filter(({ id }) => gone.has(id)).map(({ id, entry }) => [id, entry])),
  }
}
