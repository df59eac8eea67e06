// Hands a backup over and counts it as one: only when the share sheet took it, or the person says that it arrived.
import { fill, h } from '../job/dom.js'
import { copy, give, told } from '../phone/share.js'
import * as store from '../store.js'
import { words } from './words.js'

/** @typedef {{text: string, name: string, upTo: number}} Made upTo: how many changes were made when it was read */

/**
 * A backup of everything, with the count of what it holds.
 * @param {boolean} photos with the pictures @param {string} [what] @returns {Promise<Made>} rejects with NotSaved
 */
export async function make(photos, what = 'backup') {
  const { made } = await store.marks() // before the reading: what comes between is in the file and counted as not in it
  const text = await store.exportAll({ photos })
  return { text, upTo: made, name: `fillmark-${what}-${new Date().toLocaleDateString('en-CA')}.txt` }
}

/**
 * Call it in a tap.
 * @param {Made} made @param {HTMLElement} said where it is told @param {() => void} counted called when it was counted
 */
export async function handOver(made, said, counted) {
  const count = async () => {
    try {
      await store.backedUp(Date.now(), made.upTo)
      fill(said, 'Counted as backed up.')
      counted()
    } catch (error) {
      fill(said, `Handed over, but that could not be noted: ${words(error)}`)
    }
  }
  const given = await give(made.name, made.text, 'text/plain')
  if (given === 'shared') {
    await count()
    said.prepend(`${told(given, made.name)} `)
    return
  }
  fill(said, told(given, made.name),
    given === 'saved' && h('button', { type: 'button', class: 'btn line', onclick: count }, 'It arrived'),
    given === 'refused' && h('button', { type: 'button', class: 'btn line', onclick: async (/** @type {MouseEvent} */ { currentTarget }) => {
      const { copied, says } = await copy(made.text)
      fill(said, `${says} ${copied ? 'Paste it where it is safe.' : ''}`, copied && h('button', { type: 'button', class: 'btn line', onclick: count }, 'It is pasted'),
        !copied && /** @type {Node} */ (currentTarget))
    } }, 'Copy the text'))
}
