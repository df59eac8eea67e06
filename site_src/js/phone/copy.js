// The second copy of the database, entry by entry. second.js says what for, lib/second.js how the entries fit together.
import { places, replayed } from '../lib/second.js'
import { numberOf } from './second.js'

/** @typedef {import('./second.js').Door} Door */
/** @typedef {import('../lib/second.js').Change} Change */

const MOST = 250 // transactions until all is written anew: after a loss each of them is read
const BIG = 300 // changes in one transaction from which all is written anew at once

const ENTRY = /\?(whole|entry|photo)=(.*)$/
const at = (/** @type {string} */ kind, /** @type {unknown} */ what) => `/?${kind}=${what}`

/** @param {Cache} cache */
export function copy(cache) {
  let last = -1 // up to here this tab knows the copy to be without a gap
  let since = 0 // transactions since all was written

  async function found() {
    /** @type {Record<string, string[]>} */
    const names = { whole: [], entry: [], photo: [] }
    for (const { url } of await cache.keys()) {
      const [, kind = '', what = ''] = ENTRY.exec(url) ?? []
      names[kind]?.push(what)
    }
    const { whole = [], entry = [], photo = [] } = names
    return { ...places(whole.map(Number), entry.map(Number)), photo }
  }

  /** @param {any} photo its bytes go first: an entry never names a photo that is not there */
  async function apart(photo) {
    const { blob, ...rest } = photo
    if (blob) await cache.put(at('photo', rest.id), new Response(blob, { headers: { 'content-type': blob.type } }))
    return rest
  }

  /** @param {Door} door writes all anew, and takes away what that makes old */
  async function all(door) {
    const stores = await door.all()
    const number = numberOf(stores.notes ?? [])
    const held = await found()
    if (held.top > number) return void await healed(door)
    const photos = stores.photos ?? []
    const bare = []
    for (const one of photos) bare.push(held.photo.includes(one.id) ? { ...one, blob: 0 } : await apart(one))
    const notes = (stores.notes ?? []).filter(({ key }) => !key.startsWith('claim '))
    await cache.put(at('whole', number), new Response(JSON.stringify({ ...stores, photos: bare, notes })))
    for (const one of held.entries) if (one <= number) await cache.delete(at('entry', one))
    if (held.whole >= 0 && held.whole < number) await cache.delete(at('whole', held.whole))
    const gone = held.photo.filter((id) => !photos.some((one) => one.id === id))
    for (const id of gone) await cache.delete(at('photo', id))
    last = number
    since = 0
  }

  /** @param {Door} door puts back all that the database lacks @returns {Promise<boolean>} whether there was any */
  async function healed(door) {
    const held = await found()
    if (held.top < 0) return false
    const read = async (/** @type {string} */ key) => (await cache.match(key))?.json()
    const entries = []
    for (const one of held.entries) entries.push(await read(at('entry', one)))
    const stores = replayed(held.whole < 0 ? {} : await read(at('whole', held.whole)), entries)
    const photos = []
    for (const one of stores.photos ?? []) {
      const kept = await cache.match(at('photo', one.id))
      if (kept) photos.push({ ...one, blob: await kept.blob() })
    }
    await door.put({ ...stores, photos }, held.top + 1)
    await all(door)
    return true
  }

  return {
    /** @param {number} number @param {Change[]} changes @param {Door} door */
    async write(number, changes, door) {
      if (last !== number - 1) {
        const held = await found()
        last = held.last
        since = held.entries.length
      }
      // Whatever does not follow on is written anew: a gap, another tab's haste, a database older than its copy.
      if (last !== number - 1 || last < 0 || since >= MOST || changes.length >= BIG) return all(door)
      const bare = []
      for (const one of changes) bare.push(one.store === 'photos' && one.put ? { ...one, put: await apart(one.put) } : one)
      await cache.put(at('entry', number), new Response(JSON.stringify(bare)))
      last = number
      since += 1
    },
    heal: healed,
    /** @param {number} number of the database's last transaction @param {Door} door */
    async look(number, door) {
      const held = await found()
      if (held.top > number) return healed(door)
      if (held.last < number) await all(door) // killed between the two
      return false
    },
  }
}
