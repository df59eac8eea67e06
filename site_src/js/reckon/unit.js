// A calculator opened from a unit: whose unit it is, what its sheet gives, and what stands above the fields about that.
import * as garage from '../garage.js'
import { fill, h } from '../job/dom.js'
import { prefill } from '../lib/prefill.js'
import { vehicleOf } from '../lib/sheet.js'
import { base } from '../own/where.js'

/** @typedef {import('../lib/prefill.js').Prefilled} Prefilled */
/** @typedef {{inputs: import('../data/calculator.js').Calculator['inputs']}} Asking a calculator, or what has such fields */
/** @typedef {{vehicle: string, unit: string, kind: string, title: string, address: string, invented: boolean, given: Prefilled}} FromUnit */

/**
 * @param {Asking} calculator
 * @param {string} asked `vehicle/unit` @param {string} group the role of its bolts, '' where none is asked for
 * @returns {Promise<FromUnit>} rejects with a sentence for people
 */
export async function fromUnit(calculator, asked, group) {
  const [id = '', unitId = ''] = asked.split('/')
  const found = await garage.sheet(id)
  if (!found) throw new Error(`There is no vehicle ‘${id}’ on this phone. It may be on another one, or was taken away.`)
  const { sheet, own } = found
  const vehicle = vehicleOf(id, sheet, await garage.site())
  const unit = Object.hasOwn(vehicle.units, unitId) && vehicle.units[unitId]
  if (!unit) throw new Error(`${vehicle.name} has no unit ‘${unitId}’.`)
  const page = own ? `garage/vehicle/?id=${encodeURIComponent(id)}#${unitId}` : `vehicles/${id}/#${id}-${unitId}`
  return {
    vehicle: id, unit: unitId, kind: unit.kind, title: `${vehicle.name}, ${unit.title}`, address: `${base}${page}`,
    invented: vehicle.invented, given: prefill(calculator.inputs, { sheet, unit: unitId, group }),
  }
}

/** @param {Asking} calculator @param {FromUnit} from @returns {string[]} what is not verified, and what is not there */
function doubts(calculator, { given: { fields, gone } }) {
  const unsure = calculator.inputs.flatMap((input) => {
    const found = fields[input.id]
    if (!found?.state || found.state === 'verified') return []
    const shown = input.kind === 'picked' ? input.options[found.text]?.label ?? found.text : found.text
    return [`${input.label} ${shown}: ${found.state}${found.note ? `, ${found.note}` : ''}.`]
  })
  return [...unsure, ...gone.map(({ label, says }) => `${label}: ${says}. ${says === 'pick the bolts' ? '' : 'Type or pick it.'}`.trim())]
}

/** @param {HTMLElement} place @param {Asking} calculator @param {FromUnit} from @param {string} more to be said besides */
export function showUnit(place, calculator, from, more) {
  const { given: { groups, group, fields }, title, address } = from
  const to = (/** @type {string} */ role) => `?${new URLSearchParams({ for: `${from.vehicle}/${from.unit}`, group: role })}`
  const filled = Object.keys(fields).length > 0
  const list = doubts(calculator, from)
  fill(place,
    h('p', {}, h('b', {}, filled ? 'Filled from ' : 'For '), h('a', { href: address }, title), group && `, ${group.toLowerCase()}`,
      from.invented ? '. A demo vehicle, invented.' : '.', more && ` ${more}`),
    groups.length > 0 && h('nav', { class: 'jump', 'aria-label': 'Which bolts' }, groups.map(({ role, name }) =>
      h('a', { href: to(role), 'aria-current': name === group ? 'true' : null }, name))),
    list.length > 0 && h('ul', { class: 'plain' }, list.map((text) => h('li', {}, text))))
  place.hidden = false
  // Nothing can be worked out before the bolts are picked, so the choice stands first.
  if (groups.length && !group) place.parentElement?.querySelector('.results')?.before(place)
}
