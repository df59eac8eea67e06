// Reads a backup back: what is in it, or in words why it is refused. Nothing here is stored; a file is taken as a whole
// or not at all. lib/backup.js tells its shape.
import { replay } from './replay.js'
import { sane } from './shape.js'
import { event, job, logged, photo, vehicle } from './shapes.js'
import { sheet } from './sheetshape.js'

/** @typedef {import('./sheetshape.js').Known} Known */
/** @typedef {Record<'jobs' | 'events' | 'photos' | 'log' | 'vehicles', any[]>} Records plain, as JSON holds them */
/**
 * @typedef {{ok: true, made: string, version: number, sha256: string, payload: string, lines: {no: number, store: string, record: any}[]}} Frame
 *   payload: the text that the digest is made of; no: number of the line in the file
 * @typedef {{ok: false, says: string}} Refused
 * @typedef {{ok: true, made: string, records: Records, without: number, odd: string[]}} Read
 *   without: photos whose picture is not in the file; odd: vehicles that are left out, each with why
 */

export const LARGEST = 300_000_000 // letters of a file
const LONGEST = 16_000_000 // letters of a line
const MOST = 300_000 // records
const FORMAT = 2
const STORE = 2

const OTHER = 'Pick another file: a backup of this site is named fillmark-backup.'
const AGAIN = 'Get the file again from where it was kept, or take an older one.'
const NEWER = 'Load this page once with a network, so that it is the newest, and try again.'

class No extends Error {}

/** @template T @param {() => T} work @returns {T | Refused} */
function guarded(work) {
  try {
    return work()
  } catch (error) {
    if (error instanceof No) return { ok: false, says: error.message }
    throw error
  }
}

/** @param {string} line @param {number} no @returns {any} */
function json(line, no) {
  if (line.length > LONGEST) throw new No(`Line ${no} is longer than any record, ${line.length} letters. ${AGAIN}`)
  try {
    return JSON.parse(line)
  } catch {
    throw new No(`Line ${no} is cut or changed: it is no record. ${AGAIN}`)
  }
}

/** @param {unknown} value @returns {value is Record<string, any>} */
const mapping = (value) => typeof value === 'object' && value !== null && !Array.isArray(value)

/**
 * The lines of a file: whether it is a backup of a known version and all of it is there.
 * @param {string} text
 * @returns {Frame | Refused}
 */
export const frame = (text) => guarded(() => {
  if (!text.trim()) throw new No(`There is nothing in it. ${OTHER}`)
  if (text.length > LARGEST) throw new No(`It is too large: ${text.length} letters, at most ${LARGEST}. ${OTHER}`)
  // A mail on its way may have changed the line ends; the digest is made with the plain ones.
  const plain = text.includes('\r') ? text.replaceAll('\r\n', '\n') : text
  const all = plain.split('\n')
  const from = all.findIndex((line) => line.startsWith('{'))
  const head = from < 0 ? null : json(all[from] ?? '', from + 1)
  if (!mapping(head) || !('backup' in head)) {
    throw new No(mapping(head) && 'store' in head ? `This is the record of one job, not a backup. ${OTHER}` : `This is no backup of this site. ${OTHER}`)
  }
  const { backup, version, counts, sha256 = '', made } = head
  if (backup > FORMAT) throw new No(`A newer version of the site made this file: form ${backup}, this page reads up to ${FORMAT}. ${NEWER}`)
  if (version > STORE) throw new No(`A newer version of the site made this file: store ${version}, this page knows up to ${STORE}. ${NEWER}`)
  const known = (backup === 1 || backup === 2) && Number.isInteger(version) && version > 0 && mapping(counts) && typeof made === 'string'
  if (!known || typeof sha256 !== 'string' || (sha256 && !/^[0-9a-f]{64}$/.test(sha256))) {
    throw new No(`Line ${from + 1} is changed: it must say which backup this is, when it was made and what is in it. ${AGAIN}`)
  }

  /** @type {Frame['lines']} */
  const lines = []
  const start = all.slice(0, from + 1).reduce((sum, line) => sum + line.length + 1, 0)
  let stop = start
  let end = null
  for (let i = from + 1; i < all.length && end === null; i += 1) {
    const line = all[i] ?? ''
    if (!line && i === all.length - 1) break
    const one = json(line, i + 1)
    if (mapping(one) && typeof one.store === 'string' && mapping(one.record)) lines.push({ no: i + 1, store: one.store, record: one.record })
    else if (mapping(one) && 'end' in one) end = one.end
    else throw new No(`Line ${i + 1} is changed: it must name a store and hold a record. ${AGAIN}`)
    if (end === null) stop += line.length + 1
    if (lines.length > MOST) throw new No(`It holds more than ${MOST} records. ${OTHER}`)
  }
  const wanted = Object.values(counts).reduce((sum, count) => sum + Number(count), 0)
  if (end === null) throw new No(`The end of the file is missing: ${lines.length} of ${wanted} records are there. ${AGAIN}`)
  if (end !== lines.length + 1) throw new No(`Its last line counts ${end} lines, ${lines.length + 1} are there. ${AGAIN}`)
  return { ok: true, made: made.slice(0, 40), version, sha256, payload: plain.slice(start, stop), lines: counted(lines, counts) }
})

/** @param {Frame['lines']} lines @param {Record<string, unknown>} counts */
function counted(lines, counts) {
  /** @type {Map<string, number>} */
  const there = new Map(Object.keys(counts).map((name) => [name, 0]))
  for (const { store } of lines) there.set(store, (there.get(store) ?? 0) + 1)
  for (const [name, count] of there) {
    const said = Object.hasOwn(counts, name) ? counts[name] : 0
    if (said !== count) throw new No(`It says that it holds ${said} ${name}, ${count} are there. ${AGAIN}`)
  }
  return lines
}

/** @type {Record<keyof Records, import('./shape.js').Shape>} */
const SHAPES = { jobs: job, events: event, photos: photo, log: logged, vehicles: vehicle }
const NAMES = /** @type {(keyof Records)[]} */ (Object.keys(SHAPES))

/**
 * The records of a file whose lines are right: each has its shape, none stands twice, every job is whole.
 * @param {Frame} file @param {Known} known units and sources of the site, which vehicles are held to
 * @returns {Read | Refused}
 */
export const records = (file, known) => guarded(() => {
  /** @type {Records} */
  const out = { jobs: [], events: [], photos: [], log: [], vehicles: [] }
  const seen = new Set()
  /** @type {string[]} */
  const odd = []
  let without = 0
  for (const { no, store, record } of file.lines) {
    if (store === 'notes') continue // of that phone only: who writes, which drafts
    const name = NAMES.find((one) => one === store)
    if (!name) throw new No(`Line ${no}: there is no store called ${store.slice(0, 40)}. ${AGAIN}`)
    const says = sane(record, name) || SHAPES[name](record, name)
    if (says) throw new No(`Line ${no}: ${says}. ${AGAIN}`)
    if (seen.has(`${name} ${record.id}`)) throw new No(`Line ${no}: ${name} ${record.id} stands twice. ${AGAIN}`)
    seen.add(`${name} ${record.id}`)
    // What a sheet may say changes with the site's content, so one that does not fit keeps no log from coming back.
    const off = name === 'vehicles' && record.sheet ? offSheet(record, known) : ''
    if (off) odd.push(off)
    else if (name === 'photos' && record.blob.data === null) without += 1
    else out[name].push(record)
  }
  chains(out)
  return { ok: true, made: file.made, records: out, without, odd }
})

/** @param {any} record @param {Known} known @returns {string} */
function offSheet({ id, sheet: raw }, known) {
  /** @type {import('./sheetshape.js').Problem[]} */
  const out = []
  sheet(raw, '', known, out)
  return out[0] ? `Vehicle ${id}, ${out[0].path}: ${out[0].says}; expected ${out[0].expected}, got ${out[0].got}` : ''
}

/** Every job has all its events, from its beginning, in a row, and they can be followed. @param {Records} all */
function chains({ jobs, events }) {
  const chain = new Map(jobs.map((one) => [one.id, /** @type {any[]} */ ([])]))
  for (const one of events) {
    const its = chain.get(one.job)
    if (!its) throw new No(`Event ${one.id} belongs to job ${one.job}, which is not in the file. ${AGAIN}`)
    its.push(one)
  }
  for (const { id, title, count } of jobs) {
    const its = (chain.get(id) ?? []).sort((a, b) => a.seq - b.seq)
    if (its.length !== count || its.some((one, i) => one.seq !== i + 1)) throw new No(`Job "${title}" must have its events 1 to ${count}, got ${its.length}. ${AGAIN}`)
    try {
      replay(its)
    } catch (error) {
      throw new No(`Job "${title}" cannot be followed: ${error instanceof Error ? error.message : error}. ${AGAIN}`)
    }
  }
}

/** Both in one. @param {string} text @param {Known} known @returns {(Read & {sha256: string, payload: string}) | Refused} */
export function parse(text, known) {
  const file = frame(text)
  if (!file.ok) return file
  const read = records(file, known)
  return read.ok ? { ...read, sha256: file.sha256, payload: file.payload } : read
}
