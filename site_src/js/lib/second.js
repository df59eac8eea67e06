// How a second copy of the database is put together again.
//
// Every transaction that changes a record has a number, counted in the database itself. The copy is one entry with all
// as of some number, and one entry for each transaction after it; a photo's bytes are an entry of their own.

/** @typedef {{whole: number, entries: number[], last: number, top: number}} Places `last`: up to here without a gap */

/** @param {string} store @returns {'id' | 'key'} */
export const keyOf = (store) => store === 'notes' ? 'key' : 'id'

/** @param {number[]} wholes @param {number[]} numbers @returns {Places} -1 where there is none */
export function places(wholes, numbers) {
  const whole = Math.max(-1, ...wholes)
  const entries = numbers.filter((one) => one > whole).sort((a, b) => a - b)
  let last = whole
  for (const one of entries) if (one === last + 1 && whole >= 0) last = one
  return { whole, entries, last, top: Math.max(whole, ...entries) }
}

/**
 * @param {Record<string, any[]>} whole @param {import('../phone/second.js').Change[][]} entries in their order
 * @returns {Record<string, any[]>} as all of them leave it
 */
export function replayed(whole, entries) {
  const stores = new Map(Object.entries(whole).map(([store, all]) =>
    [store, new Map(all.map((one) => [one[keyOf(store)], one]))]))
  for (const { store, put, del } of entries.flat()) {
    const kept = stores.get(store) ?? new Map()
    stores.set(store, kept)
    if (put) kept.set(put[keyOf(store)], put)
    else kept.delete(del)
  }
  return Object.fromEntries([...stores].map(([store, kept]) => [store, [...kept.values()]]))
}
