// What a page of the log needs around its entries: vehicles by id, corrections, the looks left open, words for an id.
import * as garage from '../garage.js'
import { day, due } from '../job/words.js'
import { task } from '../lib/duewords.js'
import { corrections } from '../lib/entry.js'
import { ledgersOf } from '../lib/ledger.js'
import { looksOf } from '../lib/looks.js'
import { unitOf, workOf } from './facts.js'

/** @typedef {import('../types.js').LogRecord} LogRecord */
/** @typedef {import('../types.js').Entry} Entry */
/**
 * @typedef {{site: import('../types.js').SiteData, vehicles: Map<string, import('../types.js').Vehicle>, by: Map<string, Entry>,
 *   named(id: string): string, looks(entry: string): string[]}} Around by: the correction that took the place of an entry;
 *   looks: what an entry left to be looked at, each with what became of it
 * @typedef {{words: Map<string, string>, of: Map<string, string[]>}} Looks by their own id; by the id of their entry
 */

/**
 * @param {LogRecord[]} records @param {(id: string) => string} [numbered] words for an entry instead of its day and work
 * @returns {Promise<Around>}
 */
export async function around(records, numbered) {
  const site = await garage.site()
  const ids = [...new Set(records.map(({ entry }) => entry.vehicle))]
  const vehicles = new Map((await Promise.all(ids.map((id) => garage.vehicle(id).catch(() => null)))).flatMap((one) => (one ? [[one.id, one]] : [])))
  const entries = new Map(records.map(({ entry }) => [entry.id, entry]))
  /** @type {Looks | null} */
  let kept = null
  // Worked out when the first entry is opened: the list itself does not need it.
  /** @returns {Looks} */
  const worked = () => (kept ??= looksIn([...vehicles.values()], records, site, named))
  /** @type {(id: string) => string} */
  const named = (id) => {
    const entry = entries.get(id)
    if (entry) return numbered ? numbered(id) : `${entry.date} ${workOf(entry, site)}, ${unitOf(entry, vehicles.get(entry.vehicle))}`
    return worked().words.get(id) ?? 'an entry that is not in this log'
  }
  return { site, vehicles, by: corrections(records), named, looks: (id) => worked().of.get(id) ?? [] }
}

/**
 * @param {import('../types.js').Vehicle[]} vehicles @param {LogRecord[]} records @param {import('../types.js').SiteData} site
 * @param {(id: string) => string} named @returns {Looks}
 */
function looksIn(vehicles, records, site, named) {
  /** @type {Map<string, string>} */
  const words = new Map()
  /** @type {Map<string, string[]>} */
  const of = new Map()
  for (const ledger of ledgersOf(vehicles, records, day(Date.now()))) {
    const { open, overtaken, settled } = looksOf(ledger, site.events)
    /** @param {typeof open[number]} look @param {string} state */
    const add = (look, state) => {
      const elsewhere = look.own ? '' : ` ${ledger.vehicle.units[look.unit]?.title ?? look.unit}`
      words.set(look.id, `${task(look.kind)}${elsewhere}, left by ${named(look.entry)}`)
      const until = due(look)
      of.set(look.entry, [...(of.get(look.entry) ?? []), `${task(look.kind)}${elsewhere}${until ? ` (${until})` : ''} ${state}`])
    }
    for (const { look, by } of settled) add(look, `closed by ${named(by.id)}`)
    for (const look of overtaken) add(look, 'taken over by later work on it')
    for (const look of open) add(look, 'open')
  }
  return { words, of }
}
