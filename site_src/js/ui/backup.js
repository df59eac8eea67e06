// Backup: what is kept, given out as a file, taken in from one. Without it a lost phone is a lost log.
import { showKept } from '../backup/kept.js'
import { nag } from '../backup/nag.js'
import { giveOut } from '../backup/out.js'
import { words } from '../backup/words.js'
import { fill, h, say } from '../job/dom.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const state = h('p', { class: 'sums', role: 'status' })
  const kept = h('div', {})
  const look = async () => {
    const pictures = await showKept(kept)
    say(state, await nag() || 'No entry waits for a backup.')
    return pictures
  }
  const failed = (/** @type {unknown} */ error) => fill(element, h('p', { role: 'alert' }, `What is kept could not be read: ${words(error)}`))
  try {
    const out = giveOut(await look(), () => look().catch(failed))
    const { take } = await import('../backup/take.js') // what reads a file is heavy, and comes after what shows the state
    fill(element, state, h('section', {}, h('h2', {}, 'Kept on this phone'), kept), out.element, take(() => look().then(out.anew, failed)))
  } catch (error) {
    failed(error)
  }
}
