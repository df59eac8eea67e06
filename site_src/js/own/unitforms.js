// Every change of a unit as a form: what it is, its oil, its level rule, its plugs, its bolts.
import { DIFFS, THREADS } from '../lib/sheetshape.js'
import { BOLTS, STAGES } from './templates.js'
import { originFields, originOf, TORQUES } from './values.js'
import { merged } from '../lib/amounts.js'
import { DRIVES, GEARED } from '../lib/match.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('./values.js').Change} Change */
/** @typedef {import('./form.js').Field} Field */

/** @param {string[]} words @returns {[string, string][]} */
const options = (words) => words.map((one) => [one, one.replace(/-/g, ' ')])
const DIFF_WORDS = { open: 'open', 'clutch-ls': 'limited-slip, clutches', 'cone-ls': 'limited-slip, cones', 'gear-ls': 'limited-slip, gears', locker: 'locker', unknown: 'not known' }

/** @param {Sheet} draft @param {string} id @returns {UnitSheet} */
function unitIn(draft, id) {
  const unit = Object.hasOwn(draft.units, id) ? draft.units[id] : undefined
  if (!unit) throw new Error(`no unit ${id}`)
  return unit
}

/** @param {string} id @param {UnitSheet} unit @returns {Change} */
export function identityChange(id, unit) {
  const geared = GEARED.includes(unit.kind)
  const axle = DRIVES.includes(unit.kind)
  return {
    title: 'What it is', lead: 'By what you see on it, never by the vehicle’s model alone.',
    fields: [
      { id: 'label', label: 'Label', kind: 'text', value: unit.label, must: true, hint: 'Its type, as on the tag, or your own word.' },
      { id: 'place', label: 'Place', kind: 'text', value: unit.place, must: true },
      { id: 'tag', label: 'Tag or casting, as it reads', kind: 'text', value: unit.tag },
      ...(geared ? /** @type {Field[]} */ ([
        { id: 'opens', label: 'Oil comes out by', kind: 'pick', options: [['', 'not known'], ['cover', 'a cover'], ['plugs', 'a drain plug'], ['pan', 'a pan']], value: unit.opens_by },
        { id: 'cover', label: 'Outline and bolts', kind: 'text', value: unit.cover, hint: 'Such as: oval, 10 bolts, fill hole right of centre.' },
        { id: 'metal', label: 'Yellow metal inside', kind: 'pick', options: options(['unknown', 'yes', 'no']), value: unit.yellow_metal ?? 'unknown' },
      ]) : []),
      ...(axle ? /** @type {Field[]} */ ([
        { id: 'diff', label: 'Differential', kind: 'pick', options: [['', 'not looked at'], ...DIFFS.map((one) => /** @type {[string, string]} */ ([one, DIFF_WORDS[/** @type {'open'} */ (one)]]))], value: unit.diff },
        { id: 'ratio', label: 'Ratio', kind: 'number', value: unit.ratio ? String(unit.ratio) : '' },
        { id: 'ring', label: 'Teeth on the ring gear', kind: 'whole', value: unit.ring_teeth ? String(unit.ring_teeth) : '' },
        { id: 'pinion', label: 'Teeth on the pinion', kind: 'whole', value: unit.pinion_teeth ? String(unit.pinion_teeth) : '' },
        { id: 'offset', label: 'Fill hole, ahead of or behind the middle', kind: 'amount', units: ['mm', 'cm', 'in'], value: unit.fill_hole_offset },
        { id: 'surface', label: 'Surface of the oil', kind: 'amount', units: ['cm²', 'in²'], value: unit.oil_surface },
      ]) : []),
      { id: 'words', label: 'Words to find it by', kind: 'text', value: (unit.words ?? []).join(', ') },
      { id: 'note', label: 'Note', kind: 'area', value: unit.note },
    ],
    edit(draft, values) {
      const one = unitIn(draft, id)
      Object.assign(one, { label: values.label, place: values.place, tag: values.tag, note: values.note, words: (values.words ?? '').split(',').map((word) => word.trim()).filter(Boolean) })
      if (geared) Object.assign(one, { opens_by: values.opens, cover: values.cover, yellow_metal: values.metal === 'unknown' && !unit.yellow_metal ? '' : values.metal })
      if (axle) {
        Object.assign(one, { diff: values.diff, ratio: Number(values.ratio) || undefined, ring_teeth: Number(values.ring) || undefined,
          pinion_teeth: Number(values.pinion) || undefined, fill_hole_offset: values.offset, oil_surface: values.surface })
      }
    },
    why: () => `${unit.code}: what it is.`,
  }
}

/** @param {string} id @param {UnitSheet} unit @param {SiteData} site @returns {Change} */
export const fluidChange = (id, unit, site) => ({
  title: 'What goes in', lead: 'Grade and category as the manual asks. A grade without a category buys the wrong oil.',
  fields: [
    { id: 'grade', label: 'Grade', kind: 'text', must: true, value: unit.fluid?.grade, hint: 'Such as 80W-90.' },
    { id: 'category', label: 'Category', kind: 'text', must: true, value: unit.fluid?.category, hint: 'Such as GL-5, or the approval by its text.' },
    { id: 'additive', label: 'Additive for a limited-slip', kind: 'pick', options: [['unknown', 'not known'], ['none', 'none'], ['included', 'in the oil'], ['separate', 'added separately']], value: unit.fluid?.additive ?? 'unknown' },
    ...originFields(site, { from: unit.fluid }),
  ],
  edit(draft, { grade = '', category = '', additive, ...values }) {
    unitIn(draft, id).fluid = { grade, category, additive: /** @type {'none'} */ (additive), ...originOf(values) }
  },
  why: ({ grade, category }) => `${unit.code}: ${grade} ${category}${unit.fluid ? ` in place of ${unit.fluid.grade} ${unit.fluid.category}` : ''}.`,
})

/** @param {string} id @param {UnitSheet} unit @param {SiteData} site @returns {Change} */
export const levelChange = (id, unit, site) => ({
  title: 'Level rule', lead: 'Where the level belongs: a band below a mark that you can see or feel.',
  fields: [
    { id: 'low', label: 'From', kind: 'amount', units: ['mm', 'in'], minus: true, must: true, value: unit.level?.low ?? '0 mm' },
    { id: 'high', label: 'To', kind: 'amount', units: ['mm', 'in'], minus: true, must: true, value: unit.level?.high ?? '10 mm' },
    { id: 'below', label: 'Below', kind: 'text', must: true, value: unit.level?.below ?? 'fill hole' },
    { id: 'attitude', label: 'True when', kind: 'text', value: unit.level?.attitude ?? 'vehicle level both ways' },
    ...originFields(site, { from: unit.level }),
  ],
  edit(draft, { low = '', high = '', below = '', attitude, ...values }) {
    unitIn(draft, id).level = { low, high, below, ...(attitude && { attitude }), ...originOf(values) }
  },
  why: ({ low, high, below }) => `${unit.code}: level ${low} to ${high} below ${below}.`,
})

/** @param {string} id @param {UnitSheet} unit @returns {Change} */
export const plugsChange = (id, unit) => ({
  title: 'Plugs and their keys', lead: 'Try the key on the plug the week before.',
  fields: ['fill', 'drain'].flatMap((one) => /** @type {Field[]} */ ([
    { id: `${one} tool`, label: `Key of the ${one} plug`, kind: 'text', value: unit.plugs?.[one]?.tool, hint: one === 'fill' ? 'Such as 10 mm square.' : '' },
    { id: `${one} thread`, label: `Thread of the ${one} plug`, kind: 'text', value: unit.plugs?.[one]?.thread },
    { id: `${one} seal`, label: `Seal of the ${one} plug`, kind: 'text', value: unit.plugs?.[one]?.seal },
  ])),
  edit(draft, values) {
    unitIn(draft, id).plugs = Object.fromEntries(['fill', 'drain'].filter((one) => values[`${one} tool`]).map((one) =>
      [one, { tool: values[`${one} tool`] ?? '', thread: values[`${one} thread`] ?? '', seal: values[`${one} seal`] ?? '' }]))
  },
  why: () => `${unit.code}: plugs.`,
})

/** @param {string} id @param {UnitSheet} unit @param {string} role @param {SiteData} site @returns {Change} a group of bolts: new ones with their torque, else all but it */
export function boltsChange(id, unit, role, site) {
  const there = unit.fasteners?.[role]
  const usual = BOLTS[role] ?? { name: role, pattern: 'single', stages: false }
  const one = usual.count === 1
  return {
    title: there ? `${there.name}: count, thread, order` : `${usual.name}: count, thread, class, torque`,
    fields: [
      { id: 'name', label: 'Name', kind: 'text', must: true, value: there?.name ?? usual.name },
      { id: 'count', label: 'How many', kind: 'whole', must: true, value: there ? String(there.count) : one ? '1' : '' },
      { id: 'thread', label: 'Thread', kind: 'text', must: true, value: there?.thread, hint: 'Such as M8×1.25 or 1/2-20.' },
      { id: 'class', label: 'Class, on the head', kind: 'text', value: there?.class, hint: 'Such as 8.8. Empty where it is not marked.' },
      ...(there ? [] : /** @type {Field[]} */ ([{ id: 'value', label: 'Torque', kind: 'amount', units: TORQUES, must: true }])),
      { id: 'threads', label: 'Threads, as the torque is meant', kind: 'pick', options: options(THREADS), value: there?.thread_state ?? 'unknown' },
      { id: 'pattern', label: 'Order', kind: 'pick', options: [['ring', 'ring: cross order'], ['rail', 'long: from the centre out'], ['inline', 'in line'], ['single', 'one bolt']], value: there?.pattern ?? usual.pattern },
      { id: 'stages', label: 'In stages of 50, 75 and 100 %', kind: 'tick', value: (there ? there.stages?.length : usual.stages) ? 'yes' : '' },
      { id: 'then', label: 'And then', kind: 'text', value: there?.then ?? usual.then },
      ...(there ? [] : originFields(site, { what: 'torque' })),
    ],
    edit(draft, values) {
      const target = unitIn(draft, id)
      const { thread = '', name = '', threads, pattern, then = '' } = values
      const torque = there?.torque ?? merged([{ value: values.value ?? '', ...originOf(values) }], 'torque', site.units)
      const stages = values.stages ? (there?.stages?.length ? there.stages : STAGES) : []
      const group = { name, count: Number(values.count), thread: thread.replace(/(\d)x(\d)/, '$1×$2'), class: values.class ?? '', torque,
        thread_state: threads ?? 'unknown', pattern: /** @type {'ring'} */ (Number(values.count) === 1 ? 'single' : pattern), stages, then }
      target.fasteners = { ...target.fasteners, [role]: group }
    },
    why: (values) => `${unit.code} ${values.name}${there ? '' : `: ${values.value}`}.`,
  }
}
