// The service log: what was signed off or stopped, newest first, with what it left to do.
import { fill, h } from '../job/dom.js'
import { asTyped, due } from '../job/words.js'
import { give, told } from '../phone/share.js'
import * as store from '../store.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const [jobs, kept] = await Promise.all([store.jobs(), store.log()])
    const records = kept.sort((a, b) => b.at - a.at)
    const titles = new Map(jobs.map((job) => [job.id, job]))
    if (!records.length) {
      return fill(element, h('p', {}, h('b', { class: 'word' }, 'Empty.'), ' Nothing is logged on this phone. A job that is signed off or stopped stands here.'),
        h('p', {}, 'Until something is logged, what is due is ', h('b', { class: 'word' }, 'unknown'), '. Unknown is not clear.'), h('a', { class: 'row', href: `${base}cards/` }, 'Job cards'))
    }
    const said = h('p', { class: 'of', role: 'status' })
    const name = 'fillmark-backup.txt'
    fill(element, records.map(({ entry, followUps }) => h('section', { class: 'entry-of' },
      h('h2', {}, `${entry.date} · ${entry.procedure} ${titles.get(entry.job)?.unitTitle ?? entry.unit}`),
      h('p', {}, `${titles.get(entry.job)?.vehicle ?? entry.vehicle}, ${asTyped(entry.odometer)}. ${entry.finished ? 'Signed off.' : 'Stopped, carried forward.'}${entry.demo ? ' Demo.' : ''}`),
      entry.defect && h('p', { class: 'stop' }, h('b', {}, 'Defect. '), entry.defect),
      h('p', {}, [['Out', entry.out], ['In', entry.in], ['Additive', entry.additive]].map(([label, reading]) => reading && `${label} ${asTyped(/** @type {any} */ (reading))}. `)),
      entry.deviations.length > 0 && h('p', {}, h('b', {}, 'Deviations. '), `${entry.deviations.join('. ')}.`),
      followUps.length > 0 && h('ul', { class: 'plain' }, followUps.map((one) => h('li', {}, h('b', {}, one.kind), ` ${due(one) || one.says}`))),
      h('a', { class: 'row', href: `${base}job/?open=${entry.job}` }, 'The whole record'))),
      h('button', { type: 'button', class: 'btn line', onclick: async () => (said.textContent = told(await give(name, await store.exportAll(), 'text/plain'), name)) }, 'Give everything out as a file'), said)
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `The log could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}
