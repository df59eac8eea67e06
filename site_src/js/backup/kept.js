// What this phone keeps, in numbers, and whether its browser keeps it.
import { fill, h } from '../job/dom.js'
import { stamp } from '../job/words.js'
import * as store from '../store.js'
import { many, size, words } from './words.js'

/** @typedef {{photos: number, bytes: number}} Pictures bytes of all of them */

/**
 * @param {HTMLElement} place
 * @returns {Promise<Pictures>} rejects with NotSaved
 */
export async function showKept(place) {
  const [{ jobs, photos, log, vehicles }, { since, backup }, { free }, sure] = await Promise.all([store.stored(), store.marks(), store.room(), store.persisted()])
  const own = vehicles.filter(({ sheet }) => sheet).length
  const open = jobs.filter(({ state }) => state === 'open' || state === 'resting').length
  const bytes = photos.reduce((sum, { blob }) => sum + (blob?.size ?? 0), 0)
  const fact = (/** @type {string} */ what, /** @type {string} */ value) => h('div', {}, h('dt', {}, what), h('dd', {}, value))
  const asked = h('p', { role: 'status' }, keeps(sure))
  fill(place,
    h('dl', { class: 'facts' },
      fact('Last backup', backup === null ? 'None yet' : stamp(backup)),
      fact('In no backup', since ? many(since, 'entry', 'entries') : 'Nothing'),
      fact('Log', many(log.length, 'entry', 'entries')),
      fact('Jobs', `${jobs.length}${open ? `, ${open} open` : ''}`),
      fact('Own vehicles', `${own}`),
      fact('Photos', photos.length ? `${photos.length}, ${size(bytes)}` : '0'),
      free !== null && fact('Room left', size(free))),
    asked,
    sure === false && h('button', { type: 'button', class: 'btn line', onclick: async (/** @type {MouseEvent} */ { currentTarget }) => {
      try {
        const given = await store.persist()
        fill(asked, given ? keeps(true) : `The browser said no. ${keeps(false)}`)
        if (given) /** @type {HTMLElement} */ (currentTarget).remove()
      } catch (error) {
        fill(asked, words(error))
      }
    } }, 'Ask the browser to keep it'))
  return { photos: photos.length, bytes }
}

/** @param {boolean | null} sure @returns {string} */
const keeps = (sure) => (sure ? 'This browser clears it only when you tell it to.'
  : sure === null ? 'This browser does not say whether it keeps it. It may clear it by itself.'
    : 'This browser may clear it by itself, when room gets short or after weeks without a visit.')
