// The phone's clock, watched: a wait must not grow or shrink because somebody or the network moved the clock.
import { moved } from '../lib/job.js'
import { fill, h, show } from './dom.js'
import { span } from './words.js'

/**
 * @param {import('./session.js').Session} session
 * @returns {{element: HTMLElement, look(): void}}
 */
export function clockWatch(session) {
  const words = h('p', {})
  const count = h('button', { type: 'button', class: 'btn line small' }, 'That time really passed')
  const element = h('div', { class: 'jumped', role: 'alert', hidden: true }, words, count)
  let last = { at: Date.now(), ran: performance.now() }
  let watched = !document.hidden
  let first = true
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) watched = false
  })
  count.addEventListener('click', () => {
    const jump = session.job.clocks.at(-1)
    if (jump) session.act('clock', { by: -jump.by, counted: false })
    draw()
  })
  const draw = () => {
    const jump = session.job.clocks.at(-1)
    const on = Boolean(jump) && session.job.shift !== 0 && session.view.clocks.length > 0
    show(element, on)
    if (!on || !jump) return
    // To the nearest minute: the look comes a moment after the clock was set.
    const far = span(Math.round(Math.abs(jump.by) / 60_000) * 60_000)
    fill(words, h('b', {}, `The phone’s clock moved ${far} ${jump.by < 0 ? 'back' : 'forward'}. `),
      jump.by < 0 ? 'The waits go on as if it had not. Check the times against another clock.' : 'The waits do not count that time. Check against another clock.')
    show(count, jump.by > 0 && !session.closed)
  }
  session.onChange(draw)
  return {
    element,
    look() {
      if (session.job.ended || session.closed) return
      const here = { at: Date.now(), ran: performance.now() }
      // Since the last thing written down the clock can only have gone on.
      const jump = first ? moved({ at: session.job.lastAt, ran: 0 }, { at: here.at, ran: 0 }, false) : moved(last, here, watched)
      first = false
      last = here
      watched = !document.hidden
      if (jump) session.act('clock', jump)
      draw()
    },
  }
}
