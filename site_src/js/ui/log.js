// The service log: what was signed off or stopped, newest first, with what it left to do.
import { due } from '../job/close.js'
import { fill, h } from '../job/dom.js'
import { asTyped } from '../job/words.js'
import { give, told } from '../phone/share.js'
import * as store from '../store.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const records = (await store.log()).sort((a, b) => b.at - a.at)
    if (!records.length) return
    const said = h('p', { class: 'of', role: 'status' })
    const name = 'fillmark-backup.txt'
    fill(element, records.map(({ entry, followUps }) => h('section', { class: 'entry-of' },
      h('h2', {}, `${entry.date} · ${entry.procedure} · ${entry.unit}`),
      h('p', {}, `${entry.vehicle}, ${asTyped(entry.odometer)}. ${entry.finished ? 'Signed off.' : 'Stopped, carried forward.'}${entry.demo ? ' Demo.' : ''}`),
      entry.defect && h('p', { class: 'stop' }, h('b', {}, 'Defect. '), entry.defect),
      h('p', {}, [['Out', entry.out], ['In', entry.in], ['Additive', entry.additive]].map(([label, reading]) => reading && `${label} ${asTyped(/** @type {any} */ (reading))}. `)),
      entry.deviations.length > 0 && h('p', {}, h('b', {}, 'Deviations. '), entry.deviations.join(' ')),
      followUps.length > 0 && h('ul', { class: 'plain' }, followUps.map((one) => h('li', {}, h('b', {}, one.kind), ` ${due(one)}`))),
      h('a', { class: 'row', href: `${base}job/?open=${entry.job}` }, 'The whole record'))),
      h('button', { type: 'button', class: 'btn line', onclick: async () => (said.textContent = told(await give(name, await store.exportAll(), 'text/plain'), name)) }, 'Give everything out as a file'), said)
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `The log could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}
