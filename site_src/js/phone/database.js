// One connection of a tab to its database, and transactions on it. Nothing here waits for ever, a connection that died
// is replaced, and an answer comes only when the transaction is complete. What is stored is store.js's matter.
import { BLOCKED, GONE, known, NotSaved, OUTDATED } from '../lib/notsaved.js'

/** @typedef {{over: boolean, stop: () => void}} Life of one call: over once its time is up */

const LIMIT = 5000 // ms until a call gives up

/** @template T @param {IDBRequest<T>} request @returns {Promise<T>} */
export function got(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
}

/**
 * @param {(version?: number) => IDBOpenDBRequest | undefined} ask opens it; without a version: whatever is there
 * @param {number} version
 * @param {(db: IDBDatabase) => void} create makes the stores of a new one
 * @param {(says: string) => void} tell what the person should know
 */
export function database(ask, version, create, tell) {
  /** @type {Promise<IDBDatabase> | null} */
  let opening = null
  let blocked = false

  /** @param {number | undefined} wanted @param {() => void} gone @returns {Promise<IDBDatabase>} */
  function open(wanted, gone) {
    return new Promise((resolve, reject) => {
      const asked = ask(wanted)
      if (!asked) throw new NotSaved('refused')
      asked.onupgradeneeded = ({ oldVersion }) => oldVersion || create(asked.result)
      asked.onblocked = () => {
        blocked = true
        tell(BLOCKED)
      }
      asked.onerror = () => reject(asked.error)
      asked.onsuccess = () => {
        const db = asked.result
        if (blocked) tell('')
        blocked = false
        db.onclose = gone
        db.onversionchange = (event) => {
          db.close() // waits for the write that is under way
          gone()
          tell(event.newVersion ? OUTDATED : GONE)
        }
        resolve(db)
      }
    })
  }

  /** @returns {Promise<IDBDatabase>} the one connection of this tab */
  function connect() {
    if (opening) return opening
    const mine = open(version, () => opening === mine && (opening = null))
    mine.catch(() => opening === mine && (opening = null))
    return (opening = mine)
  }

  function drop() {
    opening?.then((db) => db.close(), () => {})
    opening = null
  }

  /**
   * Give work its time and no more.
   * @template T @param {(life: Life) => Promise<T>} work
   * @returns {Promise<T>} rejects with NotSaved
   */
  function within(work) {
    return new Promise((resolve, reject) => {
      const life = { over: false, stop: () => {} }
      const timer = setTimeout(() => {
        life.over = true
        life.stop()
        drop()
        reject(new NotSaved('lost', blocked ? BLOCKED : undefined))
      }, LIMIT)
      work(life).then(resolve, (error) => reject(known(error))).finally(() => clearTimeout(timer))
    })
  }

  /**
   * One transaction on this tab's connection; a connection that died is replaced once.
   * @template T
   * @param {string[]} stores @param {IDBTransactionMode} mode
   * @param {(tx: IDBTransaction) => Promise<T>} work must wait for nothing but requests of `tx`
   * @param {Life} life
   * @returns {Promise<T>}
   */
  async function run(stores, mode, work, life) {
    for (let again = true; ; again = false) {
      try {
        const db = await connect()
        if (life.over) throw new NotSaved('lost')
        return await transact(db, stores, mode, work, life)
      } catch (error) {
        if (life.over || !again || error instanceof NotSaved || known(error).why !== 'lost') throw error
        drop()
      }
    }
  }

  /** @returns {Promise<{version: number, stores: Record<string, any[]>}>} all of it, also where its version is newer */
  function whole() {
    return within(async (life) => {
      const db = await open(undefined, () => {})
      try {
        const names = [...db.objectStoreNames]
        const found = await transact(db, names, 'readonly', (tx) =>
          Promise.all(names.map((name) => got(tx.objectStore(name).getAll()))), life)
        return { version: db.version, stores: Object.fromEntries(names.map((name, i) => [name, found[i] ?? []])) }
      } finally {
        db.close()
      }
    })
  }

  return { within, run, whole }
}

/**
 * One transaction: its answer comes when all of it is complete; whatever fails leaves nothing of it behind.
 * @template T
 * @param {IDBDatabase} db @param {string[]} stores @param {IDBTransactionMode} mode
 * @param {(tx: IDBTransaction) => Promise<T>} work @param {Life} life
 * @returns {Promise<T>}
 */
function transact(db, stores, mode, work, life) {
  return new Promise((resolve, reject) => {
    // Strict: complete then means flushed to the disk, not handed to the system.
    const tx = db.transaction(stores, mode, { durability: 'strict' })
    /** @type {unknown} */
    let why = null
    const undo = () => {
      try {
        tx.abort()
      } catch {
        // over already: its own event tells how it ended
      }
    }
    life.stop = undo
    const answer = work(tx)
    answer.catch((error) => {
      why = error
      undo()
    })
    tx.oncomplete = () => resolve(answer)
    tx.onabort = () => reject(tx.error ?? why ?? new NotSaved('lost'))
  })
}
