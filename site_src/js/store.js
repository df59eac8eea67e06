// The only door to what is stored: jobs, their photos, the log and vehicles, in IndexedDB. (What a first frame needs is in store/early.js.)
// Saved means: the transaction is complete and flushed.
import { GONE, NotSaved } from './lib/notsaved.js'
import { database, got, put } from './phone/database.js'
import { second } from './phone/second.js'
import { claiming, claimKey } from './store/claims.js'
import { glance } from './store/early.js'


/** @typedef {import('./types.js').Event} Event */
/**
 * @typedef {{id: string, card: string, title: string, vehicle: string, unit: string, unitTitle: string,
 *   began: number, last: number, state: 'open' | 'resting' | 'signed' | 'stopped', count: number}} Summary
 * @typedef {{id: string, job: string, step: number, blob: Blob, width: number, height: number}} PhotoRecord
 * @typedef {import('./types.js').LogRecord} LogRecord
 * @typedef {import('./types.js').VehicleRecord} VehicleRecord
 */

const BASE = new URL(document.documentElement.dataset.base ?? './', location.href).pathname
const NAME = `fillmark ${BASE}`
const VERSION = 2
export const MARKS = 'marks'

/**
 * Each version adds and takes nothing away, so that older code can still export.
 * @param {IDBDatabase} db @param {number} old 0 where there was none @param {IDBTransaction} tx
 */
function create(db, old, tx) {
  if (old < 1) {
    const kept = db.createObjectStore('events', { keyPath: 'id' })
    kept.createIndex('job', 'job')
    kept.createIndex('job-seq', ['job', 'seq'], { unique: true })
    db.createObjectStore('jobs', { keyPath: 'id' })
    db.createObjectStore('photos', { keyPath: 'id' }).createIndex('job', 'job')
    db.createObjectStore('log', { keyPath: 'id' })
    db.createObjectStore('notes', { keyPath: 'key' })
  }
  // Opened without a version where nothing was, it is made as 1 and has them already.
  if (db.objectStoreNames.contains('vehicles')) return
  db.createObjectStore('vehicles', { keyPath: 'id' })
  // What was logged before changes were counted is in no backup that is known of.
  got(tx.objectStore('log').count()).then(async (logged) => {
    if (logged) await bump(tx, logged)
  }).catch(() => {}) // the upgrade failed, and says so itself
}

const ask = (/** @type {number | undefined} */ version) => globalThis.indexedDB?.open(NAME, version)
const { within, run, whole, hear } = database(ask, VERSION, create, second(NAME))

hear((words) => void import('./store/says.js').then(({ say }) => say(words), () => {})) // no signal and not kept yet: it is told with the next save

export { hear, NotSaved }

/** @template T @param {string} store @param {(from: IDBObjectStore) => IDBRequest<T>} what @returns {Promise<T>} */
const read = (store, what) =>
  within((life) => run([store], 'readonly', (tx) => got(what(tx.objectStore(store))), life))

/**
 * Count a change of the log or the vehicles, in the transaction that makes it.
 * @param {IDBTransaction} tx @param {number} changes entries and vehicles changed that no backup holds yet
 */
async function bump(tx, changes) {
  glance.forget()
  const notes = tx.objectStore('notes')
  const { rev = 0, made = 0, ...rest } = (await got(notes.get(MARKS)))?.value ?? {}
  put(tx, 'notes', { key: MARKS, value: { ...rest, rev: rev + 1, made: made + changes } })
}

// ---- what is kept

/** @type {Promise<unknown>} */
let writing = Promise.resolve()

/**
 * Write events, the job's summary and what belongs to them, all or nothing, after every append that was called before.
 * An event whose id is stored already is left as it is, so calling again after a failure is safe. This tab must hold
 * the claim. The first event of a job is its `begin`; one that signs off or stops it puts its entry into the log.
 * @param {string} job
 * @param {Omit<Event, 'seq'>[]} events numbered here
 * @param {Summary} summary its count is set here
 * @param {{photo?: PhotoRecord, log?: LogRecord}} [extra]
 * @returns {Promise<number>} the last seq of the job, once it is on the disk; rejects with NotSaved, within 5 s
 */
export function append(job, events, summary, extra = {}) {
  const own = claims.get(job)
  const saved = within(async (life) => {
    await writing.catch(() => {})
    if (life.over) throw new NotSaved('lost')
    if (!own || claims.get(job) !== own) throw new NotSaved('taken')
    const last = await run(['events', 'jobs', 'photos', 'log', 'notes'], 'readwrite', async (tx) => {
      const kept = tx.objectStore('events')
      // Asked for together, since each answer waits its turn behind the drawing of the page. The holder is looked up in
      // the same transaction: a tab that lost the claim and does not know it writes nothing.
      const [holder, end, there] = await Promise.all([
        got(tx.objectStore('notes').get(claimKey(job))),
        got(kept.index('job-seq').openKeyCursor(IDBKeyRange.bound([job], [job, []]), 'prev')),
        Promise.all(events.map((event) => got(kept.getKey(event.id)))),
      ])
      if (holder?.token !== own.token) {
        if (own.written) throw new NotSaved('taken')
        tx.objectStore('notes').put({ key: claimKey(job), token: own.token, at: Date.now() })
      }
      let seq = end ? Number(/** @type {IDBValidKey[]} */ (end.key)[1]) : 0
      const fresh = events.filter((_, i) => there[i] === undefined)
      if (!fresh.length) return seq
      let logged = extra.log ? 1 : 0
      if (!seq && fresh[0]?.kind !== 'begin') throw new NotSaved('lost', GONE)
      for (const event of fresh) {
        put(tx, 'events', { ...event, job, seq: (seq += 1) }, 'add')
        const ended = /** @type {Event} */ (event)
        if (ended.kind !== 'signed' && ended.kind !== 'stopped') continue
        const { entry, followUps } = { followUps: [], ...ended.data }
        put(tx, 'log', { id: entry.id, entry, followUps, at: event.at }) // never one without the other
        logged += 1
      }
      put(tx, 'jobs', { ...summary, id: job, count: seq })
      if (extra.photo) put(tx, 'photos', extra.photo)
      if (extra.log) put(tx, 'log', extra.log)
      if (logged) await bump(tx, logged)
      return seq
    }, life)
    own.written = true
    changed(job)
    return last
  })
  writing = saved
  return saved
}

/** @param {string} job @returns {Promise<Event[]>} in order */
export const events = (job) =>
  read('events', (from) => from.index('job-seq').getAll(IDBKeyRange.bound([job], [job, []])))

/** @returns {Promise<Summary[]>} */
export const jobs = () => read('jobs', (from) => from.getAll())

/** @returns {Promise<LogRecord[]>} */
export const log = () => read('log', (from) => from.getAll())

/** @returns {Promise<VehicleRecord[]>} one's own, also those that were taken away: their sheet is null */
export const vehicles = () => read('vehicles', (from) => from.getAll())

/** @param {string} id @returns {Promise<VehicleRecord | null>} */
export const vehicleRecord = async (id) => (await read('vehicles', (from) => from.get(id))) ?? null

/** @param {string} id @returns {Promise<Blob | null>} */
export const photo = async (id) => (await read('photos', (from) => from.get(id)))?.blob ?? null

/** @param {string} job @returns {Promise<PhotoRecord[]>} */
export const photosOf = (job) => read('photos', (from) => from.index('job').getAll(job))

/** @param {string[]} keys @returns {Promise<unknown[]>} several notes as of one moment */
export const notedAll = (keys) => within((life) => run(['notes'], 'readonly', async (tx) =>
  (await Promise.all(keys.map((key) => got(tx.objectStore('notes').get(key))))).map((one) => one?.value), life))

/** @param {string} key @returns {Promise<unknown>} what `note` kept, undefined where there is none */
export const noted = async (key) => (await read('notes', (from) => from.get(key)))?.value

/** @param {string} key @param {unknown} value @returns {Promise<unknown>} kept; rejects with NotSaved */
export const note = (key, value) => within((life) =>
  run(['notes'], 'readwrite', async (tx) => put(tx, 'notes', { key, value }), life))

/** The same for what can be worked out again: the second copy goes without. @type {typeof note} */
export const jot = (key, value) => within((life) =>
  run(['notes'], 'readwrite', (tx) => got(tx.objectStore('notes').put({ key, value })), life))

// ---- one writer across the tabs

const { claims, claim, takeOver, changed, watch } = claiming(NAME, within, run, () => newId())

export { claim, takeOver, watch }

/** @returns {Promise<boolean>} whether a job is open in any tab of this browser */
export const atWork = async () => (await import('./store/atwork.js')).atWork(NAME, jobs, notedAll)

// ---- what a job page does not need is loaded when it is asked for

const more = async () => (await import('./store/keep.js')).keep({ within, run, whole, bump, changed })

/**
 * Keep a vehicle. Its rev is one above the stored one's, 1 where it is new: else another tab changed it meanwhile.
 * @param {VehicleRecord} record @returns {Promise<void>} rejects with NotSaved
 */
export const putVehicle = async (record) => (await more()).putVehicle(record)

/**
 * Add to the log, with its photos, all or nothing. The same record again changes nothing; the same id with other
 * content is refused. A photo of an entry without a job carries the entry's id as its job.
 * @param {LogRecord} record @param {PhotoRecord[]} [photos] @returns {Promise<void>} rejects with NotSaved
 */
export const addToLog = async (record, photos = []) => (await more()).addToLog(record, photos)

/**
 * `rev` goes up with every change of log or vehicles; `since` counts the log entries and changes of vehicles that no
 * backup holds; `made` counts them all; `backup` is when the last one was handed over, epoch ms.
 * @returns {Promise<{rev: number, made: number, since: number, backup: number | null}>}
 */
export const marks = async () => (await more()).marks(await noted(MARKS))

/**
 * A backup was handed over.
 * @param {number} at epoch ms @param {number} [made] what `marks` said before it was read; without: all of now
 * @returns {Promise<void>} rejects with NotSaved
 */
export const backedUp = async (at, made) => (await more()).backedUp(at, made)

/** @returns {Promise<Stores>} whatever two phones can merge: all but the notes */
export const stored = async () => (await more()).stored()

/**
 * Take in records, all in one transaction, and read them back. A job comes with all its events, in place of those here.
 * @param {Partial<Stores>} add @param {Stores} [seen] what `stored` said: refused where it changed since
 * @returns {Promise<void>} rejects with NotSaved
 */
export const restore = async (add, seen) => (await more()).restore(add, seen)

/**
 * Everything stored, as text (lib/backup.js tells its shape). Also where a newer version of the site made the store.
 * @param {{photos?: boolean}} [options] photos: with their bytes, as data addresses
 * @returns {Promise<string>}
 */
export const exportAll = async (options) => (await more()).exportAll(options)

/** @typedef {{jobs: Summary[], events: Event[], photos: PhotoRecord[], log: LogRecord[], vehicles: VehicleRecord[]}} Stores */

/** @param {Omit<Event, 'seq'>[]} unsaved @returns {Promise<string>} as text, without the store */
export const exportText = async (unsaved) => (await more()).exportText(unsaved)

/** @returns {string} 32 hexadecimal digits */
export const newId = () =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('')

/** @returns {Promise<{free: number | null}>} bytes, null where the browser does not say */
export async function room() {
  const said = await navigator.storage?.estimate?.().catch(() => null)
  return { free: said ? Math.max(0, (said.quota ?? 0) - (said.usage ?? 0)) : null }
}

/**
 * Ask, in a tap, that the browser never clears this by itself.
 * @returns {Promise<boolean | null>} null where it cannot be asked
 */
export async function persist() {
  return (await navigator.storage?.persist?.().catch(() => false)) ?? null
}

/** @returns {Promise<boolean | null>} whether the browser never clears this by itself; null where it does not say */
export const persisted = async () => (await navigator.storage?.persisted?.().catch(() => null)) ?? null
