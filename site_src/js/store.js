// The only file that touches storage: the jobs, their photos and the log in IndexedDB, the screen theme beside it.
// Saved means: the transaction is complete and flushed.
import { GONE, NotSaved } from './lib/notsaved.js'
import { database, got } from './phone/database.js'
import { line, lock, locks } from './phone/tabs.js'


/** @typedef {import('./types.js').Event} Event */
/**
 * @typedef {{id: string, card: string, title: string, vehicle: string, unit: string, unitTitle: string,
 *   began: number, last: number, state: 'open' | 'resting' | 'signed' | 'stopped', count: number}} Summary
 * @typedef {{id: string, job: string, step: number, blob: Blob, width: number, height: number}} PhotoRecord
 * @typedef {import('./types.js').Entry} Entry
 * @typedef {import('./types.js').FollowUp} FollowUp
 * @typedef {{id: string, entry: Entry, followUps: FollowUp[], at: number}} LogRecord
 */

const BASE = new URL(document.documentElement.dataset.base ?? './', location.href).pathname
const NAME = `fillmark ${BASE}`
const VERSION = 1
const RENEW = 5000 // ms between two signs of life of a lease, used where the browser has no locks
const STALE = 15_000 // ms after which a lease without a sign of life is free

/**
 * A later version may add to this and take nothing away, so that older code can still export.
 * @param {IDBDatabase} db
 */
function create(db) {
  const kept = db.createObjectStore('events', { keyPath: 'id' })
  kept.createIndex('job', 'job')
  kept.createIndex('job-seq', ['job', 'seq'], { unique: true })
  db.createObjectStore('jobs', { keyPath: 'id' })
  db.createObjectStore('photos', { keyPath: 'id' }).createIndex('job', 'job')
  db.createObjectStore('log', { keyPath: 'id' })
  db.createObjectStore('notes', { keyPath: 'key' })
}

const ask = (/** @type {number | undefined} */ version) => globalThis.indexedDB?.open(NAME, version)
const { within, run, whole, hear } = database(ask, VERSION, create)

export { hear, NotSaved }

/** @template T @param {string} store @param {(from: IDBObjectStore) => IDBRequest<T>} what @returns {Promise<T>} */
const read = (store, what) =>
  within((life) => run([store], 'readonly', (tx) => got(what(tx.objectStore(store))), life))

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
      // The holder is looked up in the same transaction: a tab that lost the claim and does not know it writes nothing.
      const holder = await got(tx.objectStore('notes').get(claimKey(job)))
      if (holder?.token !== own.token) {
        if (own.written) throw new NotSaved('taken')
        tx.objectStore('notes').put({ key: claimKey(job), token: own.token, at: Date.now() })
      }
      const kept = tx.objectStore('events')
      const end = await got(kept.index('job-seq').openKeyCursor(IDBKeyRange.bound([job], [job, []]), 'prev'))
      let seq = end ? Number(/** @type {IDBValidKey[]} */ (end.key)[1]) : 0
      const there = await Promise.all(events.map((event) => got(kept.getKey(event.id))))
      const fresh = events.filter((_, i) => there[i] === undefined)
      if (!fresh.length) return seq
      if (!seq && fresh[0]?.kind !== 'begin') throw new NotSaved('lost', GONE)
      for (const event of fresh) {
        kept.add({ ...event, job, seq: (seq += 1) })
        const ended = /** @type {Event} */ (event)
        if (ended.kind !== 'signed' && ended.kind !== 'stopped') continue
        const { entry, followUps } = { followUps: [], ...ended.data }
        tx.objectStore('log').put({ id: entry.id, entry, followUps, at: event.at }) // never one without the other
      }
      tx.objectStore('jobs').put({ ...summary, id: job, count: seq })
      if (extra.photo) tx.objectStore('photos').put(extra.photo)
      if (extra.log) tx.objectStore('log').put(extra.log)
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

/** @param {string} id @returns {Promise<Blob | null>} */
export const photo = async (id) => (await read('photos', (from) => from.get(id)))?.blob ?? null

/** @param {string} job @returns {Promise<PhotoRecord[]>} */
export const photosOf = (job) => read('photos', (from) => from.index('job').getAll(job))

/** @param {string} key @returns {Promise<unknown>} what `note` kept, undefined where there is none */
export const noted = async (key) => (await read('notes', (from) => from.get(key)))?.value

/** @param {string} key @param {unknown} value @returns {Promise<unknown>} kept; rejects with NotSaved */
export const note = (key, value) => within((life) =>
  run(['notes'], 'readwrite', (tx) => got(tx.objectStore('notes').put({ key, value })), life))

// ---- one writer across the tabs

/** @typedef {{token: string, written: boolean}} Own this tab's sign; written once it stands in the store */
/** @type {Map<string, Own>} */
const claims = new Map()
const tabs = line(NAME)
const claimKey = (/** @type {string} */ job) => `claim ${job}`

/** A lease outlives the page being reloaded; the page after it, and no other tab, finds the sign left for it here. */
const reloaded = {
  /** @param {string} job @param {string} token */
  leave(job, token) {
    try {
      sessionStorage.setItem(`${NAME} ${job}`, token)
    } catch {
      // refused: the lease is stale soon
    }
  },
  /** @param {string} job */
  take(job) {
    try {
      const token = sessionStorage.getItem(`${NAME} ${job}`)
      sessionStorage.removeItem(`${NAME} ${job}`)
      return token
    } catch {
      return null
    }
  },
}
const changed = (/** @type {string} */ job) => tabs.say(job)

/** @param {(job: string) => void} listener told when another tab wrote to a job, took it over or let go of it */
export const watch = (listener) => tabs.hear(listener)

/**
 * Ask to be the one tab that writes to a job. `onLost` is called when another tab takes it over.
 * @param {string} job @param {() => void} onLost
 * @returns {Promise<{mine: boolean, release(): void}>} rejects with NotSaved only where neither lock nor storage works
 */
export const claim = (job, onLost) => hold(job, onLost, false)

/** The same, from whoever has it. @type {typeof claim} */
export const takeOver = (job, onLost) => hold(job, onLost, true)

/** @param {string} job @param {() => void} onLost @param {boolean} steal */
async function hold(job, onLost, steal) {
  const own = { token: reloaded.take(job) || newId(), written: false }
  let free = () => {}
  const release = () => {
    if (claims.get(job) === own) claims.delete(job)
    free()
    mark(job, own, false, true).then(() => changed(job), () => {}) // else it is stale soon
  }
  const lose = () => {
    if (claims.get(job) !== own) return
    release()
    onLost()
  }
  const freed = locks() ? await lock(`${NAME} ${job}`, steal, lose) : null
  if (locks() ? !freed : !await mark(job, own, steal)) return { mine: false, release() {} }
  claims.set(job, own)
  if (freed) {
    free = freed
    await mark(job, own, true).catch(() => {}) // no room or no storage: the first append that works writes it
  } else {
    const renew = () => mark(job, own, false).then((still) => still || lose(), () => {})
    const timer = setInterval(renew, RENEW)
    const leave = () => reloaded.leave(job, own.token)
    tabs.hear((word) => word === job && renew())
    addEventListener('pagehide', leave)
    free = () => (clearInterval(timer), removeEventListener('pagehide', leave))
  }
  changed(job)
  return { mine: true, release }
}

/**
 * Write, renew or take away the sign in the store that this tab holds the job.
 * @param {string} job @param {Own} own @param {boolean} force whoever's sign is there @param {boolean} [away]
 * @returns {Promise<boolean>} whether this tab holds it
 */
function mark(job, own, force, away = false) {
  return within((life) => run(['notes'], 'readwrite', async (tx) => {
    const notes = tx.objectStore('notes')
    const there = await got(notes.get(claimKey(job)))
    const others = there && there.token !== own.token && Math.abs(Date.now() - there.at) < STALE
    if (own.written || away ? there?.token !== own.token : others && !force) return false
    if (away) notes.delete(claimKey(job))
    else notes.put({ key: claimKey(job), token: own.token, at: Date.now() })
    return true
  }, life)).then((held) => {
    own.written ||= held
    return held
  })
}

// ---- out of the phone, and the phone's own means

/**
 * Everything stored, as text (lib/backup.js tells its shape). Also where a newer version of the site made the store.
 * @param {{photos?: boolean}} [options] photos: with their bytes, as data addresses
 * @returns {Promise<string>}
 */
export async function exportAll({ photos = false } = {}) {
  const { version, stores } = await whole()
  for (const one of Object.values(stores).flat()) {
    for (const [key, value] of Object.entries(one ?? {})) {
      if (!(value instanceof Blob)) continue
      one[key] = { type: value.type, bytes: value.size, data: photos ? await address(value) : null }
    }
  }
  const { backup } = await import('./lib/backup.js')
  return backup(new Date().toISOString(), version, stores)
}

/** @param {Blob} blob @returns {Promise<string | null>} as a data address, null where the phone lost its bytes */
function address(blob) {
  return new Promise((resolve) => {
    const reader = new FileReader()
    reader.onloadend = () => resolve(/** @type {string | null} */ (reader.result))
    reader.readAsDataURL(blob)
  })
}

/** @param {Omit<Event, 'seq'>[]} unsaved @returns {Promise<string>} as text, without the store */
export async function exportText(unsaved) {
  const { record } = await import('./lib/backup.js')
  return record(unsaved, (at, zone) => new Date(at + zone * 60_000).toISOString().slice(0, 16).replace('T', ' '))
}

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

const THEME = `fillmark:${BASE}:theme`
const THEMES = ['card', 'white', 'dark']

export const theme = {
  /** @returns {string} the stored theme, or '' for the phone's own */
  read() {
    try {
      const stored = localStorage.getItem(THEME) ?? ''
      return THEMES.includes(stored) ? stored : ''
    } catch {
      return '' // storage refused (private mode, site settings): the phone's own theme
    }
  },
  /**
   * @param {string} value a theme, or '' for the phone's own
   * @returns {boolean} whether it is kept
   */
  write(value) {
    try {
      if (value) localStorage.setItem(THEME, value)
      else localStorage.removeItem(THEME)
      return true
    } catch {
      return false
    }
  },
}
