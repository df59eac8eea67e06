// A reference table: the rows that hold the words typed, and a tap on a column's head puts them in its order. Tapped
// again it turns, and once more the table stands as it was written.
import { h, say } from '../job/dom.js'
import { kept, order } from '../lib/tablerows.js'

const SMALL = 6 // rows that are seen at a glance: nothing to narrow

/** @param {HTMLElement} root */
export function start(root) {
  const body = /** @type {HTMLTableSectionElement} */ (root.querySelector('tbody'))
  const rows = [...body.rows]
  const cells = rows.map((row) => [...row.cells].map((cell) => cell.dataset.of ?? cell.textContent?.trim() ?? ''))
  let by = -1
  let down = false
  const told = h('p', { class: 'count', role: 'status' })
  const box = h('input', { class: 'q', id: 'narrow', type: 'search', autocomplete: 'off', autocapitalize: 'none', spellcheck: 'false', enterkeyhint: 'search' })

  const show = () => {
    const query = box.value.trim()
    const on = kept(cells.map((row) => row.join(' ')), query)
    const places = by < 0 ? rows.map((_, place) => place) : order(cells, by, down)
    body.append(...places.map((place) => /** @type {HTMLElement} */ (rows[place])))
    rows.forEach((row, place) => (row.hidden = !on[place]))
    const count = on.filter(Boolean).length
    say(told, !query ? '' : count ? `${count} of ${rows.length} rows, those with “${query}”` : `No row has “${query}”. Try one word less.`)
    heads.forEach((head, column) => head.setAttribute('aria-sort', column !== by ? 'none' : down ? 'descending' : 'ascending'))
  }

  const heads = [...root.querySelectorAll('thead th')]
  heads.forEach((head, column) => {
    const tap = h('button', { type: 'button', class: 'sort', onclick: () => {
      if (by !== column) [by, down] = [column, false]
      else if (!down) down = true
      else [by, down] = [-1, false]
      show()
    } })
    tap.append(...head.childNodes)
    head.append(tap)
  })
  box.addEventListener('input', show)
  box.value = new URLSearchParams(location.search).get('q') ?? ''
  if (rows.length > SMALL || box.value) root.prepend(h('label', { class: 'k', for: 'narrow' }, 'Rows with, such as a size or a class'), box)
  root.append(told)
  show()
}
