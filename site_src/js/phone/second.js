// A second copy of what is saved, in the browser's caches. A browser that is killed in the middle of a write may take
// its own log for damaged at a later start, and throw the whole database away. What is called saved stands here too.
// This part is on every page that saves; copy.js does the work.
import { NUMBER } from '../lib/second.js'

/** @typedef {import('../lib/second.js').Change} Change */
/** @typedef {Record<string, any[]>} Stores */
/**
 * The database, as its second copy sees it.
 * @typedef {{all: () => Promise<Stores>, put: (stores: Stores, number: number) => Promise<void>}} Door
 */
/**
 * @typedef {object} Twin
 * @property {(number: number, changes: Change[], door: Door) => Promise<void>} write never rejects
 * @property {(door: Door) => Promise<boolean>} heal puts back what a new, empty database lacks; whether there was any
 * @property {(number: number, door: Door) => Promise<boolean>} look makes both equal; whether the database was healed
 */

const PATIENCE = 2000 // ms that "saved" waits for the copy: the database has it already

/** @param {string} name of the database @returns {Twin} */
export function second(name) {
  const place = `second ${name}`
  const means = globalThis.caches // absent on plain http
  const work = async () => (await import('./copy.js')).copy(await means.open(place))
  /** @type {ReturnType<typeof work> | null} */
  let made = null
  /** @type {Promise<unknown>} */
  let queue = Promise.resolve()

  /** One after the other, in the order of the transactions. @template T @param {() => Promise<T>} what */
  const next = (what) => {
    const turn = queue.then(what)
    queue = turn.catch(() => (made = null)) // no room for it: what is in the database is saved all the same
    return turn
  }

  return {
    write: (number, changes, door) => !means ? Promise.resolve() : Promise.race([
      next(async () => (await (made ??= work())).write(number, changes, door)).catch(() => {}),
      new Promise((resolve) => setTimeout(resolve, PATIENCE)),
    ]),
    heal: async (door) => Boolean(await means?.has(place)) && next(async () => (await (made ??= work())).heal(door)),
    look: async (number, door) => Boolean(number || await means?.has(place)) && Boolean(means) &&
      next(async () => (await (made ??= work())).look(number, door)),
  }
}

/** @param {any[]} notes @returns {number} of the last transaction, 0 where none was counted */
export const numberOf = (notes) => notes.find(({ key }) => key === NUMBER)?.value ?? 0
