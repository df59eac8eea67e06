// The filled record on paper: what was done, measured and decided, on one sheet. It is made anew when it is printed.
import { way } from '../lib/job.js'
import { fill, h } from './dom.js'
import { asTyped, both, day, due, plain, wall } from './words.js'

/** @typedef {import('./session.js').Session} Session */

const PHASES = /** @type {const} */ ([['as-found', 'As found'], ['job', 'Job'], ['as-left', 'As left']])

/** @param {string} text @returns {string} its first sentence: the card has the rest */
const first = (text) => /^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? text

/** @param {Session} session @returns {{element: HTMLElement, show(): void}} */
export function sheet(session) {
  const element = h('section', { class: 'record-sheet', 'aria-hidden': 'true' })
  return { element, show: () => fill(element, ...made(session)) }
}

/** @param {Session} session @returns {import('./dom.js').Child[]} */
function made({ job }) {
  const { card, vehicle, unit, option } = job.copy
  const { slots } = unit
  const cell = (/** @type {string} */ label, /** @type {string} */ words) => h('div', {}, h('dt', {}, label), h('dd', {}, words || '____'))
  const ended = job.ended === 'signed' ? `signed off ${day(job.lastAt)} ${wall(job.lastAt)}` : job.ended === 'stopped' ? `stopped ${day(job.lastAt)} ${wall(job.lastAt)}, carried forward` : 'NOT finished'
  const rows = card.steps.flatMap((step) => {
    const holds = card.holds.filter((hold) => Math.min(...hold.blocks) === step.no).map((hold) => {
      const tick = job.ticked.get(hold.no)
      return h('tr', { class: 'bar' }, h('td', {}, `HOLD ${hold.no}`), h('td', {}, plain(hold.says, slots)),
        h('td', {}, tick ? `${tick.reason ? 'passed' : '✓'} ${wall(tick.at)}` : 'not ticked'))
    })
    const done = job.done.get(step.no)
    const opened = job.opened.get(step.no)
    const waited = opened ? `, wait over ${wall(opened.at)}${opened.early ? ` (${opened.early} min early)` : ''}` : ''
    return [...holds, h('tr', {}, h('td', {}, String(step.no)), h('td', {}, first(plain(way(step, option).do, slots))),
      h('td', {}, done ? `${wall(done.at)}${waited}` : 'not done'))]
  })
  const record = PHASES.map(([phase, name]) => {
    const fields = card.record.filter((field) => field.phase === phase && job.readings[field.id])
    return fields.length > 0 && h('div', {}, h('h3', {}, name), h('p', {}, fields.map((field) => [`${field.label}: `, h('b', {}, asTyped(job.readings[field.id])), '. '])))
  })
  const torque = card.torque.flatMap((role) => {
    const it = unit.fasteners[role]
    const state = job.threads[role] ?? it?.threadState
    const used = job.entry?.torque.find((one) => one.role === role)?.used
    return it ? [`${it.name}: manual ${both(it.torque)}, threads ${state}${used && Math.abs(used - it.torque) > 1e-9 ? `, used ${both(used)}` : ''}. `] : []
  })
  const passed = job.entry ? job.entry.deviations.map((one) => `${one}. `) : [...job.ticked].filter(([, tick]) => tick.reason).map(([no, tick]) => `Hold ${no} passed: ${tick.reason}. `)
  const taken = job.undone.filter((one) => !one.back).map((one) => `${wall(one.at)} undone: ${[...one.steps.map((no) => `step ${no}`), ...one.holds.map((no) => `hold ${no}`)].join(', ')}. `)
  return [
    h('h1', {}, `${card.no} ${card.title}: filled record`),
    vehicle.invented && h('p', {}, h('b', {}, 'Demo, invented vehicle.')),
    h('dl', { class: 'head' }, cell('Vehicle', vehicle.name), cell('Unit', unit.title), cell('Oil', slots['fluid.name']?.main ?? ''), cell('Table refill', slots['fill.refill']?.main ?? ''),
      cell('Odometer', asTyped(job.odometer)), cell('Begun', `${day(job.began)} ${wall(job.began)}`), cell('Ended', ended), cell(card.choice?.label ?? 'Card', option ? card.choice?.options[option] ?? option : `rev ${card.rev}`)),
    job.why && h('p', {}, `Odometer: ${job.why}.`),
    h('table', { class: 'done-table' }, h('tbody', {}, rows)),
    h('div', { class: 'record-of' }, record),
    torque.length > 0 && h('p', {}, h('b', {}, 'Torque. '), torque),
    h('p', {}, h('b', {}, 'Deviations. '), passed.length ? passed : 'None. ', taken),
    job.notes.length > 0 && h('p', {}, h('b', {}, 'Notes. '), job.notes.map((one) => `Step ${one.step}: ${one.text}. `)),
    job.photos.length > 0 && h('p', {}, h('b', {}, 'Photos. '), `${job.photos.length}, at steps ${[...new Set(job.photos.map((one) => one.step))].join(', ')}, on the phone.`),
    job.entry?.defect && h('p', {}, h('b', {}, 'Defect, carried forward. '), job.entry.defect),
    h('p', {}, h('b', {}, 'Follow-ups. '), job.followUps.length ? job.followUps.map((one) => `☐ ${one.kind}: ${due(one) || one.says.replace(/\.$/, '')}. `) : job.ended ? 'None.' : 'Made at sign-off.'),
    h('p', { class: 'sign' }, 'Signed: ______________________'),
    h('p', { class: 'stamp' }, `${card.no} rev ${card.rev} · ${vehicle.short} ${unit.code} rev ${vehicle.rev} · ${job.count} events, times as the phone's clock had them · printed ${day(Date.now())} ${wall(Date.now())} · ${location.origin}${new URL(document.documentElement.dataset.base ?? './', location.href).pathname}cards/${card.no.toLowerCase()}/ · Page 1 of 1. Where the service manual says otherwise, it wins.`),
  ]
}
