// The filled record on paper: what was done, measured and decided, on one sheet. It is made anew when it is printed.
import { way } from '../lib/job.js'
import { entry } from '../lib/follow.js'
import { code } from './code.js'
import { fill, h } from './dom.js'
import { PLACE } from './own.js'
import { works } from './session.js'
import { asTyped, both, due, plain, span, stamp, wall } from './words.js'

/** @typedef {import('./session.js').Session} Session */
/** @typedef {import('../lib/job.js').Job} Job */

const PHASES = /** @type {const} */ ([['as-found', 'As found'], ['job', 'Job'], ['as-left', 'As left']])

/** @param {string} text @returns {string} its first sentence: the card has the rest */
const first = (text) => /^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? text

/** @param {string} text @returns {string} closed by one full stop */
const stopped = (text) => `${text.trim().replace(/\.$/, '')}. `

/** @param {string} label @param {string} words */
const cell = (label, words) => h('div', {}, h('dt', {}, label), h('dd', {}, words || '____'))

/** @param {Session} session @returns {{element: HTMLElement, show(): void}} */
export function sheet(session) {
  const element = h('section', { class: 'record-sheet', 'aria-hidden': 'true' })
  return { element, show: () => fill(element, ...made(session)) }
}

/** @param {Session} session @returns {import('./dom.js').Child[]} */
function made({ job }) {
  const { card, vehicle, unit, option } = job.copy
  const { slots } = unit
  const ended = job.ended ? `${job.ended === 'signed' ? 'signed off' : 'carried forward'} ${stamp(job.lastAt)}` : 'NOT finished'
  const oil = card.capacity.length > 0
  const root = new URL(document.documentElement.dataset.base ?? './', location.href)
  const address = `${root.href}cards/${card.no.toLowerCase()}/?for=${vehicle.id}/${unit.id}`
  return [
    coded(address),
    h('h1', {}, `${card.no} ${card.title}: filled record `, vehicle.invented && h('small', {}, 'Demo, invented vehicle')),
    h('dl', { class: 'head' }, cell('Vehicle', vehicle.name), cell('Unit', unit.title), 
      oil && cell('Oil by the table', slots['fluid.name']?.main ?? ''), oil && cell('Refill by the table', slots['fill.refill']?.main ?? ''),
      cell('Odometer', asTyped(job.odometer)), cell('Begun', stamp(job.began)), cell('Ended', ended), cell(card.choice?.label ?? 'Card', option ? card.choice?.options[option] ?? option : `rev ${card.rev}`)),
    job.why && h('p', {}, h('b', {}, 'Odometer. '), stopped(job.why)),
    h('table', { class: 'done-table' }, h('tbody', {}, done(job))),
    measured(job),
    decided(job),
    h('p', { class: 'sign' }, 'Signed: ______________________'),
    h('p', { class: 'stamp' }, `${card.no} rev ${card.rev} · ${vehicle.short} ${unit.code} rev ${vehicle.rev} · ${job.count} events, times as the phone's clock had them · printed ${stamp(Date.now())} · ${address} · Where the service manual says otherwise, it wins.`),
  ]
}

/** The code of the filled card, in the corner. @param {string} address @returns {import('./dom.js').Child} none where it is too long for one: it stands in letters */
function coded(address) {
  try {
    return h('div', { class: 'code' }, code(address))
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
}

/** @param {Job} job @returns {HTMLElement[]} a row for each step, and a bar for each hold before the step it blocks */
function done(job) {
  const { card, unit, option } = job.copy
  // The day stands in the head; a row says it only where it is another one.
  const time = (/** @type {number} */ at) => wall(at, job.began)
  return card.steps.flatMap((step) => {
    const holds = card.holds.filter((hold) => Math.min(...hold.blocks) === step.no).map((hold) => {
      const tick = job.ticked.get(hold.no)
      return h('tr', { class: 'bar' }, h('td', {}, `HOLD ${hold.no}`), h('td', {}, plain(hold.says, unit.slots)),
        h('td', {}, tick ? `${tick.reason ? 'passed' : '✓'} ${time(tick.at)}` : 'not ticked'))
    })
    const it = job.done.get(step.no)
    const opened = job.opened.get(step.no)
    const waited = opened ? `, wait over ${time(opened.at)}${opened.early ? `, ${opened.early} min early` : ''}` : ''
    return [...holds, h('tr', {}, h('td', {}, String(step.no)), h('td', {}, first(plain(way(step, option).do, unit.slots))),
      h('td', {}, it ? `${time(it.at)}${waited}` : 'not done'))]
  })
}

/** @param {Job} job @returns {HTMLElement} every reading by its phase, and the torque of each group */
function measured(job) {
  const { card, unit } = job.copy
  const asked = new Set(card.record.map((field) => field.id))
  const fields = [...PLACE.filter((field) => !asked.has(field.id)), ...card.record].filter((field) => job.readings[field.id])
  const groups = PHASES.flatMap(([phase, name]) => {
    const own = fields.filter((field) => field.phase === phase)
    return own.length ? [h('h2', {}, name), h('dl', {}, own.map((field) => cell(field.label, asTyped(job.readings[field.id]))))] : []
  })
  const used = new Map((job.entry ?? entry(job, '', job.lastAt, 0, '', works)).torque.map((one) => [one.role, one]))
  const torques = card.torque.flatMap((role) => {
    const it = unit.fasteners[role]
    const one = used.get(role)
    if (!it) return []
    const manual = one && Math.abs(one.used - it.torque) < 1e-9 ? 'as the manual' : `manual ${both(it.torque)}`
    return [cell(`${it.name}, ${it.count} × ${it.thread}, threads ${one?.state ?? job.threads[role] ?? it.threadState}, ${manual}`, one ? both(one.used) : 'not tightened')]
  })
  return h('div', { class: 'record-of' }, groups, torques.length > 0 && [h('h2', {}, 'Torque used'), h('dl', {}, torques)])
}

/** @param {Job} job @returns {HTMLElement[]} */
function decided(job) {
  const passed = (job.entry ?? entry(job, '', job.lastAt, 0, '', works)).deviations
  const taken = job.undone.filter((one) => !one.back)
    .map((one) => `${wall(one.at, job.began)} undone: ${[...one.steps.map((no) => `step ${no}`), ...one.holds.map((no) => `hold ${no}`)].join(', ')}. `)
  const rows = /** @type {[string, string | string[] | false][]} */ ([
    ['Deviations', [...(passed.length ? passed.map(stopped) : ['None. ']), ...taken]],
    ['Clock', job.shift !== 0 && `The phone's clock was moved by ${span(Math.abs(job.shift))} ${job.shift < 0 ? 'back' : 'forward'}; no wait counts that time.`],
    ['Notes', job.notes.map((one) => `${one.step ? `Step ${one.step}: ` : ''}${stopped(one.text)}`)],
    ['Photos', job.photos.length > 0 && `${job.photos.length}, at step ${[...new Set(job.photos.map((one) => one.step))].join(', ')}, on the phone.`],
    ['Defect, carried forward', job.entry?.defect ?? ''],
    ['Left for another sitting', job.ended ? '' : job.resting],
    ['Follow-ups', job.followUps.length ? job.followUps.map((one) => `☐ ${one.kind}: ${stopped(due(one) || one.says)}`) : job.ended ? 'None.' : 'Made at sign-off.'],
  ])
  return rows.filter(([, words]) => words && words.length).map(([name, words]) => h('p', { class: 'decided' }, h('b', {}, `${name}. `), words))
}
