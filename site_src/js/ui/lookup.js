// Narrows and sorts the look-up page as one types. The numbers of the site stand in the page; one's own units come
// before them, made when they are shown, so that two hundred of them weigh nothing until then.
import { fill, h } from '../job/dom.js'
import { index, search } from '../lib/lookup.js'
import { ownUnits } from '../own/units.js'
import { keepGlance } from '../store/glance.js'

const FIRST = 4 // own units shown at rest; those found are shown up to MOST
const MOST = 24
const SCREEN = 1 // unit that a first frame has room for

/** @param {HTMLElement} element */
export async function start(element) {
  const input = /** @type {HTMLInputElement} */ (element.querySelector('input'))
  const list = /** @type {HTMLElement} */ (element.querySelector('[data-list]'))
  const count = /** @type {HTMLElement} */ (element.querySelector('[data-count]'))
  const demo = element.querySelector('[data-demo]')
  const place = /** @type {HTMLElement} */ (element.querySelector('[data-own]'))
  let entries = /** @type {HTMLElement[]} */ ([...list.children])
  const wordsOf = () => entries.map((entry) => entry.dataset.words ?? '')
  let table = index(wordsOf())
  let own = /** @type {import('../own/units.js').Own | null} */ (null)
  let ownTable = index([])
  let atRest = count.textContent ?? ''
  let all = false
  const tables = /** @type {HTMLElement} */ (element.querySelector('[data-rows]'))
  const listed = /** @type {HTMLElement} */ (element.querySelector('[data-tables]'))
  let rowsOf = /** @type {((query: string) => {total: number, rows: HTMLElement[]}) | null} */ (null)
  let asked = false
  // Not before something is typed: most visits want a unit.
  const askTables = () => {
    if (asked) return
    asked = true
    import('../own/tablehits.js').then(({ tableHits }) => tableHits()).then((found) => {
      rowsOf = found
      show()
    }).catch((error) => {
      asked = false
      tables.replaceChildren(h('p', { role: 'alert' }, `The tables could not be read. ${error instanceof Error ? error.message : error}`))
    })
  }

  const show = () => {
    const query = input.value.trim()
    listed.hidden = Boolean(query) // the rows themselves stand there then
    const hits = search(table, query)
    const found = new Set(hits.map((hit) => hit.id))
    entries.forEach((entry, id) => (entry.hidden = !found.has(id)))
    list.append(...hits.map((hit) => /** @type {HTMLElement} */ (entries[hit.id])))
    const mine = search(ownTable, query)
    own?.show(place, mine.map(({ id }) => id), all ? mine.length : query ? MOST : FIRST, () => {
      all = true
      show()
    })
    if (demo instanceof HTMLElement) demo.hidden = !entries.some((entry) => !entry.hidden && 'invented' in entry.dataset)
    if (query) askTables()
    const rows = query ? rowsOf?.(query) : undefined
    if (rows || !query) fill(tables, rows?.rows.length ? h('h2', {}, 'In the tables') : null, rows?.rows,
      rows && rows.total > rows.rows.length ? h('p', { class: 'of' }, `${rows.total - rows.rows.length} more rows. Type one word more.`) : null)
    const total = hits.length + mine.length + (rows?.total ?? 0)
    if (!query) count.textContent = atRest
    else if (!total && !rowsOf) count.textContent = 'Looking in the tables.'
    else if (!total) count.textContent = `Nothing found for “${query}”. Try the vehicle's name, or one word less.`
    else count.textContent = total === 1 ? '1 found' : `${total} found`
  }
  input.addEventListener('input', () => {
    all = false
    show()
  })
  const given = new URLSearchParams(location.search).get('q')
  if (given) input.value = given
  if (input.value) show()

  try {
    own = await ownUnits()
  } catch (error) {
    place.textContent = `Your own vehicles could not be read. ${error instanceof Error ? error.message : error}`
    place.setAttribute('role', 'alert')
    return
  }
  const { hidden, replaced, vehicles, words } = own
  ownTable = index(words)
  const gone = (/** @type {HTMLElement} */ entry) => (hidden && 'invented' in entry.dataset) || replaced.includes(entry.dataset.vehicle ?? '')
  for (const entry of entries.filter(gone)) entry.remove()
  entries = entries.filter((entry) => !gone(entry))
  table = index(wordsOf())
  if (words.length || hidden) {
    const theirs = entries.filter((entry) => entry.dataset.vehicle)
    atRest = `${words.length + theirs.length} units, ${vehicles + new Set(theirs.map((entry) => entry.dataset.vehicle)).size} vehicles`
  }
  show()
  if (!input.value) keepGlance(place, [...place.children].slice(0, SCREEN))
  if (await own.check()) show()
}
