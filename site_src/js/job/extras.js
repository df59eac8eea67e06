// What may go with a step: a photo, a note, the step read aloud.
import * as store from '../store.js'
import { fill, h, show } from './dom.js'
import { plain } from './words.js'

const ROOM = 50e6 // bytes that should stay free beside a photo

/**
 * @param {import('./session.js').Session} session @param {number} step @param {string} text of the step
 * @returns {{element: HTMLElement, show(on: boolean): void}}
 */
export function extras(session, step, text) {
  const key = `${session.id.slice(0, 6)}-${step}`
  const told = h('p', { class: 'of', role: 'status' })
  const file = h('input', { type: 'file', accept: 'image/*', capture: 'environment', id: `photo-${key}`, class: 'sr' })
  const note = h('textarea', { rows: 2, id: `note-${key}`, autocomplete: 'off' })
  const keep = h('button', { type: 'button', class: 'btn line small' }, 'Keep the note')
  const aloud = h('button', { type: 'button', class: 'btn line small', hidden: true }, 'Read the step aloud')
  const list = h('ul', { class: 'kept-with' })
  const summary = h('summary', {}, 'Photo or note')
  const element = h('details', { class: 'more' }, summary,
    h('p', {}, h('label', { for: `photo-${key}`, class: 'btn line small' }, 'Take a photo'), file),
    h('label', { for: `note-${key}` }, 'Note'), note, keep, aloud, told)
  const whole = h('div', {}, list, element)

  file.addEventListener('change', async () => {
    const chosen = file.files?.[0]
    file.value = ''
    if (!chosen) return
    told.textContent = 'Making it smaller…'
    try {
      const { take } = await import('../phone/photo.js')
      const { free } = await store.room()
      const got = await take(chosen)
      const tight = free !== null && free < got.blob.size + ROOM ? ' Little room is left on this phone: give out a backup, and make room.' : ''
      const id = store.newId()
      const data = { step, photo: id, width: got.width, height: got.height, bytes: got.blob.size }
      const why = session.act('photo', data, { photo: { id, job: session.id, step, blob: got.blob, width: got.width, height: got.height } })
      told.textContent = (why || got.says) + tight
    } catch (error) {
      told.textContent = error instanceof Error ? error.message : String(error)
    }
  })
  keep.addEventListener('click', () => {
    if (!note.value.trim()) return
    const why = session.act('note', { step, text: note.value.trim() })
    told.textContent = why
    if (!why) note.value = ''
  })
  aloud.addEventListener('click', async () => (told.textContent = (await (await import('../phone/aloud.js')).say(plain(text, session.job.copy.unit.slots))).says))
  element.addEventListener('toggle', async () => {
    if (element.open) show(aloud, await (await import('../phone/aloud.js')).available())
  })

  /** @type {Map<string, string>} */
  const shown = new Map()
  /** @param {string} id */
  const pictureOf = async (id) => {
    if (shown.has(id)) return
    shown.set(id, '')
    const blob = await store.photo(id)
    if (!blob) return
    const address = URL.createObjectURL(blob)
    shown.set(id, address)
    const picture = list.querySelector(`[data-photo="${id}"]`)
    if (picture) fill(picture, h('img', { src: address, alt: `Photo at step ${step}`, width: 160 }))
  }
  let last = -1
  return {
    element: whole,
    show(on) {
      const notes = session.job.notes.filter((one) => one.step === step)
      const photos = session.job.photos.filter((one) => one.step === step)
      show(element, on && !session.closed)
      if (notes.length + photos.length === last) return
      last = notes.length + photos.length
      fill(list, notes.map((one) => h('li', {}, one.text)),
        photos.map((one) => h('li', { 'data-photo': one.photo }, shown.get(one.photo) ? h('img', { src: shown.get(one.photo), alt: `Photo at step ${step}`, width: 160 }) : 'Photo')))
      show(list, last > 0)
      if (session.saved.kind !== 'not') for (const one of photos) void session.writing.then(() => pictureOf(one.photo))
    },
  }
}
