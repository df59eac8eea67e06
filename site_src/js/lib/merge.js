// Two phones into one: the union by id. Where both have an id with other content, one rule decides that knows no sides,
// so that it comes out the same whichever way round, in whatever order, and however often two or more are merged.
import { canonical } from './canonical.js'

/** @typedef {import('./restore.js').Records} Records */
/**
 * @typedef {'jobs' | 'log' | 'photos' | 'vehicles'} Kind a job's events go with it
 * @typedef {{kind: Kind, id: string, ours: any, theirs: any, wins: 'ours' | 'theirs'}} Clash a job: {job, events}
 * @typedef {{all: Records, add: Records, adds: number, newer: number, here: number, clashes: Clash[]}} Merged
 *   all: the union; add: what of it is not here; adds, newer, here: how many of theirs are new here, replace an older
 *   one, are here already; a job with all its events is one. What clashes is in clashes only.
 */

/** @type {Kind[]} */
const KINDS = ['jobs', 'log', 'photos', 'vehicles']

/** @param {{id: string}} a @param {{id: string}} b */
const byId = (a, b) => (a.id < b.id ? -1 : Number(a.id > b.id))

/** @param {Records} stores @param {Kind} kind @returns {Map<string, any>} by id */
function wholes(stores, kind) {
  if (kind !== 'jobs') return new Map((stores[kind] ?? []).map((one) => [one.id, one]))
  const jobs = new Map((stores.jobs ?? []).map((one) => [one.id, { job: one, events: /** @type {any[]} */ ([]) }]))
  for (const one of stores.events ?? []) jobs.get(one.job)?.events.push(one)
  for (const { events } of jobs.values()) events.sort((a, b) => a.seq - b.seq)
  return jobs
}

/** What decides before the text does: the length of a job, the revision of a vehicle. @param {Kind} kind @param {any} one */
const rank = (kind, one) => ({ jobs: one.events?.length, vehicles: one.rev, log: 0, photos: 0 })[kind] ?? 0

/** @param {any[]} short @param {any[]} long @returns {boolean} whether the long one only goes on where the short one ends */
const goesOn = (short, long) => short.every((event, i) => canonical(event) === canonical(long[i]))

/** @param {Kind} kind @param {any} loser @param {any} winner @returns {boolean} whether something is lost */
function clash(kind, loser, winner) {
  if (kind === 'jobs') return !goesOn(loser.events, winner.events)
  return rank(kind, loser) === rank(kind, winner)
}

/**
 * @param {Records} ours @param {Records} theirs
 * @returns {Merged}
 */
export function merge(ours, theirs) {
  const all = empty()
  const add = empty()
  const out = { all, add, adds: 0, newer: 0, here: 0, clashes: /** @type {Clash[]} */ ([]) }
  for (const kind of KINDS) {
    const [mine, other] = [wholes(ours, kind), wholes(theirs, kind)]
    for (const id of [...new Set([...mine.keys(), ...other.keys()])].sort()) {
      const [a, b] = [mine.get(id), other.get(id)]
      const won = !b || (a && (rank(kind, a) - rank(kind, b) || (canonical(a) < canonical(b) ? -1 : 1)) > 0) ? a : b
      const same = a && b && canonical(a) === canonical(b)
      put(all, kind, won)
      if (won === b && !same) put(add, kind, b)
      if (same) out.here += 1
      else if (!a) out.adds += 1
      else if (b && clash(kind, won === b ? a : b, won)) out.clashes.push({ kind, id, ours: a, theirs: b, wins: won === b ? 'theirs' : 'ours' })
      else if (b) out[won === b ? 'newer' : 'here'] += 1
    }
  }
  return out
}

/** @returns {Records} */
const empty = () => ({ jobs: [], events: [], photos: [], log: [], vehicles: [] })

/** @param {Records} into @param {Kind} kind @param {any} one */
function put(into, kind, one) {
  if (kind !== 'jobs') return void into[kind].push(one)
  into.jobs.push(one.job)
  into.events.push(...one.events)
}

/** @param {Records} stores @returns {Records} in one order, whatever order they were read in */
export function ordered(stores) {
  const events = [...stores.events].sort((a, b) => (a.job === b.job ? a.seq - b.seq : byId({ id: a.job }, { id: b.job })))
  return { jobs: [...stores.jobs].sort(byId), events, photos: [...stores.photos].sort(byId), log: [...stores.log].sort(byId), vehicles: [...stores.vehicles].sort(byId) }
}
