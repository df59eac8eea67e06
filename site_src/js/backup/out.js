// Giving out: everything as one file, and the log as a table.
import { fill, h, say } from '../job/dom.js'
import { give, told } from '../phone/share.js'
import * as store from '../store.js'
import { handOver, make } from './hand.js'
import { many, size, words } from './words.js'

const SMALL = 8e6 // bytes of pictures that are made into a file before anyone asks

/**
 * @param {{photos: number, bytes: number}} kept @param {() => void} counted
 * @returns {{element: HTMLElement, anew(kept: {photos: number, bytes: number}): void}}
 */
export function giveOut(kept, counted) {
  const said = h('div', { role: 'status' })
  const pictures = h('input', { type: 'checkbox', id: 'with-pictures', checked: true })
  const label = h('span', {})
  const choice = h('div', { class: 'choice' }, h('label', { for: 'with-pictures' }, pictures, label))
  const button = h('button', { type: 'button', class: 'btn', 'data-give': true })
  /** A phone opens its share sheet in a tap only: the file is made before it. @type {import('./hand.js').Made | null} */
  let ready = null
  let turn = 0

  const prepare = async () => {
    const mine = (turn += 1)
    ready = null
    button.disabled = true
    say(button, 'Making the backup')
    try {
      const made = await make(pictures.checked)
      if (mine !== turn) return
      ready = made
      say(button, `Give out the backup, ${size(new Blob([made.text]).size)}`)
    } catch (error) {
      fill(said, `No backup could be made: ${words(error)}`)
      say(button, 'Make a backup')
    }
    button.disabled = false
  }
  const lay = () => {
    choice.hidden = !kept.photos
    say(label, `With the pictures of ${many(kept.photos, 'photo')}, ${size(kept.bytes)}`)
    if (!pictures.checked || kept.bytes < SMALL) return void prepare()
    turn += 1
    ready = null
    button.disabled = false
    say(button, 'Make a backup')
  }
  button.addEventListener('click', async () => {
    if (ready) return handOver(ready, said, counted)
    await prepare()
    if (ready) fill(said, 'The backup is made. Tap again to give it out.')
  })
  pictures.addEventListener('change', lay)
  lay()

  const tabled = h('p', { class: 'of', role: 'status' })
  const table = h('button', { type: 'button', class: 'btn line', onclick: async () => {
    try {
      const name = `fillmark-log-${new Date().toLocaleDateString('en-CA')}.csv`
      say(tabled, told(await give(name, await asTable(), 'text/csv'), name))
    } catch (error) {
      say(tabled, `No table could be made: ${words(error)}`)
    }
  } }, 'Give out the log as a table')
  const element = h('section', {},
    h('h2', {}, 'Give out'),
    h('p', {}, 'One file of text with everything that is kept. Keep it away from this phone.'),
    choice, button, said,
    table, h('p', { class: 'of' }, 'The table (CSV) is for other programs. It is no backup: this site does not read it back.'), tabled)
  return { element, anew: (now) => {
    kept = now
    lay()
  } }
}

/** @returns {Promise<string>} */
async function asTable() {
  const [{ csv }, garage] = await Promise.all([import('../lib/csv.js'), import('../garage.js')])
  const [records, sheets, { work }] = await Promise.all([store.log(), garage.sheets(), garage.site()])
  return csv(records, {
    vehicles: Object.fromEntries(sheets.map(({ id, sheet }) => [id, sheet.name])),
    work: Object.fromEntries(Object.entries(work).map(([id, { title }]) => [id, title])),
  })
}
