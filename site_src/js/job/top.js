// The head block of a job, and the numbers of its unit as they were when it began.
import { fill, h, say, show } from './dom.js'
import { asTyped, both, span, stamp } from './words.js'

/** @typedef {import('./session.js').Session} Session */

/** @param {string} label @param {...import('./dom.js').Child} children */
const cell = (label, ...children) => h('div', { class: 'w2' }, h('dt', {}, label), h('dd', {}, ...children))

/** @param {Session} session @returns {{element: HTMLElement, show(): void}} */
export function head(session) {
  const { card, vehicle, unit, option } = session.job.copy
  const { slots } = unit
  const going = h('p', { class: 'going', role: 'status' })
  const notes = h('ul', { class: 'kept-with', 'aria-label': 'Notes of no step', hidden: true })
  const rows = card.capacity.flatMap((name) => {
    const slot = slots[name]
    return slot ? [h('tr', {}, h('th', { scope: 'row' }, slot.label, h('span', { class: 'src' }, slot.state === 'verified' ? '' : `${slot.state} `)),
      h('td', { class: 'v' }, h('span', { class: 'big' }, slot.main), slot.also && h('small', {}, slot.also)))] : []
  })
  /** @type {[HTMLElement, import('../types.js').Fastener][]} */
  const orders = []
  const tags = card.torque.flatMap((role) => {
    const it = unit.fasteners[role]
    if (!it) return []
    const order = h('figure', {})
    if (it.count > 1) orders.push([order, it])
    return [h('div', { class: 'tag' }, h('div', {}, h('p', { class: 'what' }, it.name), h('p', { class: 'v small' }, both(it.torque)),
      h('p', { class: 'of' }, `${it.count} × ${it.thread}, threads ${it.threadState}. ${it.state === 'verified' ? '' : it.state}`)), it.count > 1 && order)]
  })
  // Drawn when they are looked at.
  const draw = async () => {
    const { drawing } = await import('../ui/diagram.js')
    for (const [place, it] of orders) if (!place.firstChild) place.append(drawing(it.pattern, it.count).svg)
  }
  const element = h('header', { class: 'card-head' }, h('h1', {}, card.title),
    vehicle.invented && h('p', { class: 'demo' }, h('b', {}, 'Demo. '), 'An invented vehicle. None of its numbers belongs to one of yours.'),
    h('dl', { class: 'head' }, cell('Vehicle', vehicle.name), cell('Unit', unit.title),
      cell('Fluid', slots['fluid.name']?.main ?? '–'), cell('Refill', slots['fill.refill']?.main ?? '–'),
      cell('Odometer', asTyped(session.job.odometer)), cell('Begun', stamp(session.job.began)),
      option && card.choice && h('div', { class: 'w4' }, h('dt', {}, card.choice.label), h('dd', {}, card.choice.options[option] ?? option))),
    going, notes,
    (rows.length > 0 || tags.length > 0) && h('details', { class: 'more numbers', ontoggle: draw }, h('summary', {}, 'Numbers of this unit'),
      rows.length > 0 && h('table', { class: 'cap' }, h('tbody', {}, rows)), tags))
  return {
    element,
    show() {
      const { view, job } = session
      const done = view.steps.filter((step) => step.state === 'done').length
      const next = view.next ? `Next: step ${view.next}.` : view.finished ? 'All steps done: sign off below.' : 'Nothing can be done until a wait or a hold lets go.'
      say(going, job.ended ? '' : `${done} of ${view.steps.length} steps done, ${span(Date.now() - job.began)} since the start. ${next}`)
      show(going, !job.ended)
      const whole = job.notes.filter((one) => !one.step)
      if (notes.childElementCount !== whole.length) fill(notes, whole.map((one) => h('li', {}, one.text)))
      show(notes, whole.length > 0)
    },
  }
}
