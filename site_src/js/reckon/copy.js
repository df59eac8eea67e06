// What can be copied of a page that works something out: the answer in one line, and of a calculator an address that opens
// it with these figures.
import { fill, h } from '../job/dom.js'

/**
 * @param {HTMLElement} place is filled: without scripts there is nothing to keep
 * @param {() => {texts: Record<string, string>, asked: string, group: string}} [now] without it there is no address to copy
 * @returns {HTMLTextAreaElement} for the answer in one line
 */
export function copying(place, now) {
  const line = h('textarea', { class: 'q line', id: 'line', rows: 5, readonly: true })
  const link = h('input', { class: 'q', id: 'link', 'aria-label': 'Link', readonly: true, hidden: true })
  const told = h('p', { class: 'say', role: 'status', 'data-copied': true })
  const tap = (/** @type {string} */ words, /** @type {() => void} */ onclick) =>
    h('button', { class: 'btn line', type: 'button', onclick }, words)

  /** @param {HTMLInputElement | HTMLTextAreaElement} box @param {string} what */
  async function copy(box, what) {
    try {
      await navigator.clipboard.writeText(box.value)
      told.textContent = 'Copied.'
    } catch {
      // Plain http has no clipboard, and a browser may refuse: it is there to be copied by hand.
      box.focus()
      box.select()
      told.textContent = `Not copied. The ${what} is selected: copy it by hand.`
    }
  }

  fill(place, h('h2', {}, 'To keep'),
    h('label', { for: 'line' }, 'Answer, figures, source and state in one line'), line,
    tap('Copy line', () => {
      if (line.value) void copy(line, 'line')
      else told.textContent = 'Nothing to copy yet.'
    }),
    now && tap('Copy link with these figures', () => {
      const { texts, asked, group } = now()
      const filled = Object.fromEntries(Object.entries(texts).filter(([, text]) => text))
      const asks = new URLSearchParams({ ...(asked ? { for: asked } : {}), ...(group ? { group } : {}), ...filled })
      link.value = `${location.origin}${location.pathname}?${asks}`
      link.hidden = false
      void copy(link, 'link')
    }), now && link, h('div', { 'data-jobs': true }), told)
  return line
}
