// Today: the jobs that are open, one tap away. What they leave to be done stands in what is due.
import { fill, h } from '../job/dom.js'
import { stamp } from '../job/words.js'
import * as store from '../store.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const open = (await store.jobs()).filter((job) => job.state === 'open' || job.state === 'resting').sort((a, b) => b.last - a.last)
    const plan = /** @type {{date: string, jobs: {no: string}[]} | undefined} */ (await store.noted('plan'))
    const planned = plan?.jobs.length ? plan : null
    fill(element, !open.length && h('p', {}, 'None open. ', h('a', { class: 'inline', href: `${base}cards/` }, 'Pick a card'), ' and a unit.'),
      open.map((job) => h('a', { class: 'row big', href: `${base}job/?open=${job.id}` },
        h('b', {}, `${job.card} ${job.unitTitle}`), h('span', {}, `${job.vehicle} · ${job.state === 'resting' ? 'left for another sitting' : 'open'}, last touched ${stamp(job.last)}`))),
      planned && h('a', { class: 'row', href: `${base}plan/` }, `Plan of ${planned.date}: ${planned.jobs.map(({ no }) => no).join(', ')}`))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `Jobs could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}
