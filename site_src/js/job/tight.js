// Tightening by the diagram: one tap a bolt, stage by stage, then the lap. Stopped in the middle, it goes on where it was.
import { at, plan } from '../lib/tighten.js'
import { torqueFor } from '../lib/judge.js'
import { drawing } from '../ui/diagram.js'
import { format } from '../lib/quantity.js'
import { fill, h, say, show } from './dom.js'
import { works } from './session.js'
import { both } from './words.js'

/** @typedef {import('./session.js').Session} Session */

const THREADS = ['dry', 'oiled', 'anti-seize', 'sealant', 'new-plated', 'unknown']

/**
 * @param {Session} session @param {import('../types.js').Step} step
 * @returns {{element: HTMLElement, show(open: boolean): void, left(): string}} `left`: what is still to be tapped, in words
 */
export function tightBox(session, step) {
  const fastener = session.job.copy.unit.fasteners[step.tightens]
  if (!fastener) {
    const blank = h('p', { class: 'shows' }, `No torque is known for the ${step.tightens.replace('-', ' ')}. `,
      h('a', { href: '../work-out/torque-ceiling/' }, 'Work out a ceiling'), ' or use the manual.')
    return { element: blank, show: (open) => show(blank, open), left: () => '' }
  }
  const base = document.documentElement.dataset.base ?? './'
  const picked = h('select', { 'aria-label': 'Threads as they are now' }, THREADS.map((one) => h('option', { value: one }, one)))
  const manual = h('p', {})
  const used = h('p', { class: 'used', role: 'status' })
  const order = h('figure', {})
  const next = h('p', { class: 'next', role: 'status' })
  const tap = h('button', { type: 'button', class: 'btn' })
  const back = h('button', { type: 'button', class: 'btn line small' }, 'Take the last click back')
  const stage = h('button', { type: 'button', class: 'btn line small' })
  const helps = h('p', { class: 'helps' })
  const element = h('div', { class: 'tight' },
    manual, used, next, tap, order, stage, back, h('label', { class: 'read' }, h('span', {}, 'Threads as they are now'), picked), helps)
  const { svg, bolts } = drawing(fastener.pattern, fastener.count)
  order.append(svg)

  const state = () => session.job.threads[step.tightens] ?? fastener.threadState
  const torque = () => torqueFor(fastener, state(), works)
  const taps = () => session.job.bolts[step.no] ?? 0
  const whole = () => plan({ ...fastener, torque: torque().used }, step.part)
  picked.addEventListener('change', () => session.act('threads', { role: step.tightens, state: picked.value }))
  tap.addEventListener('click', () => session.act('bolt', { step: step.no, tap: taps() + 1 }))
  back.addEventListener('click', () => session.act('unbolt', { step: step.no, tap: taps() }))
  stage.addEventListener('click', () => {
    const all = whole()
    const now = all[taps()]
    if (!now) return
    const end = taps() + all.slice(taps()).filter((one) => one.stage === now.stage && one.lap === now.lap).length
    for (let count = taps() + 1; count <= end && !session.act('bolt', { step: step.no, tap: count }); count += 1);
  })

  return {
    element,
    left() {
      const total = whole().length
      return taps() < total ? `Tighten first: ${taps()} of ${total} clicks` : ''
    },
    show(open) {
      const all = whole()
      const done = taps()
      show(element, open || done > 0)
      const it = torque()
      const { next: coming, words } = at(all, done)
      fill(manual, h('b', {}, `${fastener.name}: ${both(fastener.torque)}`), ` for threads ${fastener.threadState}`,
        fastener.state !== 'verified' && h('span', { class: 'state un' }, ` ${fastener.state}`), `. ${fastener.count} × ${fastener.thread}`)
      if (document.activeElement !== picked) picked.value = state()
      const same = Math.abs(it.used - it.target) < 1e-9
      say(used, same ? '' : `For threads ${state()}: ${both(it.used)}, by rule for the same clamp. The manual’s own word wins.`)
      show(used, !same)
      say(next, coming ? `${coming.of}${coming.lap ? ', clockwise from the top' : ''}.` : words)
      // They keep their place when all is clicked: the last tap must not slide another button under the thumb.
      show(tap, open)
      show(stage, open && fastener.count > 1)
      tap.disabled = stage.disabled = !coming
      show(back, done > 0 && open)
      if (coming) {
        say(tap, `Clicked at ${format(coming.nm, 3)} N·m`)
        say(stage, coming.lap ? 'Whole lap clicked' : 'Whole stage clicked')
      } else say(tap, all.length > 1 ? 'All clicked' : 'Clicked')
      const turn = all.filter((one) => coming && one.stage === coming.stage && one.lap === coming.lap)
      const through = coming ? all.slice(0, done).filter((one) => turn.includes(one)).map((one) => one.bolt) : all.map((one) => one.bolt)
      bolts.forEach((bolt, index) => {
        bolt.classList.toggle('at-hand', coming?.bolt === index + 1)
        bolt.classList.toggle('clicked', through.includes(index + 1))
      })
      fill(helps, h('a', { href: `${base}work-out/torque-units/?target=${encodeURIComponent(`${format(it.used, 4)} N·m`)}` }, 'Does the wrench fit?'),
        h('a', { href: `${base}work-out/torque-adapter/?torque=${encodeURIComponent(`${format(it.used, 4)} N·m`)}` }, 'With an adapter'))
    },
  }
}
