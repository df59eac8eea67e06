// The step table of a job: each step with its cautions and holds before it, what is read there, its clock, its tick.
import { fill as litres, stops, tilt } from '../lib/judge.js'
import { NEVER, undo, way } from '../lib/job.js'
import { OWN } from './own.js'
import { fill, h, say, show } from './dom.js'
import { fieldOf } from './reads.js'
import { works } from './session.js'
import { steady } from './steady.js'
import { filled, wall } from './words.js'

// Readings that something is said about at once, beneath the last of them.
const JUDGED = ['level-found', 'volume-out', 'volume-in']

/** @typedef {import('./session.js').Session} Session */
/** @typedef {{element: HTMLElement, show(): void, tick?(): void}} Part */

/** @param {Session} session @returns {Part & {tick(): void}} `tick` shows that time passes, and nothing else */
export function stepTable(session) {
  const { card } = session.job.copy
  /** @type {Part[]} */
  const parts = []
  const list = h('ol', { class: 'steps' })
  /** Each field is read in one place: where it is found first. @type {Set<string>} */
  const placed = new Set()
  for (const step of card.steps) {
    for (const one of card.cautions.filter((one) => one.before === step.no)) list.append(cautionBar(session, one))
    for (const hold of card.holds.filter((one) => Math.min(...one.blocks) === step.no)) {
      const bar = holdBar(session, hold, placed)
      parts.push(bar)
      list.append(bar.element)
    }
    const row = stepRow(session, step, placed)
    parts.push(row)
    list.append(row.element)
  }
  return {
    element: list,
    show() {
      for (const part of parts) part.show()
    },
    tick() {
      for (const part of parts) part.tick?.()
    },
  }
}

/** @param {Session} session @param {import('../types.js').Caution} one */
function cautionBar(session, one) {
  return h('li', { class: 'aside' }, h('div', { class: `warn ${one.severity}` },
    h('p', {}, h('b', {}, one.severity.toUpperCase()), ' ', filled(one.says, session.job.copy.unit.slots))))
}

/**
 * @param {Session} session @param {string[]} ids @param {string} key @param {Set<string>} placed
 * @returns {{element: HTMLElement, show(locked: boolean): void}}
 */
function readings(session, ids, key, placed) {
  const asked = ids.filter((id) => !placed.has(id) && (!OWN.has(id) || (id.startsWith('torque') && !knowsTorque(session, ids))))
  const fields = asked.flatMap((id) => session.job.copy.card.record.find((one) => one.id === id) ?? [])
  for (const field of fields) placed.add(field.id)
  const made = fields.map((field) => ({ id: field.id, ...fieldOf(field, key, (reading) => session.act('read', { field: field.id, reading })) }))
  const verdict = h('p', { class: 'verdict', role: 'status', hidden: true })
  const judged = Math.max(-1, ...made.map((one, index) => (JUDGED.includes(one.id) ? index : -1)))
  const element = h('div', { class: 'reads' }, made.slice(0, judged + 1).map((one) => one.element), verdict, made.slice(judged + 1).map((one) => one.element))
  element.hidden = !made.length
  return {
    element,
    show(locked) {
      for (const one of made) one.show(session.job.readings[one.id] ?? null, locked)
      const words = [
        fields.some((one) => one.id === 'volume-out') ? litres(session.job, works).words : '',
        fields.some((one) => one.id === 'volume-in' || one.id === 'level-found') ? tilt(session.job, works).words : '',
      ].filter(Boolean).join(' ')
      say(verdict, words)
      show(verdict, Boolean(words))
    },
  }
}

/** Where no torque is known there is nothing to tap, and what was used must be written. @param {Session} session @param {string[]} ids */
const knowsTorque = (session, ids) => session.job.copy.card.steps.some((step) => step.reads === ids && step.tightens && session.job.copy.unit.fasteners[step.tightens])

/** @param {Session} session @param {import('../types.js').Hold} hold @param {Set<string>} placed @returns {Part} */
function holdBar(session, hold, placed) {
  const { slots } = session.job.copy.unit
  const reads = readings(session, hold.reads, `h${hold.no}`, placed)
  const box = h('i', { class: 'box', 'aria-hidden': 'true' })
  const state = h('small', {})
  const bar = h('button', { type: 'button', 'aria-pressed': 'false', 'data-hold': hold.no },
    h('b', {}, `HOLD ${hold.no}`), h('span', {}, filled(hold.says, slots), ' ', state), box)
  const why = h('p', { class: 'why', role: 'status', hidden: true })
  const reason = h('textarea', { rows: 2, id: `reason-${hold.no}`, autocomplete: 'off' })
  const pass = h('button', { type: 'button', class: 'btn line small' }, 'Pass this hold, and log why')
  const past = h('details', { class: 'more', hidden: true }, h('summary', {}, 'Pass it with a reason'),
    h('label', { for: `reason-${hold.no}` }, 'Reason, kept in the log as a deviation'), reason, pass)
  const element = h('li', { class: 'hold-of' }, reads.element, h('div', { class: 'hold' }, bar), why, past)
  let refused = ''
  bar.addEventListener('click', ({ detail }) => {
    if (detail > 1) return
    const ticked = session.job.ticked.has(hold.no)
    refused = ticked ? takeBack(session, { hold: hold.no }) : session.act('hold', { hold: hold.no })
    if (refused) steady(draw) // else all is drawn anew with the next frame
  })
  pass.addEventListener('click', () => {
    refused = session.act('override', { hold: hold.no, reason: reason.value.trim() })
    if (refused) steady(draw)
  })
  const draw = () => {
    const it = session.view.holds.find((one) => one.no === hold.no)
    if (!it) return
    reads.show(Boolean(session.closed || session.job.ended))
    const tick = session.job.ticked.get(hold.no)
    bar.setAttribute('aria-pressed', String(it.ticked))
    bar.classList.toggle('ticked', it.ticked)
    say(box, it.ticked ? '✓' : '')
    say(state, tick ? (tick.reason ? `Passed ${wall(tick.at)}: ${tick.reason}` : wall(tick.at)) : '')
    if (it.ticked) refused = ''
    const words = it.ticked ? '' : it.why || refused
    say(why, words)
    show(why, Boolean(words))
    show(past, !it.ticked && !session.closed && Boolean(it.why) && !NEVER.includes(hold.guard))
  }
  return { element, show: draw }
}

/** @param {Session} session @param {{step: number} | {hold: number}} what @returns {string} '' or why not */
function takeBack(session, what) {
  const { steps, holds } = undo(session.job, what)
  return session.act('undone', { steps, holds })
}

/** @param {Session} session @param {import('../types.js').Step} step @param {Set<string>} placed @returns {Part} */
function stepRow(session, step, placed) {
  const { unit, option } = session.job.copy
  const it = way(step, option)
  const reads = readings(session, step.reads, `s${step.no}`, placed)
  const clock = it.wait || session.job.label[step.no] ? lateClock(session, step.no) : null
  const tight = step.tightens ? lateTight(session, step) : null
  const more = lateExtras(session, step.no, it.do)
  const why = h('p', { class: 'why', hidden: true })
  const tick = h('button', { type: 'button', class: 'tick', 'data-tick': step.no, 'aria-label': `Step ${step.no} done` })
  const minutes = `hands ${Math.round(it.hands)} min${it.wait ? `, ${it.waitKind} ${session.job.label[step.no] ?? Math.round(it.wait)} min${it.label ? ' (label)' : ''}` : ''}`
  const values = step.shows.filter((name) => unit.slots[name] && !it.do.includes(`{${name}}`))
    .map((name) => h('p', { class: 'shows' }, h('span', {}, unit.slots[name]?.label ?? ''), ' ', filled(`{${name}}`, unit.slots)))
  const subs = step.lifts ? Object.values(session.job.copy.subs).map((sub) => subCard(sub, unit.slots)) : []
  const element = h('li', { class: 'step', id: `step-${step.no}`, 'data-step': step.no },
    h('span', { class: 'n' }, String(step.no)),
    h('div', { class: 'do' }, h('p', {}, filled(it.do, unit.slots)), values, h('span', { class: 't' }, minutes), why),
    subs, reads.element, tight && tight.element, more.element, tick, clock && clock.element)
  let refused = ''
  tick.addEventListener('click', ({ detail }) => {
    if (detail > 1) return // a thumb that bounces does not undo what it did
    refused = session.job.done.has(step.no) ? takeBack(session, { step: step.no }) : session.act('done', { step: step.no })
    if (refused) steady(show_)
  })
  const show_ = () => {
    const now = session.view.steps.find((one) => one.no === step.no)
    if (!now) return
    const name = `step ${now.state}`
    if (element.className !== name) element.className = name
    const open = now.state === 'now' || now.state === 'open'
    const ended = Boolean(session.closed || session.job.ended)
    const left = tight && open ? tight.left() : ''
    if (!open) refused = ''
    const words = now.state === 'done' ? '' : now.why || refused || left
    say(why, words)
    show(why, Boolean(words))
    const done = session.job.done.get(step.no)
    say(tick, done ? `Done ${wall(done.at)}. Undo` : 'Done')
    tick.setAttribute('aria-label', done ? `Step ${step.no} done ${wall(done.at)}. Undo` : `Step ${step.no} done`)
    tick.disabled = ended || (!open && !done) || Boolean(left)
    show(reads.element, reads.element.childElementCount > 1 && now.state !== 'shut')
    reads.show(ended)
    tight?.show(open && !ended)
    clock?.show(now.clock)
    more.show(now.state !== 'shut')
    element.classList.toggle('stopped', step.reads.some((id) => stops(session.job).some((one) => one.field === id)))
  }
  const tick_ = () => clock?.show(session.view.steps.find((one) => one.no === step.no)?.clock ?? null)
  return { element, show: show_, tick: tick_ }
}

/**
 * The tightening of a step, loaded when it is first wanted.
 * @param {Session} session @param {import('../types.js').Step} step
 * @returns {{element: HTMLElement, show(open: boolean): void, left(): string}}
 */
function lateTight(session, step) {
  const element = h('div', { class: 'tight-of' })
  /** @type {ReturnType<import('./tight.js').tightBox> | null} */
  let box = null
  let asked = false
  return {
    element,
    show(open) {
      box?.show(open)
      if (asked || !(open || session.job.bolts[step.no])) return
      asked = true
      void import('./tight.js').then(({ tightBox }) => {
        box = tightBox(session, step)
        const { element: made } = box
        steady(() => {
          element.append(made)
          session.tell()
        })
      })
    },
    left: () => (box ? box.left() : 'One moment.'),
  }
}

/**
 * The clock box of a wait, loaded with the first wait.
 * @param {Session} session @param {number} step
 * @returns {{element: HTMLElement, show(clock: import('./clock.js').Clock | null): void}}
 */
export function lateClock(session, step) {
  const element = h('div', { class: 'clock-of' })
  /** @type {ReturnType<import('./clock.js').clockBox> | null} */
  let box = null
  /** @type {import('./clock.js').Clock | null} */
  let last = null
  let asked = false
  return {
    element,
    show(clock) {
      last = clock
      box?.show(clock)
      if (asked || !clock) return
      asked = true
      void import('./clock.js').then(({ clockBox }) => {
        const made = (box = clockBox(session, step))
        steady(() => {
          element.append(made.element)
          made.show(last)
        })
      })
    },
  }
}

/** Photos and notes, loaded after the steps stand. @type {typeof import('./extras.js').extras} */
function lateExtras(session, step, text) {
  const element = h('div', { class: 'extras' })
  let on = false
  let show = (/** @type {boolean} */ _on) => {}
  void import('./extras.js').then(({ extras }) => {
    const made = extras(session, step, text)
    steady(() => {
      element.append(made.element)
      made.show(on)
    })
    show = made.show
  })
  return { element, show: (now) => show((on = now)) }
}

/** A card that is read inside this one, in full. @param {import('../types.js').Card} sub @param {Record<string, import('../types.js').Slot>} slots */
function subCard(sub, slots) {
  return h('details', { class: 'more sub-card' }, h('summary', {}, `${sub.no} ${sub.title}: read it now`),
    h('ol', {}, sub.steps.map((step) => [
      sub.holds.filter((hold) => Math.min(...hold.blocks) === step.no).map((hold) => h('li', { class: 'sub-hold' }, h('b', {}, `HOLD ${hold.no} `), filled(hold.says, slots))),
      h('li', { value: step.no }, filled(way(step, '').do, slots)),
    ])))
}

/** The line that offers to put back what was just undone. @param {Session} session @returns {Part} */
export function putBack(session) {
  const button = h('button', { type: 'button', class: 'btn line small' }, 'Put it back')
  const words = h('span', {})
  const element = h('div', { class: 'undone', role: 'status', hidden: true }, words, button)
  button.addEventListener('click', () => session.act('put-back', { undone: session.job.lastUndone }))
  return {
    element,
    show() {
      const last = session.job.undone.find((one) => one.id === session.job.lastUndone)
      show(element, Boolean(last) && !session.closed)
      if (last) fill(words, `Undone: ${[...last.steps.map((no) => `step ${no}`), ...last.holds.map((no) => `hold ${no}`)].join(', ')}.`)
    },
  }
}
