// A second copy of what is saved, in the browser's caches. A browser that is killed in the middle of a write may take
// its own log for damaged at a later start, and throw the whole database away. What is called saved stands here too.
// This part is on every page that saves; copy.js does the work.

/** @typedef {{store: string, put?: any, del?: IDBValidKey}} Change a record that was put, or the key of one deleted */
/**
 * The database, as its second copy sees it: its stores, and one transaction over all of them.
 * @typedef {{names: string[], run: <T>(mode: IDBTransactionMode, work: (tx: IDBTransaction) => Promise<T>) => Promise<T>}} Source
 */
/**
 * @typedef {object} Twin none of these rejects
 * @property {(number: number, changes: Change[], from: Source) => Promise<unknown>} write after each transaction
 * @property {(from: Source) => Promise<unknown>} heal puts back what a new, empty database lacks; true where it did
 * @property {(from: Source) => Promise<unknown>} look makes both equal; true where the database was healed
 */

export const NUMBER = 'number' // key of the note that counts the transactions
const PATIENCE = 2000 // ms that "saved" waits for the copy: the database has it already

/** @param {string} name of the database @returns {Twin} */
export function second(name) {
  const place = `second ${name}`
  const means = globalThis.caches // absent on plain http
  /** @type {Promise<ReturnType<typeof import('./copy.js').copy>> | null} */
  let made = null
  /** @type {Promise<unknown>} one after the other, in the order of the transactions */
  let queue = Promise.resolve()

  /** @param {'write' | 'heal' | 'look'} what @param {any[]} given @returns {Promise<unknown>} */
  async function next(what, ...given) {
    if (!means) return
    const work = async () => (await import('./copy.js')).copy(await means.open(place))
    return (queue = queue.then(async () => /** @type {any} */ (await (made ??= work()))[what](...given)).catch(() => {
      made = null // no room for it: what is in the database is saved all the same
    }))
  }

  return {
    write: (...given) => Promise.race([next('write', ...given), new Promise((resolve) => setTimeout(resolve, PATIENCE))]),
    heal: async (from) => await means?.has(place) && next('heal', from),
    look: async (from) => await means?.has(place) && next('look', from),
  }
}
