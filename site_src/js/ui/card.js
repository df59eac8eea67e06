// A job card to read and to print. Work is ticked off on the job's own page; the sheet has boxes for a pen. Opened for
// a unit (`?for=vehicle/unit`), it is filled with the unit's numbers.

/** @param {HTMLElement} element */
export async function start(element) {
  element.querySelector('[data-print]')?.addEventListener('click', () => window.print())
  window.addEventListener('beforeprint', () => stamp(element)) // a page may stay open for days
  stamp(element)
  const { fillCard } = await import('../own/fill.js')
  await fillCard(element, new URLSearchParams(location.search).get('for'))
  stamp(element)
}

/** @param {HTMLElement} element */
function stamp(element) {
  const printed = /** @type {HTMLElement} */ (element.querySelector('[data-printed]'))
  printed.textContent = `blank card, printed ${new Date().toLocaleDateString('en-CA')}`
  // The code leads to the site's own address; a copy kept elsewhere says where it was printed from.
  const copy = /** @type {HTMLElement} */ (element.querySelector('[data-copy]'))
  const address = copy.parentElement?.firstChild?.textContent?.trim() ?? ''
  const here = location.origin + location.pathname + location.search
  copy.textContent = here === address ? '' : `(this copy: ${here})`
}
