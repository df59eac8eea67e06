// A vehicle as a file: one comment line, then JSON, which is YAML 1.2 as well. So it drops into content/vehicles/ as it is.
import { checkSheet } from './sheetcheck.js'
import { isId } from './sheetshape.js'

/** @typedef {import('../types.js').Sheet} Sheet */

const LONGEST = 1_000_000 // letters; a vehicle with every unit twice has some 50 000
const HEAD = /^#\s*Vehicle ([a-z0-9-]+), revision \d+/
// Letters that a YAML reader breaks a line at, or refuses, though JSON may hold them bare.
const ODD = /[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]/g

/** @param {string} id @param {Sheet} sheet @returns {string} */
export function toFile(id, sheet) {
  const json = JSON.stringify(sheet, null, 2).replace(ODD, (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`)
  return `# Vehicle ${id}, revision ${sheet.rev}. This file is JSON, so it is YAML too: it goes into content/vehicles/ as ${id}.yaml.\n${json}\n`
}

/**
 * @param {string} text of a file or pasted @param {import('./sheetcheck.js').Known} known
 * @returns {{ok: true, id: string, sheet: Sheet} | {ok: false, says: string, problems: import('./sheetshape.js').Problem[]}}
 *   `id` is '' where the file names none
 */
export function fromFile(text, known) {
  const refuse = (/** @type {string} */ says, problems = /** @type {import('./sheetshape.js').Problem[]} */ ([])) => ({ ok: /** @type {const} */ (false), says, problems })
  if (!text.trim()) return refuse('There is nothing in it.')
  if (text.length > LONGEST) return refuse(`It has ${text.length} letters; a vehicle has at most ${LONGEST}. It is another kind of file.`)
  const lines = text.replace(/^\ufeff/, '').split('\n')
  const first = lines.findIndex((line) => line.trim() && !line.trimStart().startsWith('#'))
  const head = lines.slice(0, Math.max(first, 0)).map((line) => HEAD.exec(line)?.[1]).find(Boolean) ?? ''
  const body = lines.slice(Math.max(first, 0)).join('\n').trim()
  if (!body.startsWith('{')) return refuse('It is not a vehicle that a phone gave out: that begins with { after its comment line. A file written by hand goes into content/vehicles/ and is built.')
  let raw
  try {
    raw = JSON.parse(body)
  } catch (error) {
    return refuse(`It cannot be read to its end: ${error instanceof Error ? error.message : error}. Was it cut off?`)
  }
  const problems = checkSheet(raw, known)
  if (problems.length) return refuse(`It is not taken in: ${problems.length} problem${problems.length > 1 ? 's' : ''}.`, problems)
  return { ok: true, id: isId(head) ? head : '', sheet: /** @type {Sheet} */ (raw) }
}
