// One connection of a tab to its database, and transactions on it. Nothing here waits for ever, a connection that died
// is replaced, and an answer comes only when the transaction is complete. What is stored is store.js's matter.
import { BLOCKED, GONE, known, NotSaved, OUTDATED, PUT_BACK, SLOW } from '../lib/notsaved.js'
import { NUMBER } from './second.js'

/** @typedef {{over: boolean, stop: () => void}} Life of one call: over once its time is up */
/** @typedef {import('./second.js').Change} Change */

const LIMIT = 5000 // ms until a call gives up
const PATIENCE = 1000 // ms until a person is told that the database does not open
// ms before each new connection: one that is still being torn down may take the next with it
const PAUSES = [0, 100, 500]
const LOOK = 3000 // ms after the first use until database and second copy are held against each other

/** @type {WeakMap<IDBTransaction, Change[]>} what each transaction changes, for the second copy */
const written = new WeakMap()

/** @param {IDBTransaction} tx @param {string} store @param {any} record @param {'put' | 'add'} [how] add: a new key, or none */
export function put(tx, store, record, how = 'put') {
  tx.objectStore(store)[how](record)
  written.get(tx)?.push({ store, put: record })
}

/** @param {IDBTransaction} tx @param {string} store @param {IDBValidKey} key */
export function remove(tx, store, key) {
  tx.objectStore(store).delete(key)
  written.get(tx)?.push({ store, del: key })
}

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
 * @param {(db: IDBDatabase, old: number, tx: IDBTransaction) => void} create makes the stores that `old` lacks, 'notes'
 *   among them
 * @param {import('./second.js').Twin} twin keeps the second copy
 */
export function database(ask, version, create, twin) {
  /** @type {Promise<IDBDatabase> | null} */
  let opening = null
  let looked = false
  let stuck = '' // why the database does not open
  let news = ''
  /** @type {Set<(says: string) => void>} */
  const hearers = new Set()

  /**
   * Hear what there is to say to the person: a newer tab, an older one in the way.
   * @param {(says: string) => void} listener called at once with the last word, if there was one; '' takes it back
   */
  function hear(listener) {
    hearers.add(listener)
    if (news) listener(news)
  }

  /** @param {string} says */
  function tell(says) {
    news = says
    for (const listener of hearers) listener(says)
  }

  /** @param {number | undefined} wanted @param {() => void} gone @returns {Promise<IDBDatabase>} */
  function open(wanted, gone) {
    return new Promise((resolve, reject) => {
      const asked = ask(wanted)
      if (!asked) throw new NotSaved('refused')
      let empty = false
      asked.onupgradeneeded = ({ oldVersion }) => {
        empty = !oldVersion
        create(asked.result, oldVersion, /** @type {IDBTransaction} */ (asked.transaction))
      }
      const held = (/** @type {string} */ says) => {
        clearTimeout(slow)
        tell((stuck = says))
      }
      // A tab that finishes a write first, or is frozen, holds us up without a `blocked` event.
      const slow = setTimeout(held, PATIENCE, SLOW)
      asked.onblocked = () => held(BLOCKED)
      asked.onerror = () => {
        clearTimeout(slow)
        reject(asked.error)
      }
      asked.onsuccess = () => {
        const db = asked.result
        clearTimeout(slow)
        if (stuck) held('')
        db.onclose = gone
        db.onversionchange = (event) => {
          db.close() // waits for the write that is under way
          gone()
          tell(event.newVersion ? OUTDATED : GONE)
        }
        const back = (/** @type {unknown} */ was) => was && tell(PUT_BACK)
        // Nothing was there: a first visit, or the browser threw it away.
        if (empty) twin.heal(source(db)).then(back).then(() => resolve(db))
        else resolve(db)
        if (!looked) setTimeout(() => twin.look(source(db)).then(back), LOOK)
        looked = true
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
   * @template T @param {(life: Life) => Promise<T>} work @param {number} [limit] ms
   * @returns {Promise<T>} rejects with NotSaved
   */
  function within(work, limit = LIMIT) {
    return new Promise((resolve, reject) => {
      const life = { over: false, stop: () => {} }
      const timer = setTimeout(() => {
        life.over = true
        life.stop()
        drop()
        reject(new NotSaved('lost', stuck || undefined))
      }, limit)
      work(life).then(resolve, (error) => reject(known(error))).finally(() => clearTimeout(timer))
    })
  }

  /**
   * One transaction on this tab's connection; a connection that died is replaced.
   * @template T
   * @param {string[]} stores @param {IDBTransactionMode} mode
   * @param {(tx: IDBTransaction) => Promise<T>} work must wait for nothing but requests of `tx`
   * @param {Life} life
   * @returns {Promise<T>}
   */
  async function run(stores, mode, work, life) {
    for (let turn = 0; ; turn += 1) {
      try {
        const db = await connect()
        if (life.over) throw new NotSaved('lost')
        /** @type {Change[]} */
        const changes = []
        let number = 0
        const done = await transact(db, stores, mode, async (tx) => {
          written.set(tx, changes)
          const before = mode === 'readwrite' && got(tx.objectStore('notes').get(NUMBER))
          if (before) before.catch(() => {}) // then the transaction fails too, and tells
          const answer = await work(tx)
          if (!before || !changes.length) return answer
          number = ((await before)?.value ?? 0) + 1
          tx.objectStore('notes').put({ key: NUMBER, value: number })
          return answer
        }, life)
        if (number) await twin.write(number, changes, source(db))
        return done
      } catch (error) {
        const pause = PAUSES[turn]
        if (pause === undefined || life.over || error instanceof NotSaved || known(error).why !== 'lost') throw error
        drop()
        await new Promise((resolve) => setTimeout(resolve, pause))
      }
    }
  }

  /** @returns {Promise<{version: number, stores: Record<string, any[]>}>} all of it, also where its version is newer */
  function whole() {
    return within(async (life) => {
      await connect().catch(() => {}) // makes what is not there yet: opened first without a version, it would be of none
      const db = await open(undefined, () => {})
      try {
        const names = [...db.objectStoreNames]
        const stores = await transact(db, names, 'readonly', (tx) => everything(tx, names), life)
        return { version: db.version, stores }
      } finally {
        db.close()
      }
    })
  }

  return { within, run, whole, hear }
}

/** @param {IDBDatabase} db @returns {import('./second.js').Source} */
function source(db) {
  const names = [...db.objectStoreNames]
  return { names, run: (mode, work) => transact(db, names, mode, work, { over: false, stop: () => {} }) }
}

/** @param {IDBTransaction} tx @param {string[]} names @returns {Promise<Record<string, any[]>>} */
export async function everything(tx, names) {
  const found = await Promise.all(names.map((name) => got(tx.objectStore(name).getAll())))
  return Object.fromEntries(names.map((name, i) => [name, found[i] ?? []]))
}

/**
 * One transaction: its answer comes when all of it is complete; whatever fails leaves nothing of it behind.
 * @template T
 * @param {IDBDatabase} db @param {string[]} stores @param {IDBTransactionMode} mode
 * @param {(tx: IDBTransaction) => Promise<T>} work @param {Life} life
 * @returns {Promise<T>}
 */
function transact(db, stores, mode, work, life) {
  let cut = () => {}
  /** @type {Promise<T>} */
  const outcome = new Promise((resolve, reject) => {
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
    tx.onabort = () => reject(tx.error ?? why ?? new DOMException('no reason given', 'AbortError'))
    // A connection that the browser closes may leave a transaction without any event: it never ends by itself.
    cut = () => setTimeout(() => reject(new DOMException('the connection closed', 'AbortError')))
    db.addEventListener('close', cut)
  })
  return outcome.finally(() => db.removeEventListener('close', cut))
}
