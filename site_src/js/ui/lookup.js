// Narrows and sorts the look-up page as one types. The numbers stand in the page; this only shows and hides.
import { index, search } from '../lib/lookup.js'

/** @param {HTMLElement} element */
export function start(element) {
  const input = /** @type {HTMLInputElement} */ (element.querySelector('input'))
  const list = /** @type {HTMLElement} */ (element.querySelector('[data-list]'))
  const count = /** @type {HTMLElement} */ (element.querySelector('[data-count]'))
  const entries = /** @type {HTMLElement[]} */ ([...list.children])
  const table = index(entries.map((entry) => entry.dataset.words ?? ''))
  const atRest = count.textContent ?? ''

  const show = () => {
    const query = input.value.trim()
    const hits = search(table, query)
    const found = new Set(hits.map((hit) => hit.id))
    entries.forEach((entry, id) => (entry.hidden = !found.has(id)))
    list.append(...hits.map((hit) => /** @type {HTMLElement} */ (entries[hit.id])))
    if (!query) count.textContent = atRest
    else if (!hits.length) count.textContent = `Nothing found for “${query}”. Try the vehicle's name, or one word less.`
    else count.textContent = hits.length === 1 ? '1 found' : `${hits.length} found`
  }
  input.addEventListener('input', show)
  const asked = new URLSearchParams(location.search).get('q')
  if (asked) input.value = asked
  if (input.value) show()
}
