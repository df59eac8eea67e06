// One entry in the log: a line that says what, where and how much, and opens to all that it holds.
import { fill, h } from '../job/dom.js'
import { facts, litresOf, odometerOf, unitOf, workOf } from './facts.js'
import { shownPhotos } from './photos.js'

/** @typedef {import('../types.js').LogRecord} LogRecord */
/** @typedef {import('./around.js').Around & {titles: Map<string, {vehicle: string, unitTitle: string}>, base: string}} Around titles: of
 *   jobs, for what is no longer in the garage */

/** @param {string} base @param {string} id */
export const inLog = (base, id) => `${base}log/?entry=${encodeURIComponent(id)}`

/** @param {LogRecord} record @param {Around} around @param {boolean} [open] @returns {HTMLElement} */
export function row(record, around, open = false) {
  const { entry } = record
  const vehicle = around.vehicles.get(entry.vehicle)
  const job = around.titles.get(entry.job)
  const newer = around.by.get(entry.id)
  const head = `${entry.date} · ${workOf(entry, around.site)}`
  const place = `${vehicle?.short ?? job?.vehicle ?? entry.vehicle}, ${vehicle ? unitOf(entry, vehicle) : job?.unitTitle ?? entry.unit}, ${odometerOf(entry)}`
  const end = entry.job ? (entry.finished ? 'Signed off.' : 'Stopped, carried forward.') : ''
  const litres = litresOf(entry)
  const marks = [entry.demo && 'Demo.', newer && `Corrected on ${newer.date}.`, entry.replaces && 'A correction.', end].filter(Boolean).join(' ')
  const summary = h('summary', {}, h(newer ? 's' : 'b', {}, head), h('span', {}, newer ? h('s', {}, place) : place),
    (marks || litres || entry.says) && h('span', { class: 'of' }, [marks, litres || entry.says].filter(Boolean).join(' ')))
  const body = h('div', {})
  const element = h('details', { class: 'more entry-of', 'data-entry': entry.id, open }, summary,
    entry.defect && h('p', { class: 'stop' }, h('b', {}, 'Defect. '), entry.defect), body)
  let built = false
  const build = () => {
    if (built) return
    built = true
    fill(body, facts(record, vehicle, around.named, around.looks(entry.id)).filter(([label]) => label !== 'Defect')
      .map(([label, words]) => h('p', {}, h('b', {}, `${label}: `), words)),
      entry.photos.length > 0 && shownPhotos(entry.photos),
      newer && h('a', { class: 'row', href: inLog(around.base, newer.id) }, `The correction of ${newer.date}`),
      entry.replaces && h('a', { class: 'row', href: inLog(around.base, entry.replaces) }, `The entry that it corrects, ${around.named(entry.replaces)}`),
      entry.job && h('a', { class: 'row', href: `${around.base}job/?open=${entry.job}` }, 'The whole record'),
      !newer && h('a', { class: 'row', href: `${around.base}log/add/?replaces=${encodeURIComponent(entry.id)}` }, 'Correct this'))
  }
  if (open) build()
  element.addEventListener('toggle', build)
  return element
}
