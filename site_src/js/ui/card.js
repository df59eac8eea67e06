// A job card to read and to print. Work is ticked off on the job's own page; the sheet has boxes for a pen. Opened for
// a unit of one's own (`?for=vehicle/unit`), it is filled from what the phone keeps.

/** @param {HTMLElement} element */
export async function start(element) {
  element.querySelector('[data-print]')?.addEventListener('click', () => window.print())
  window.addEventListener('beforeprint', () => stamp(element)) // a page may stay open for days
  stamp(element)
  if (!element.querySelector('[data-start]')) return // bound by the build
  const { fillCard } = await import('../own/fill.js')
  await fillCard(element, new URLSearchParams(location.search).get('for'))
}

/** @param {HTMLElement} element */
function stamp(element) {
  const printed = /** @type {HTMLElement} */ (element.querySelector('[data-printed]'))
  printed.textContent = `blank card, printed ${new Date().toLocaleDateString('en-CA')}`
  // The code leads to the site's own address; a copy kept elsewhere says where it was printed from.
  const copy = /** @type {HTMLElement} */ (element.querySelector('[data-copy]'))
  const address = copy.parentElement?.firstChild?.textContent?.trim() ?? ''
  const here = location.origin + location.pathname
  copy.textContent = here === address ? '' : `(this copy: ${here})`
}
