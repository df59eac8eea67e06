// A job card to read and to print. Work is ticked off on the job's own page; the sheet has boxes for a pen. Opened for
// a unit (`?for=vehicle/unit`), it is filled with the unit's numbers.

/** @param {HTMLElement} element */
export async function start(element) {
  element.querySelector('[data-print]')?.addEventListener('click', () => window.print())
  window.addEventListener('beforeprint', () => stamp(element)) // a page may stay open for days
  stamp(element)
  const back = wayBack()
  const { fillCard } = await import('../own/fill.js')
  await fillCard(element, new URLSearchParams(location.search).get('for'))
  stamp(element)
  back()
  element.dataset.filled = '' // all that comes by itself is there
}

/**
 * The numbers move what stands below them, so the place on the page is found again when they are in: where it was left,
 * or the part that the address names. Not under the hands of someone who has begun to scroll.
 * @returns {() => void}
 */
function wayBack() {
  const place = history.state?.place
  let touched = false
  for (const kind of ['pointerdown', 'wheel', 'keydown']) addEventListener(kind, () => (touched = true), { once: true, passive: true })
  return () => {
    if (touched) return
    const above = document.getElementById('main')?.offsetTop ?? 0
    if (Number.isFinite(place)) scrollTo({ top: place + above, behavior: 'instant' })
    else document.getElementById(location.hash.slice(1))?.scrollIntoView({ behavior: 'instant' })
  }
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
