// The end of a job: what is not recorded, deviations, the follow-ups it makes, sign off, or stop and carry forward.
import { entry, followUps } from '../lib/follow.js'
import * as store from '../store.js'
import { fill, h, show } from './dom.js'
import { fieldOf } from './reads.js'
import { OWN } from './own.js'
import { works } from './session.js'
import { asTyped, due, filled, stamp } from './words.js'

/** @typedef {import('./session.js').Session} Session */

/** @param {import('../types.js').FollowUp} one @returns {string} with its stop, where there is a date or distance at all */
const when = (one) => (due(one) ? ` ${due(one)}. ` : ' ')

/** @param {string[]} all */
const lines = (all) => (all.length ? all.map((one) => h('li', {}, one)) : h('li', {}, 'None.'))

/**
 * @param {Session} session @param {Set<string>} placed fields that have a place at a step or hold
 * @returns {{element: HTMLElement, show(): void}}
 */
export function closing(session, placed) {
  const { card, unit } = session.job.copy
  const rest = card.record.filter((field) => !placed.has(field.id) && !OWN.has(field.id))
  const made = rest.map((field) => ({ id: field.id, ...fieldOf(field, 'end', (reading) => session.act('read', { field: field.id, reading })) }))
  const phases = /** @type {const} */ ([['as-found', 'As found'], ['job', 'Job'], ['as-left', 'As left']])
  const groups = phases.map(([phase, name]) => {
    const own = made.filter((_, index) => rest[index]?.phase === phase)
    return own.length > 0 && [h('h3', {}, name), h('div', { class: 'reads' }, own.map((one) => one.element))]
  })
  const missing = h('p', { class: 'missing' })
  const deviations = h('ul', { class: 'plain' })
  const coming = h('ul', { class: 'plain' })
  const refused = h('p', { class: 'refused', role: 'alert', hidden: true })
  const sign = h('button', { type: 'button', class: 'btn' }, 'Sign off')
  const defect = h('textarea', { rows: 3, id: 'defect', autocomplete: 'off' })
  const stop = h('button', { type: 'button', class: 'btn line' }, 'Stop here and carry forward')
  const left = h('textarea', { rows: 2, id: 'left', autocomplete: 'off' })
  const pause = h('button', { type: 'button', class: 'btn line' }, 'Leave it for another sitting')
  const resume = h('button', { type: 'button', class: 'btn' }, 'Go on with the job')
  const resting = h('div', { class: 'resting', hidden: true })
  const unfinished = h('details', { class: 'more' }, h('summary', {}, 'Not finished'),
    h('h3', {}, 'Leave it safe, go on another day'), h('label', { for: 'left' }, 'How it stands, such as: axle empty, key out, label on the wheel'), left, pause,
    h('h3', {}, 'Stop, and carry it forward'), h('label', { for: 'defect' }, 'Defect note: what is wrong, what must happen before it is used'), defect, stop)
  const work = h('div', {}, h('h3', {}, 'Accept when'), h('ul', { class: 'plain' }, card.acceptance.map((text) => h('li', {}, filled(text, unit.slots)))),
    missing, h('h3', {}, 'Deviations'), deviations, h('h3', {}, 'Follow-ups this job makes'), coming, refused, sign, unfinished)
  const over = h('div', { class: 'over', hidden: true })
  const element = h('div', {}, groups, resting, work, over)

  const act = (/** @type {any} */ kind, /** @type {unknown} */ data, /** @type {any} */ extra) => {
    const why = session.act(kind, data, extra)
    fill(refused, why)
    show(refused, Boolean(why))
  }
  const ids = () => ({ entry: store.newId(), at: Date.now() })
  sign.addEventListener('click', () => {
    const { entry: id, at } = ids()
    const made = entry(session.job, id, at, -new Date(at).getTimezoneOffset(), '', works)
    const follow = followUps(session.job, id, at, store.newId)
    act('signed', { entry: made, followUps: follow }, { log: { id, entry: made, followUps: follow, at } })
  })
  stop.addEventListener('click', () => {
    const { entry: id, at } = ids()
    const made = entry(session.job, id, at, -new Date(at).getTimezoneOffset(), defect.value.trim(), works)
    act('stopped', { entry: made, defect: defect.value.trim() }, { log: { id, entry: made, followUps: [], at } })
  })
  pause.addEventListener('click', () => act('rest', { note: left.value.trim() }, undefined))
  resume.addEventListener('click', () => act('resume', {}, undefined))

  return {
    element,
    show() {
      const { job, view } = session
      const locked = Boolean(session.closed || job.ended)
      for (const one of made) one.show(job.readings[one.id] ?? null, locked)
      const open = view.steps.filter((step) => step.state !== 'done').map((step) => step.no)
      const unread = card.record.filter((field) => !OWN.has(field.id) && !job.readings[field.id] && field.phase !== 'job').map((field) => field.label.toLowerCase())
      fill(missing, open.length > 0 && h('span', {}, `Not done: step${open.length > 1 ? 's' : ''} ${open.join(', ')}. `),
        unread.length > 0 && h('span', {}, `Not recorded: ${unread.join('; ')}.`))
      // As the entry will have them, so that nothing is signed unseen.
      fill(deviations, lines((job.entry ?? entry(job, 'preview', Date.now(), 0, '', works)).deviations))
      const follow = job.ended ? job.followUps : followUps(job, 'preview', Date.now(), () => 'preview')
      fill(coming, follow.length ? follow.map((one) => h('li', {}, h('b', {}, one.kind), when(one), h('span', { class: 'of' }, one.says))) : h('li', {}, 'None.'))
      sign.disabled = !view.finished || locked
      show(unfinished, !locked && !job.resting)
      show(work, !job.ended)
      show(resting, Boolean(job.resting) && !job.ended)
      if (job.resting) fill(resting, h('p', {}, h('b', {}, 'Left for another sitting. '), job.resting), !session.closed && resume)
      show(over, Boolean(job.ended))
      if (job.ended && job.entry) {
        fill(over, h('p', { class: 'signed' }, h('b', {}, job.ended === 'signed' ? 'Signed off. ' : 'Stopped and carried forward. '), `${stamp(job.lastAt)}, odometer ${asTyped(job.odometer)}.`),
          job.entry.defect && h('p', { class: 'stop' }, h('b', {}, 'Defect. '), job.entry.defect),
          h('h3', {}, 'Deviations'), h('ul', { class: 'plain' }, lines(job.entry.deviations)),
          h('h3', {}, 'Follow-ups'), h('ul', { class: 'plain' }, follow.length ? follow.map((one) => h('li', {}, h('b', {}, one.kind), when(one), one.says)) : h('li', {}, 'None.')),
          h('a', { class: 'row', href: '../log/' }, 'Service log'))
      }
    },
  }
}
