// Today: the jobs that are open, what they wait for, one tap away; and the follow-ups that are open.
import { fill, h } from '../job/dom.js'
import { due, stamp } from '../job/words.js'
import * as store from '../store.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const [jobs, log] = await Promise.all([store.jobs(), store.log()])
    const open = jobs.filter((job) => job.state === 'open' || job.state === 'resting').sort((a, b) => b.last - a.last)
    // A log entry names its unit by id; the job it comes from has the words.
    const titles = new Map(jobs.map((job) => [job.id, `${job.vehicle} ${job.unitTitle}`]))
    const follow = log.flatMap(({ entry, followUps }) => followUps.map((one) => ({ ...one, where: titles.get(entry.job) ?? `${one.vehicle} ${one.unit}` })))
    fill(element, !open.length && h('p', {}, 'None open. ', h('a', { class: 'inline', href: `${base}cards/` }, 'Pick a card'), ' and a unit.'))
    if (open.length) {
      fill(element, open.map((job) => h('a', { class: 'row big', href: `${base}job/?open=${job.id}` },
        h('b', {}, `${job.card} ${job.unitTitle}`), h('span', {}, `${job.vehicle} · ${job.state === 'resting' ? 'left for another sitting' : 'open'}, last touched ${stamp(job.last)}`))))
    }
    if (follow.length) {
      element.append(h('h3', {}, 'Follow-ups open'), h('ul', { class: 'plain' }, follow.map((one) => h('li', {}, h('b', {}, one.kind), ` ${one.where}: ${due(one) || one.says}`))))
    }
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `Jobs could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}
