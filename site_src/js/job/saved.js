// Saved or NOT saved, in sight all the time; and who may write when two tabs have the same job.
import * as store from '../store.js'
import { fill, h, say, show } from './dom.js'
import { wall } from './words.js'

/** @param {import('./session.js').Session} session @returns {{element: HTMLElement, alarm: HTMLElement, show(): void, onTake(take: () => void): void}} */
export function savedLine(session) {
  const state = h('p', { class: 'saved', role: 'status' })
  const next = h('a', { class: 'to-next' })
  const words = h('p', {})
  const again = h('button', { type: 'button', class: 'btn' }, 'Try to save again')
  const file = h('button', { type: 'button', class: 'btn line' }, 'Give this job out as a file')
  const text = h('button', { type: 'button', class: 'btn line' }, 'Copy it as text')
  const told = h('p', { class: 'of', role: 'status' })
  const alarm = h('div', { class: 'not-saved', id: 'not-saved', role: 'alert', hidden: true }, h('b', {}, 'NOT saved. '), words, again, file, text, told)
  const take = h('button', { type: 'button', class: 'btn line' }, 'Work on it here')
  const only = h('div', { class: 'only-shown', hidden: true }, h('p', {}), take)
  again.addEventListener('click', () => void session.keep())
  file.addEventListener('click', async () => {
    const { give, told: given } = await import('../phone/share.js')
    told.textContent = given(await give(`fillmark-job-${session.id.slice(0, 8)}.txt`, await store.exportText(session.events), 'text/plain'), `fillmark-job-${session.id.slice(0, 8)}.txt`)
  })
  text.addEventListener('click', async () => (told.textContent = (await (await import('../phone/share.js')).copy(await store.exportText(session.events))).says))
  const element = h('div', { class: 'save-state' }, state, next)
  return {
    element,
    alarm: h('div', {}, alarm, only),
    onTake(taken) {
      take.addEventListener('click', taken)
    },
    show() {
      const { kind, says, at } = session.saved
      const waiting = session.events.length - session.kept
      say(state, session.closed ? '' : kind === 'saved' ? `Saved ${wall(at)}` : kind === 'saving' ? 'Saving…' : `NOT saved: ${waiting} thing${waiting === 1 ? '' : 's'}`)
      state.dataset.kept = String(session.kept)
      state.classList.toggle('not', kind === 'not')
      const target = session.view.next
      next.href = kind === 'not' ? '#not-saved' : target ? `#step-${target}` : '#sign-off'
      say(next, kind === 'not' ? 'What to do' : session.job.ended ? 'Record' : target ? `Step ${target}` : session.view.finished ? 'Sign off' : 'Waiting')
      fill(words, `${says} What you tapped is still on this page. Do not close it.`)
      show(alarm, kind === 'not')
      show(only, Boolean(session.closed))
      say(/** @type {Element} */ (only.firstElementChild), session.closed)
    },
  }
}
