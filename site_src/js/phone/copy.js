// The second copy of the database, entry by entry. second.js says what for, lib/second.js how the entries fit together.
import { places, replayed } from '../lib/second.js'
import { everything, got } from './database.js'
import { NUMBER } from './second.js'

/** @typedef {import('./second.js').Source} Source */

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

  /** @param {Source} from writes all anew, and takes away what that makes old */
  async function all(from) {
    const stores = await from.run('readonly', (tx) => everything(tx, from.names))
    const number = stores.notes?.find(({ key }) => key === NUMBER)?.value ?? 0
    const held = await found()
    if (held.top > number) return void await healed(from)
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

  /** @param {Source} from puts back all that the database lacks @returns {Promise<boolean>} whether there was any */
  async function healed(from) {
    const held = await found()
    if (held.top < 0) return false
    const read = async (/** @type {string} */ key) => (await cache.match(key))?.json()
    const entries = []
    for (const one of held.entries) entries.push(await read(at('entry', one)))
    const stores = replayed(held.whole < 0 ? {} : await read(at('whole', held.whole)), entries)
    const photos = /** @type {any[]} */ ([])
    for (const one of stores.photos ?? []) {
      const kept = await cache.match(at('photo', one.id))
      if (kept) photos.push({ ...one, blob: await kept.blob() })
    }
    await from.run('readwrite', async (tx) => {
      for (const [name, all] of Object.entries({ ...stores, photos })) for (const one of all) tx.objectStore(name).put(one)
      await got(tx.objectStore('notes').put({ key: NUMBER, value: held.top + 1 }))
    })
    await all(from)
    return true
  }

  return {
    /** @param {number} number @param {import('./second.js').Change[]} changes @param {Source} from */
    async write(number, changes, from) {
      if (number <= last) return // all was written anew meanwhile
      if (last !== number - 1) {
        const held = await found()
        // Whatever does not follow on is written anew: a gap, another tab's haste, a database older than its copy.
        if (held.last < 0 || held.last !== number - 1) return all(from)
        last = held.last
        since = held.entries.length
      }
      if (since >= MOST || changes.length >= BIG) return all(from)
      const bare = []
      for (const one of changes) bare.push(one.store === 'photos' && one.put ? { ...one, put: await apart(one.put) } : one)
      await cache.put(at('entry', number), new Response(JSON.stringify(bare)))
      last = number
      since += 1
    },
    heal: healed,
    /** What a kill left in one of the two only, the other gets. @param {Source} from */
    async look(from) {
      const note = await from.run('readonly', (tx) => got(tx.objectStore('notes').get(NUMBER)))
      const held = await found()
      if (held.top > (note?.value ?? 0)) return healed(from)
      if (note && held.last < note.value) await all(from)
      return false
    },
  }
}
