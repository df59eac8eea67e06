// The square code of an address, drawn as the build draws that of a card with no unit's numbers.
import { qr } from '../lib/qr.js'
import { make } from '../ui/diagram.js'

const QUIET = 4 // modules of light all round, as the standard asks

/** @param {string} address @returns {SVGElement} @throws {RangeError} where the address is too long for a code */
export function code(address) {
  const rows = qr(address)
  const side = rows.length + 2 * QUIET
  const runs = rows.flatMap((row, y) => [...row.map(Number).join('').matchAll(/1+/g)].map((run) => `M${run.index + QUIET} ${y + QUIET}.5h${run[0].length}`))
  const svg = make('svg', { class: 'qr', role: 'img', 'aria-label': "Code for this card's address", viewBox: `0 0 ${side} ${side}` })
  svg.append(make('path', { fill: '#fff', d: `M0 0h${side}v${side}h-${side}z` }), make('path', { stroke: '#000', d: runs.join('') }))
  return svg
}
