// Taking in: a file or pasted text is looked over, shown, and stored only by a tap, all of it or nothing.
import { fill, h } from '../job/dom.js'
import { stamp } from '../job/words.js'
import { LARGEST } from '../lib/restore.js'
import { handOver, make } from './hand.js'
import { look, takeIn } from './look.js'
import { about, differences, many, size, stays, words } from './words.js'

/** @typedef {import('./look.js').Look} Look */

/** @param {() => void} taken called when something was taken in @returns {HTMLElement} */
export function take(taken) {
  const told = h('div', { role: 'status' })
  const file = h('input', { type: 'file', id: 'backup-file', class: 'sr' }) // no `accept`: phones grey out what they do not know
  const pasted = h('textarea', { id: 'backup-text', rows: 4, spellcheck: 'false', autocomplete: 'off' })
  let turn = 0

  /** @param {() => Promise<string>} read */
  const over = async (read) => {
    const mine = (turn += 1)
    fill(told, h('p', {}, 'Looking it over.'))
    try {
      const looked = await look(await read())
      if (mine !== turn) return
      if (!looked.ok) fill(told, refused(looked.says))
      else await preview(looked)
    } catch (error) {
      if (mine === turn) fill(told, refused(words(error)))
    }
  }
  /** @param {Look} looked */
  const preview = async (looked) => {
    const { adds, here, newer, clashes, add } = looked
    const coming = adds + newer + clashes.filter((one) => one.wins === 'theirs').length
    const before = coming > 0 ? h('div', {}) : null
    fill(told,
      h('h3', {}, `Backup of ${when(looked.made)}`),
      h('p', { class: 'sums' }, `Adds ${adds}, already here ${here}, in place of older ones ${newer}, conflicts ${clashes.length}.`),
      h('p', {}, `A job counts as one, with all that was done in it. ${looked.checked}`),
      looked.without > 0 && h('p', {}, h('b', {}, `${many(looked.without, 'photo')} left out.`), ' The file was made without pictures.'),
      looked.odd.length > 0 && [h('p', {}, h('b', {}, `${many(looked.odd.length, 'vehicle')} left out.`), ' This version of the site cannot read what stands there. Keep the file.'),
        h('ul', { class: 'plain' }, looked.odd.map((says) => h('li', {}, says)))],
      clashes.length > 0 && [h('h3', {}, 'Conflicts'), h('p', {}, 'The same thing stands on both sides with other content. One side can stay.'), clashes.map(conflict)],
      before,
      coming === 0 && h('p', {}, h('b', {}, 'Nothing to take in.'), ' This phone holds all of it, or has it newer.'))
    if (!before) return
    await keepBefore(before)
    const says = h('div', { role: 'alert' })
    const button = h('button', { type: 'button', class: 'btn', 'data-take': true, onclick: async () => {
      button.disabled = true
      fill(says, 'Taking it in.')
      try {
        await takeIn(looked)
        fill(says, h('p', {}, h('b', {}, 'Taken in and read back.'), ` ${sum(add)}.`))
        button.remove()
        taken()
      } catch (error) {
        fill(says, refused(words(error)))
        button.disabled = false
      }
    } }, `Take in ${many(coming, 'record')}`)
    told.append(button, says)
  }
  file.addEventListener('change', () => {
    const chosen = file.files?.[0]
    file.value = ''
    if (chosen) over(() => textOf(chosen))
  })
  return h('section', {},
    h('h2', {}, 'Take in'),
    h('p', {}, 'Takes a backup in beside what is here. Nothing is stored before you have seen what it would add.'),
    h('p', {}, h('label', { for: 'backup-file', class: 'btn line' }, 'Pick the file'), file),
    h('details', { class: 'more' }, h('summary', {}, 'Or paste its text'),
      h('label', { for: 'backup-text' }, 'All of the text'), pasted,
      h('button', { type: 'button', class: 'btn line', onclick: () => over(async () => pasted.value) }, 'Look it over')),
    told)
}

/** @param {File} file @returns {Promise<string>} */
async function textOf(file) {
  if (file.size > LARGEST) throw new Error(`${file.name} is too large: ${size(file.size)}, at most ${size(LARGEST)}. Pick another file.`)
  try {
    return await file.text()
  } catch {
    throw new Error(`${file.name} could not be read. Copy it onto this phone first, then pick it again.`)
  }
}

/** @param {string} says @returns {HTMLElement} */
const refused = (says) => h('p', { class: 'refused', role: 'alert' }, `${says} Nothing was taken in.`)

/** @param {import('../lib/restore.js').Records} add @returns {string} */
const sum = ({ jobs, log, photos, vehicles }) => [
  jobs.length && many(jobs.length, 'job'), log.length && many(log.length, 'log entry', 'log entries'),
  photos.length && many(photos.length, 'photo'), vehicles.length && many(vehicles.length, 'vehicle'),
].filter(Boolean).join(', ')

/** @param {string} made @returns {string} */
const when = (made) => (Number.isFinite(Date.parse(made)) ? stamp(Date.parse(made)) : made)

/** What is here now goes into a file in this page's memory first. @param {HTMLElement} place */
async function keepBefore(place) {
  try {
    const made = await make(true, 'before')
    const said = h('div', { role: 'status' })
    fill(place, h('p', {}, 'What is here now was made into a backup, kept on this page until you leave it.'),
      h('button', { type: 'button', class: 'btn line', onclick: () => handOver(made, said, () => {}) }, `Give out what is here now, ${size(new Blob([made.text]).size)}`), said)
  } catch (error) {
    fill(place, h('p', { class: 'refused' }, `What is here now could not be made into a backup: ${words(error)}`))
  }
}

/** @param {import('../lib/merge.js').Clash} clash @returns {HTMLElement} both sides, and which one stays */
function conflict(clash) {
  return h('div', { class: 'clash' }, h('h4', {}, about(clash)),
    differences(clash).map(({ where, ours, theirs }) => h('dl', { class: 'facts' },
      h('div', {}, h('dt', {}, `${where}, here`), h('dd', {}, ours)),
      h('div', {}, h('dt', {}, `${where}, in the file`), h('dd', {}, theirs)))),
    h('p', {}, h('b', {}, stays(clash))))
}
