// The list of what can be worked out: narrowed as one types, and for a unit (`?for=thornback/rear-axle`) to what fits it,
// with links that come filled from it.
import { index, search } from '../lib/lookup.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (element.querySelector(selector))
  const input = /** @type {HTMLInputElement} */ (find('input'))
  const [count, all] = [find('[data-count]'), find('[data-all]')]
  const rows = /** @type {HTMLAnchorElement[]} */ ([...element.querySelectorAll('a[data-words]')])
  const groups = /** @type {HTMLElement[]} */ ([...element.querySelectorAll('.group')])
  const words = index(rows.map((row) => `${row.textContent} ${row.dataset.words}`))
  const asked = new URLSearchParams(location.search).get('for') ?? ''
  /** The kind of the unit that the list is for, '' for all of it. */
  let kind = ''

  /** A row that names no kinds is for those of its group. @param {HTMLElement} row */
  const fits = (row) => /** @type {HTMLElement | null} */ (row.closest('[data-kinds]'))?.dataset.kinds?.split(' ').includes(kind)
  const show = () => {
    const query = input.value.trim()
    const found = new Set(query ? search(words, query).map(({ id }) => id) : rows.keys())
    rows.forEach((row, id) => (row.hidden = !found.has(id) || Boolean(kind && !fits(row))))
    for (const group of groups) group.hidden = !group.querySelector('a:not([hidden])')
    const shown = rows.filter((row) => !row.hidden).length
    if (!shown) count.textContent = `Nothing found for “${query}”. Try one word less.`
    else count.textContent = query ? `${shown} found` : kind ? `${shown} for this unit` : `${shown} to work out`
    all.hidden = !kind
  }
  input.addEventListener('input', show)
  all.addEventListener('click', () => {
    kind = ''
    show()
  })
  if (input.value) show()
  if (!asked) return

  const place = find('[data-from]')
  try {
    // At once: a tap that comes before the unit is read still leads to its numbers.
    for (const row of rows) row.search = `?${new URLSearchParams({ for: asked })}`
    const { fromUnit, showUnit } = await import('../reckon/unit.js')
    const from = await fromUnit({ inputs: [] }, asked, '')
    kind = from.kind
    showUnit(place, { inputs: [] }, from, '')
    show()
  } catch (error) {
    for (const row of rows) row.search = ''
    place.textContent = `All are shown. ${error instanceof Error ? error.message : String(error)}`
    place.setAttribute('role', 'alert')
    place.hidden = false
  }
}
