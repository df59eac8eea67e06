// A clock box: when a wait began, when it is ready, and the tap that opens it. Wall-clock times, never a countdown alone.
import { fill, h, say, show } from './dom.js'
import { span, wall } from './words.js'

/** @typedef {import('../lib/job.js').Clock} Clock */
/** @typedef {import('./session.js').Session} Session */

const NAMES = /** @type {Record<string, string>} */ ({
  drain: 'Draining', cool: 'Cooling', 'flash-off': 'Cleaner drying off', set: 'Sealant setting', settle: 'Settling',
  charge: 'Charging', drive: 'Driving',
})
// A plan's minutes may be too many; then the thing itself says so.
const TESTS = /** @type {Record<string, string>} */ ({
  drain: 'Tap again if it only drips now', cool: 'Tap again if it is only warm to the hand',
  'flash-off': 'Tap again if it is dry, without smell or cold patch', settle: 'Tap again if the level stands still',
})
/** Waits that are to ring on this page, by step. @type {Set<string>} */
const ringing = new Set()

/**
 * @param {Session} session @param {number} step
 * @returns {{element: HTMLElement, show(clock: Clock | null): void}}
 */
export function clockBox(session, step) {
  const key = `${session.id}-${step}`
  const kind = h('b', {})
  const started = h('dd', {})
  const ready = h('dd', {})
  const left = h('p', { class: 'left', role: 'status' })
  const timer = h('p', { class: 'timer' })
  const refused = h('p', { class: 'refused', role: 'alert', hidden: true })
  const open = h('button', { type: 'button', class: 'btn' })
  const early = h('button', { type: 'button', class: 'btn line small' })
  const file = h('button', { type: 'button', class: 'link' }, 'Calendar alarm')
  const sound = h('button', { type: 'button', class: 'link', 'aria-pressed': 'false' }, 'Ring on this page')
  const told = h('span', { class: 'of', role: 'status' })
  const helps = h('p', { class: 'helps' }, file, sound, told)
  const minutes = h('input', { inputmode: 'numeric', autocomplete: 'off', id: `label-${key}` })
  const label = h('p', { class: 'label-time' }, h('label', { for: `label-${key}` }, 'The label says, minutes '), minutes)
  const element = h('div', { class: 'clock', hidden: true },
    h('p', { class: 'kind' }, kind), h('dl', {}, h('div', {}, h('dt', {}, 'Started'), started), h('div', {}, h('dt', {}, 'Ready at'), ready)),
    left, timer, open, early, refused, helps, label)
  /** @type {Clock | null} */
  let clock = null
  let asked = false

  /** @param {string} kind @param {unknown} data */
  const act = (kind, data) => {
    const why = session.act(/** @type {any} */ (kind), data)
    fill(refused, why)
    show(refused, Boolean(why))
  }
  open.addEventListener('click', () => act('opened', { step, early: 0 }))
  early.addEventListener('click', ({ detail }) => {
    if (!clock || detail > 1) return // two taps, not one that bounces
    if (asked) act('opened', { step, early: Math.max(1, Math.ceil(clock.left / 60_000)) })
    asked = !asked
    draw()
  })
  minutes.addEventListener('change', () => {
    const wanted = Number(minutes.value)
    if (/^\d{1,5}$/.test(minutes.value.trim()) && wanted > 0) act('label', { step, minutes: wanted })
    else if (clock) minutes.value = String(clock.minutes)
  })
  file.addEventListener('click', async () => {
    if (!clock) return
    // Asked for when it is wanted: the page starts sooner without.
    const [{ calendar }, { give, told: given }] = await Promise.all([import('../lib/ics.js'), import('../phone/share.js')])
    const { card, unit } = session.job.copy
    const text = calendar([{
      uid: `${session.id}-${step}@fillmark`, start: clock.ready, minutes: 5, summary: `${card.no} step ${step}: ${NAMES[clock.kind]?.toLowerCase()} is over`,
      description: `${unit.title}. Look first, then tap on the job card.`,
    }], Date.now())
    told.textContent = given(await give(`fillmark-step-${step}.ics`, text, 'text/calendar'), `fillmark-step-${step}.ics`)
  })
  sound.addEventListener('click', async () => {
    const on = !ringing.has(key)
    if (on) ringing.add(key)
    else ringing.delete(key)
    sound.setAttribute('aria-pressed', String(on))
    told.textContent = on ? (await (await import('../phone/alarm.js')).arm()).says : 'No ring.'
  })

  function draw() {
    show(element, Boolean(clock))
    if (!clock) return
    const running = clock.state === 'running'
    const what = NAMES[clock.kind] ?? 'Waiting'
    element.className = `clock ${clock.state}`
    say(kind, `${what}, ${span(clock.minutes * 60_000)}${clock.label ? ' by the label' : ''}`)
    say(started, wall(clock.started))
    say(ready, wall(clock.ready))
    say(left, running ? `${span(Math.ceil(clock.left / 60_000) * 60_000)} to go`
      : clock.state === 'ready' ? (clock.over < 60_000 ? 'Ready now' : `Ready ${span(clock.over)} ago`) : '')
    show(left, clock.state !== 'opened')
    // Told in whole minutes from now, since that is what a timer is set to.
    say(timer, running ? `Set your phone’s own timer to ${span(Math.ceil(clock.left / 60_000) * 60_000)} (${wall(clock.ready)}).` : '')
    show(timer, running)
    show(open, clock.state === 'ready')
    say(open, clock.label ? 'Label time is over: go on' : 'Time is over: go on')
    show(early, running && !clock.label)
    say(early, asked ? TESTS[clock.kind] ?? 'Tap again if it is ready' : 'Ready before the clock')
    show(helps, running)
    show(label, clock.label && clock.state !== 'opened')
    if (document.activeElement !== minutes) minutes.value = String(clock.minutes)
    if (clock.state === 'ready' && ringing.delete(key)) void import('../phone/alarm.js').then(({ ring }) => ring()).then((done) => (told.textContent = done.says))
  }
  return {
    element,
    show(next) {
      if (clock?.state !== next?.state) asked = false
      clock = next
      draw()
    },
  }
}
