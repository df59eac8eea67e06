// A job card on the phone: ticks, the step at hand, what blocks the rest, and the two ways to print.
// Nothing is kept yet when the page closes. The page says so from the start: a line that came in later would move
// what is under the thumb, and the tap would miss.
import { standing } from '../lib/steps.js'

/** @param {HTMLElement} element */
export function start(element) {
  /** @type {HTMLElement[]} */
  const rows = [...element.querySelectorAll('[data-step]')].map((row) => /** @type {HTMLElement} */ (row))
  const list = (/** @type {string | undefined} */ text) => (text ?? '').split(' ').filter(Boolean)
  const steps = rows.map((row) => ({
    no: Number(row.dataset.step), after: list(row.dataset.after), holds: list(row.dataset.holds),
  }))
  const box = (/** @type {Element} */ row) => /** @type {HTMLInputElement} */ (row.querySelector('input[type=checkbox]'))

  const show = () => {
    const done = new Set(rows.filter((row) => box(row).checked).map((row) => Number(row.dataset.step)))
    const ticked = new Set(
      [...element.querySelectorAll('[data-hold]')].filter((bar) => box(bar).checked).map((bar) => /** @type {HTMLElement} */ (bar).dataset.hold ?? '')
    )
    standing(steps, done, ticked).forEach(({ state, why }, index) => {
      const row = /** @type {HTMLElement} */ (rows[index])
      row.classList.remove('done', 'now', 'shut', 'open')
      row.classList.add(state)
      const words = /** @type {HTMLElement} */ (row.querySelector('[data-why]'))
      words.textContent = why
      words.hidden = !why
      // A done step can always be undone; a shut one cannot be ticked past its hold.
      box(row).disabled = state === 'shut'
    })
  }
  element.addEventListener('change', show)
  show()

  for (const button of /** @type {NodeListOf<HTMLElement>} */ (element.querySelectorAll('[data-print]'))) {
    button.addEventListener('click', () => {
      document.documentElement.dataset.print = button.dataset.print
      stamp(element)
      window.print()
    })
  }
  window.addEventListener('beforeprint', () => stamp(element))
  window.addEventListener('afterprint', () => delete document.documentElement.dataset.print)
}

/** @param {HTMLElement} element */
function stamp(element) {
  const filled = document.documentElement.dataset.print === 'filled'
  const printed = /** @type {HTMLElement} */ (element.querySelector('[data-printed]'))
  const when = new Date().toLocaleDateString('en-CA')
  printed.textContent = filled ? `filled record, ticks as marked on the phone, printed ${when}` : `blank card, printed ${when}`
  // The code leads to the site's own address; a copy kept elsewhere says where it was printed from.
  const copy = /** @type {HTMLElement} */ (element.querySelector('[data-copy]'))
  const address = copy.parentElement?.firstChild?.textContent?.trim() ?? ''
  const here = location.origin + location.pathname
  copy.textContent = here === address ? '' : `(this copy: ${here})`
}
