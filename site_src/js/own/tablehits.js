// Rows of the reference tables that hold the words typed: the figure itself, one tap away from its table.
import { tables } from '../garage.js'
import { h } from '../job/dom.js'
import { index, search } from '../lib/lookup.js'

const MOST = 8 // rows; with more hits the words are to be narrowed

/** @param {string | number} cell @param {string} unit @returns {string} */
const shown = (cell, unit) => [String(cell).replace(/^-/, '−'), cell === '–' ? '' : unit].filter(Boolean).join(' ')

/** @returns {Promise<(query: string) => {total: number, rows: HTMLElement[]}>} */
export async function tableHits() {
  const base = document.documentElement.dataset.base ?? './'
  const all = (await tables()).flatMap((table) => table.rows.map((row, at) => ({ table, row, state: table.states[at] ?? '' })))
  // The table's own words lead to the table, but a size among them is not every row's size.
  const words = (/** @type {string} */ text) => text.split(' ').filter((word) => !/\d/.test(word))
  const had = index(all.map(({ table, row }) => [table.title, ...words(table.words), ...row, ...table.columns.map(([label]) => label)].join(' ')))
  return (query) => {
    const hits = search(had, query).map(({ id }) => /** @type {typeof all[number]} */ (all[id]))
    return { total: hits.length, rows: hits.slice(0, MOST).map(({ table, row, state }) => {
      const rest = table.columns.slice(1).flatMap(([label, unit, own], at) => {
        const cell = row[at + 1] ?? '–'
        return cell === '–' ? [] : [`${label} ${shown(cell, unit)}${own && !state ? ` (${own})` : ''}`]
      })
      return h('a', { class: 'row big', href: `${base}tables/${table.id}/?q=${encodeURIComponent(String(row[0]))}` },
        h('b', {}, shown(row[0] ?? '', table.columns[0]?.[1] ?? '')), h('span', {},
          `${table.title}: ${rest.join(' · ')} · ${state || table.state}`))
    }) }
  }
}
