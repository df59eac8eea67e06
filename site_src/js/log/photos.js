// Photos of an entry that is not saved yet: made small by the phone, kept in memory, handed to the store with the entry.
import { fill, h } from '../job/dom.js'
import * as store from '../store.js'

const ROOM = 50e6 // bytes that should stay free beside a photo

/**
 * @param {string} entry id of the entry that they will belong to
 * @returns {{element: HTMLElement, got(): import('../store.js').PhotoRecord[], busy(): boolean}}
 */
export function photos(entry) {
  /** @type {import('../store.js').PhotoRecord[]} */
  let kept = []
  let working = 0
  const told = h('p', { class: 'of', role: 'status' })
  const file = h('input', { type: 'file', accept: 'image/*', id: 'entry-photo', class: 'sr' })
  const list = h('ul', { class: 'kept-with' })
  const lay = () => fill(list, kept.map(({ id, blob, width, height }, index) => {
    const address = URL.createObjectURL(blob)
    return h('li', { 'data-photo': id },
      h('img', { src: address, alt: `Photo ${index + 1}`, width: 160, height: Math.round(160 * height / width), onload: () => URL.revokeObjectURL(address) }),
      h('button', { type: 'button', class: 'link', onclick: () => {
        kept = kept.filter((one) => one.id !== id)
        told.textContent = 'Taken away.'
        lay()
      } }, 'Take it away'))
  }))
  file.addEventListener('change', async () => {
    const chosen = file.files?.[0]
    file.value = ''
    if (!chosen) return
    told.textContent = 'Making it smaller…'
    working += 1
    try {
      const { take } = await import('../phone/photo.js')
      const { free } = await store.room()
      const { blob, width, height, says } = await take(chosen)
      kept = [...kept, { id: store.newId(), job: entry, step: 0, blob, width, height }]
      told.textContent = says + (free !== null && free < blob.size + ROOM ? ' Little room is left on this phone: make a backup, and make room.' : '')
      lay()
    } catch (error) {
      told.textContent = error instanceof Error ? error.message : String(error)
    } finally {
      working -= 1
    }
  })
  const element = h('div', {}, h('p', {}, h('label', { for: 'entry-photo', class: 'btn line' }, 'Add a photo'), file), told, list)
  return { element, got: () => kept, busy: () => working > 0 }
}

/**
 * The photos of a stored entry, read when they are to be seen.
 * @param {string[]} ids @returns {HTMLElement}
 */
export function shownPhotos(ids) {
  const list = h('ul', { class: 'kept-with' }, ids.map((id, index) => h('li', { 'data-photo': id }, `Photo ${index + 1}`)))
  void Promise.all(ids.map(async (id, index) => {
    const place = list.children[index]
    const blob = await store.photo(id).catch(() => null)
    if (!place) return
    if (!blob) return void fill(place, `Photo ${index + 1} is not on this phone.`)
    const address = URL.createObjectURL(blob)
    fill(place, h('img', { src: address, alt: `Photo ${index + 1}`, width: 160, onload: () => URL.revokeObjectURL(address) }))
  }))
  return list
}
