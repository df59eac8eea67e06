// The looks that work and events leave to be done: those that a job stored, and those that the rules make of an entry typed
// by hand. Open until an entry closes them; work that asks for a look of the same kind on the same unit again takes the place
// of the older one, since what was to be looked at is no longer as it was left.
import { isoOf } from './calendar.js'
import { METRES, factorAt } from './eras.js'

/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').FollowUp} FollowUp */
/** @typedef {import('../types').EventRule} EventRule */
/** @typedef {import('./ledger.js').Ledger} Ledger */
/**
 * @typedef {FollowUp & {lap: number, day: number, own: boolean, closers: string[], notBefore: number | null}} Look `lap` is what
 *   to add to its distances for rollovers; `day` of its entry; `own` where it stands on the unit of its entry; `closers` is
 *   the work that settles it, not before the odometer stands at `notBefore`
 * @typedef {{open: Look[], overtaken: Look[], settled: {look: Look, by: Entry}[]}} Looks
 */

const SLIPPING = ['clutch-ls', 'cone-ls']

/**
 * @param {Ledger} ledger
 * @param {EventRule[]} rules
 * @returns {Looks}
 */
export function looksOf(ledger, rules) {
  /** @type {Looks} */
  const looks = { open: [], overtaken: [], settled: [] }
  /** @type {Map<string, Look[]>} */
  const open = new Map(Object.keys(ledger.vehicle.units).map((unit) => [unit, []]))
  for (const record of ledger.records) {
    const { entry } = record
    // Nearly all entries have to do with the looks on their own unit only.
    const wide = entry.closes?.length || ledger.vehicle.units[entry.unit]?.kind === 'vehicle'
    const settled = (wide ? [...open.values()].flat() : open.get(entry.unit) ?? []).filter((look) => settles(ledger, entry, look))
    looks.settled.push(...settled.map((look) => ({ look, by: entry })))
    const made = entry.job || record.followUps.length ? record.followUps.map((stored) => storedLook(ledger, entry, stored, rules))
      // A re-torque is itself a refit by its card, and would ask for the next one for ever.
      : madeLooks(ledger, entry, rules).filter((look) => !settled.some(({ kind, unit }) => kind === look.kind && unit === look.unit))
    const known = made.filter((look) => ledger.vehicle.units[look.unit])
    for (const unit of new Set(settled.map((look) => look.unit))) open.set(unit, (open.get(unit) ?? []).filter((look) => !settled.includes(look)))
    const again = known.filter(({ own }) => own).map(({ kind }) => kind)
    if (again.length) {
      const here = open.get(entry.unit) ?? []
      looks.overtaken.push(...here.filter(({ kind }) => again.includes(kind)))
      open.set(entry.unit, here.filter(({ kind }) => !again.includes(kind)))
    }
    for (const look of known) open.get(look.unit)?.push(look)
  }
  return { ...looks, open: [...open.values()].flat() }
}

/**
 * By name: its own id, or that of its entry. The entry's id settles the looks on the entry's own unit and on the unit now
 * at hand, and all of them where the whole vehicle was gone over. Not by name: work that settles this kind, on a later day.
 * @param {Ledger} ledger @param {Entry} entry @param {Look} look @returns {boolean}
 */
function settles({ vehicle, day, at }, entry, look) {
  if (!entry.finished) return false
  const whole = vehicle.units[entry.unit]?.kind === 'vehicle'
  const here = whole || entry.unit === look.unit
  if (entry.closes?.includes(look.id)) return true
  if (entry.closes?.includes(look.entry) && (here || look.own)) return true
  if (look.notBefore !== null && !((at(entry) ?? 0) >= look.notBefore)) return false
  return here && look.closers.includes(entry.procedure) && day(entry) > look.day
}

/** @param {Ledger} ledger @param {Entry} entry @param {FollowUp} stored @param {EventRule[]} rules @returns {Look} */
function storedLook({ track, day, at }, entry, stored, rules) {
  const mine = rules.filter(({ look }) => look === stored.kind)
  const lap = track.laps.get(entry.id) ?? 0
  // Next morning and again after a distance: the one in the morning does not settle the other.
  const again = mine.some(({ days }) => days > 0) && !stored.due && stored.to !== null
  const to = (stored.to ?? 0) + lap
  return {
    ...stored, lap, day: day(entry), own: stored.unit === entry.unit, closers: mine.flatMap(({ closedBy }) => closedBy),
    notBefore: again ? (to + (at(entry) ?? to)) / 2 : null,
  }
}

/** @param {Ledger} ledger @param {Entry} entry @param {EventRule[]} rules @returns {Look[]} */
function madeLooks(ledger, entry, rules) {
  const { vehicle } = ledger
  return rules.filter(({ id, after }) => after.includes(entry.procedure) || (entry.event && (id === entry.event || after.includes(entry.event))))
    .flatMap((rule) => {
      const units = rule.kinds.length ? Object.values(vehicle.units).filter(({ kind }) => rule.kinds.includes(kind)).map(({ id }) => id) : [entry.unit]
      return units.filter((unit) => !rule.onlyIf || SLIPPING.includes(vehicle.units[unit]?.diff ?? '')).map((unit) => madeLook(ledger, entry, rule, unit))
    })
}

/** @param {Ledger} ledger @param {Entry} entry @param {EventRule} rule @param {string} unit @returns {Look} */
function madeLook({ vehicle, track, eras, at, day }, entry, rule, unit) {
  const start = at(entry)
  const lap = track.laps.get(entry.id) ?? 0
  const { unit: miles } = vehicle.odometer
  const after = (/** @type {number} */ distance) =>
    distance && start !== null ? Math.round(start - lap + distance / factorAt(eras, start) / METRES[miles]) : null
  return {
    id: `${entry.id}:${rule.id}:${unit}`, entry: entry.id, vehicle: vehicle.id, unit, kind: rule.look, says: rule.action,
    due: rule.days ? isoOf(day(entry) + rule.days) : '',
    from: after(rule.earliest), to: after(rule.latest), hardStop: after(rule.hardStop), odometerUnit: miles,
    lap, day: day(entry), own: unit === entry.unit, closers: rule.closedBy, notBefore: null,
  }
}
