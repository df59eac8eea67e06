// Rows of a reference table as one reads them: in the order of a column, and only those that hold the words typed.
import { fold } from './lookup.js'

/** @typedef {(string | number)[]} Cells */

const NONE = new Set(['', '–'])

/** @param {string | number} cell @returns {number} NaN where it is no plain number */
const value = (cell) => (typeof cell === 'number' ? cell : /^[-−]?[\d.,]+$/.test(cell) ? Number(cell.replace('−', '-').replace(',', '.')) : NaN)

/** @param {string | number} a @param {string | number} b @returns {number} as numbers where both are, else as a person counts: M8 before M10 */
function compare(a, b) {
  const [left, right] = [value(a), value(b)]
  if (!Number.isNaN(left) && !Number.isNaN(right)) return left - right
  return String(a).localeCompare(String(b), 'en', { numeric: true })
}

/**
 * @param {Cells[]} rows
 * @param {number} column
 * @param {boolean} down largest first
 * @returns {number[]} places of the rows in the order of the column; an empty cell comes last either way
 */
export function order(rows, column, down) {
  const empty = (/** @type {number} */ row) => NONE.has(String(rows[row]?.[column] ?? ''))
  return rows.map((_, row) => row).sort((a, b) => {
    if (empty(a) !== empty(b)) return empty(a) ? 1 : -1
    const by = compare(rows[a]?.[column] ?? '', rows[b]?.[column] ?? '')
    return (down ? -by : by) || a - b
  })
}

/**
 * @param {string[]} texts all of a row in one text
 * @param {string} query
 * @returns {boolean[]} whether every word typed stands in the row; figures as they are written, so 8 is not 8.8
 */
export function kept(texts, query) {
  const asked = fold(query).split(/\s+/).filter(Boolean)
  return texts.map((text) => {
    const had = fold(text).split(/\s+/)
    return asked.every((word) => (/\d/.test(word) ? had.some((one) => one === word || (/[a-z]/.test(word) && one.startsWith(word))) : had.some((one) => one.startsWith(word))))
  })
}
