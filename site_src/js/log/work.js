// The fields of the work that was done: readings, litres held against the table, the fluid off its label, torque used.
import { fill, h, show } from '../job/dom.js'
import { made } from '../job/own.js'
import { fieldOf } from '../job/reads.js'
import { both } from '../job/words.js'
import { litres, placeOf } from '../lib/entry.js'
import { format } from '../lib/quantity.js'
import { asked, FIELDS } from './fields.js'

/** @typedef {import('../types.js').Reading} Reading */
/** @typedef {import('../types.js').Entry} Entry */
/** @typedef {import('../types.js').Unit} Unit */
/** @typedef {import('../types.js').Field} Field */

const THREADS = ['unknown', 'dry', 'oiled', 'anti-seize', 'sealant', 'new-plated']

/** @param {Field} field @param {Reading | null} reading @returns {Field} with a word of an older entry that the list has not */
const knowing = (field, reading) => (field.kind === 'pick' && reading && !field.options.some((one) => one.word === reading.typed)
  ? { ...field, options: [...field.options, { word: reading.typed, means: '', stop: false }] } : field)

/** @param {Entry} old @param {string} key @returns {Reading | null} what an entry holds for a key of the form */
function before(old, key) {
  if (key === 'in' || key === 'out' || key === 'additive' || key === 'flush') return old[key] ?? null
  const word = key === 'level-verified' ? old.levelVerified : key === 'vehicle-level' ? old.vehicleLevel : null
  if (word !== null) return word ? { typed: word, unit: '', si: null } : null
  const { left, id } = placeOf(key)
  return old[left ? 'left' : 'found'][id] ?? null
}

/** @param {string} fluid @returns {string[]} name, grade and category of what an entry says in one line */
function parted(fluid) {
  const parts = fluid.split(', ')
  if (parts.length === 3) return parts
  if (parts.length === 2) return ['', ...parts]
  const [, grade, category] = /^(\S*\d\S*) (\S.*)$/.exec(fluid) ?? []
  return grade && category ? ['', grade, category] : ['', fluid, '']
}

/**
 * @param {string} work @param {string} event @param {import('../types.js').SiteData} site @param {Unit | null} unit @param {Entry | null} old
 * @returns {{element: HTMLElement, shown: string[], got(): {readings: Record<string, Reading | null>, fluid: string[],
 *   torque: Entry['torque']}}}
 */
export function workFields(work, event, site, unit, old) {
  const does = site.work[work]?.does ?? 'other'
  const keys = asked(work, does, unit, work === 'event' ? event : '')
  /** @type {Record<string, Reading | null>} */
  const readings = {}
  const verdict = h('p', { class: 'verdict', role: 'status', hidden: true })
  const judge = () => {
    const words = litres(does, readings.in ?? null, readings.out ?? null, unit?.refill ?? null)
    fill(verdict, words)
    show(verdict, Boolean(words))
  }
  /** @param {Field} field @param {(reading: Reading | null) => void} keep @param {Reading | null} was */
  const box = (field, keep, was) => {
    const made = fieldOf(knowing(field, was), 'entry', keep)
    keep(was)
    made.show(was, false)
    return made.element
  }
  const one = (/** @type {string} */ key) => box(/** @type {Field} */ (FIELDS[key]), (reading) => {
    readings[key] = reading
    judge()
  }, old && before(old, key))

  /** @type {string[]} */
  let fluid = old ? parted(old.fluid) : ['', '', '']
  const fluids = () => {
    const labels = ['Name on the can', 'Grade on the label', 'Category on the label']
    const boxes = labels.map((label, index) => fieldOf(made({ id: `fluid-${index}`, label, kind: 'text' }), 'entry', (reading) => (fluid[index] = reading?.typed ?? '')))
    const lay = () => boxes.forEach((field, index) => field.show(fluid[index] ? { typed: fluid[index], unit: '', si: null } : null, false))
    lay()
    const table = unit?.fluid
    const same = table && h('button', { type: 'button', class: 'btn line', onclick: () => {
      fluid = [fluid[0] ?? '', table.grade, table.category]
      lay()
    } }, `As the table: ${table.grade} ${table.category}${table.state === 'verified' ? '' : ` (${table.state})`}`)
    return [h('h2', {}, 'Oil or fluid, off its label'), same, boxes.map((field) => field.element)]
  }

  /** @type {Record<string, Reading | null>} */
  const used = {}
  let threads = 'unknown'
  const torques = () => {
    const fasteners = Object.entries(unit?.fasteners ?? {})
    const state = old?.torque[0]?.state ?? ''
    return [h('h2', {}, 'Torque used, where you tightened'), fasteners.map(([role, it]) => {
      const was = old?.torque.find((one) => one.role === role)
      const label = `${it.name}, ${it.count} × ${it.thread}, table ${both(it.torque)}${it.state === 'verified' ? '' : ` (${it.state})`}`
      return box(made({ id: `torque-${role}`, label, unit: 'N·m' }), (reading) => (used[role] = reading),
        was ? { typed: format(was.used, 3), unit: 'N·m', si: was.used } : null)
    }), box(made({ id: 'threads', label: 'Threads', kind: 'pick', options: THREADS.map((word) => ({ word, means: '', stop: false })) }),
      (reading) => (threads = reading?.typed ?? 'unknown'), state ? { typed: state, unit: '', si: null } : null)]
  }
  const last = keys.lastIndexOf('in')
  const element = h('div', {}, keys.flatMap((key, index) => [key === 'fluid' ? fluids() : key === 'torque' ? torques() : one(key), index === last && verdict]))
  const roles = keys.includes('torque') ? Object.keys(unit?.fasteners ?? {}) : []
  return {
    element, shown: [...keys, ...roles.map((role) => `torque ${role}`)],
    got: () => ({
      readings, fluid: keys.includes('fluid') ? fluid : [],
      torque: roles.flatMap((role) => {
        const si = used[role]?.si
        return si ? [{ role, target: unit?.fasteners[role]?.torque ?? si, used: si, state: threads }] : []
      }),
    }),
  }
}
