// The part of the store that a job page does without: vehicles, entries by hand, backup and taking in. Only store.js
// reaches it, and hands it the one connection.
import { canonical } from '../lib/canonical.js'
import { NotSaved } from '../lib/notsaved.js'
import { got, put, remove } from '../phone/database.js'
import { claimKey } from './claims.js'

/** @typedef {import('../store.js').Stores} Stores */
/** @typedef {import('../store.js').PhotoRecord} PhotoRecord */
/** @typedef {import('../types.js').LogRecord} LogRecord */
/** @typedef {import('../types.js').VehicleRecord} VehicleRecord */
/** @typedef {ReturnType<typeof import('../phone/database.js').database>} Database */

/** @type {(keyof Stores)[]} */
const ALL = ['jobs', 'events', 'photos', 'log', 'vehicles']
const LONG = 120_000 // ms: hundreds of photos at once

const OTHER_TAB = 'This vehicle was changed in another tab. Open it again and put in your change there.'
const OTHER_WORDS = 'An entry with this id is in the log already, with other content. Nothing was changed.'
const MOVED = 'Something was stored on this phone after the file was looked over. Nothing was taken in. Look it over again.'
const DIFFERS = 'What was taken in reads back differently. Keep the file, reload this page and look it over again.'

/**
 * @param {Pick<Database, 'within' | 'run' | 'whole'> & {
 *   bump: (tx: IDBTransaction, changes: number) => Promise<void>, changed: (job: string) => void}} door
 */
export function keep({ within, run, whole, bump, changed }) {
  /** @param {VehicleRecord} record @returns {Promise<void>} */
  const putVehicle = (record) => within((life) => run(['vehicles', 'notes'], 'readwrite', async (tx) => {
    const kept = tx.objectStore('vehicles')
    const there = await got(kept.get(record.id))
    if (record.rev !== (there?.rev ?? 0) + 1) throw new NotSaved('taken', OTHER_TAB)
    put(tx, 'vehicles', record)
    await bump(tx, 1)
  }, life))

  /** @param {LogRecord} record @param {PhotoRecord[]} photos @returns {Promise<void>} */
  const addToLog = (record, photos) => within((life) => run(['log', 'photos', 'notes'], 'readwrite', async (tx) => {
    const there = await got(tx.objectStore('log').get(record.id))
    if (there && canonical(there) !== canonical(record)) throw new NotSaved('taken', OTHER_WORDS)
    if (there) return
    put(tx, 'log', record)
    for (const photo of photos) put(tx, 'photos', photo)
    await bump(tx, 1)
  }, life))

  /** @param {any} value what the store notes of its changes @returns {{rev: number, made: number, since: number, backup: number | null}} */
  const marks = (value) => {
    const { rev = 0, made = 0, backed = 0, backup = null } = value ?? {}
    return { rev, made, since: made - backed, backup }
  }

  /** @param {number} at @param {number} [made] @returns {Promise<void>} */
  const backedUp = (at, made) => within((life) => run(['notes'], 'readwrite', async (tx) => {
    await bump(tx, 0) // makes the note where there is none
    const notes = tx.objectStore('notes')
    const { key, value } = await got(notes.get('marks'))
    const backed = Math.max(value.backed ?? 0, Math.min(made ?? value.made, value.made))
    put(tx, 'notes', { key, value: { ...value, rev: value.rev - 1, backed, backup: at } })
  }, life))

  /** @returns {Promise<Stores>} */
  const stored = () => within((life) => run(ALL, 'readonly', async (tx) => {
    const found = await Promise.all(ALL.map((name) => got(tx.objectStore(name).getAll())))
    return /** @type {Stores} */ (/** @type {unknown} */ (Object.fromEntries(ALL.map((name, i) => [name, found[i]]))))
  }, life), LONG)

  /** @param {Partial<Stores>} add @param {Stores} [seen] @returns {Promise<void>} */
  async function restore(add, seen) {
    const all = { jobs: [], events: [], photos: [], log: [], vehicles: [], ...add }
    await within((life) => run([...ALL, 'notes'], 'readwrite', async (tx) => {
      if (seen) await unmoved(tx, all, seen)
      for (const { id } of all.jobs) {
        const kept = tx.objectStore('events')
        for (const key of await got(kept.index('job').getAllKeys(id))) remove(tx, 'events', key)
        // A tab that has the job open knows other events: its next tap is refused, and it reads the job anew.
        if (await got(tx.objectStore('notes').get(claimKey(id)))) {
          tx.objectStore('notes').put({ key: claimKey(id), token: '', at: 0 })
        }
      }
      for (const name of ALL) for (const one of all[name]) put(tx, name, one)
      // What was looked over came from a backup: there is nothing more to back up.
      await bump(tx, seen ? 0 : all.log.length + all.vehicles.length)
    }, life), LONG)
    for (const { id } of all.jobs) changed(id)
    if (!await holds(all)) throw new NotSaved('unknown', DIFFERS)
  }

  /** @param {Stores} wanted @returns {Promise<boolean>} whether the storage gives back just that */
  async function holds(wanted) {
    const there = await stored()
    const { alike } = await import('../phone/plain.js')
    for (const name of ALL) {
      const found = new Map(there[name].map((one) => [one.id, one]))
      for (const one of wanted[name]) {
        const other = found.get(one.id)
        if (!other || canonical({ ...one, blob: 0 }) !== canonical({ ...other, blob: 0 })) return false
        if ('blob' in one && 'blob' in other && !await alike(one.blob, other.blob)) return false
      }
    }
    return true
  }

  /** @param {{photos?: boolean}} [options] @returns {Promise<string>} */
  async function exportAll({ photos = false } = {}) {
    const { version, stores } = await whole()
    const [{ plain }, { sha256 }, { backup, lines }] = await Promise.all(
      [import('../phone/plain.js'), import('../phone/digest.js'), import('../lib/backup.js')])
    const records = lines(await plain(stores, photos))
    return backup(new Date().toISOString(), version, stores, records, await sha256(records))
  }

  /** @param {Omit<import('../types.js').Event, 'seq'>[]} unsaved @returns {Promise<string>} */
  async function exportText(unsaved) {
    const { record } = await import('../lib/backup.js')
    return record(unsaved, (at, zone) => new Date(at + zone * 60_000).toISOString().slice(0, 16).replace('T', ' '))
  }

  return { putVehicle, addToLog, marks, backedUp, stored, restore, exportAll, exportText }
}

/**
 * Refuse where what would be put over is no longer what the merge was made with.
 * @param {IDBTransaction} tx @param {Stores} add @param {Stores} seen
 */
async function unmoved(tx, add, seen) {
  const bare = (/** @type {any} */ one) => one && canonical({ ...one, blob: 0 })
  for (const name of ALL) {
    if (name === 'events') continue // with their job
    const known = new Map(seen[name].map((one) => [one.id, one]))
    for (const { id } of add[name]) {
      if (bare(await got(tx.objectStore(name).get(id))) !== bare(known.get(id))) throw new NotSaved('taken', MOVED)
      if (name !== 'jobs') continue
      const count = await got(tx.objectStore('events').index('job').count(id))
      if (count !== seen.events.filter((one) => one.job === id).length) throw new NotSaved('taken', MOVED)
    }
  }
}
