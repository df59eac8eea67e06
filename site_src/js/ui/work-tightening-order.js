// The page of the tightening order: the bolts in the order in which they are tightened, drawn, and the torque of each stage.
import { sequence } from '../lib/sequence.js'
import { plan } from '../lib/tighten.js'
import { format, fromSi, withUnit } from '../lib/quantity.js'
import { h } from '../job/dom.js'
import { drawing } from './diagram.js'
import { unitOf } from './field.js'
import { picked, unitIn, workForm } from '../work/form.js'

/** @typedef {import('../lib/sequence.js').Pattern} Pattern */

const STANDING = {
  published: 'Cross pattern as published',
  ours: 'Our order, no published pattern',
  practice: 'Common practice',
}
const SOURCE = {
  published: 'ASME PCC-1, legacy cross pattern, from memory, check; stages: common practice',
  ours: 'Worked out for this site; stages: common practice', practice: 'Common practice, no source',
}
const WAYS = { ring: 'Ring', rail: 'Rail', inline: 'Line' }
const SCALES = ['N·m', 'lb·ft', 'lb·in']
const STAGES = ['first', 'second', 'third']

/** @param {HTMLElement} root */
export function start(root) {
  const more = /** @type {HTMLElement} */ (root.querySelector('[data-more]'))
  const source = /** @type {HTMLElement} */ (root.querySelector('[data-source]'))

  return workForm(root, {
    title: 'Tightening order',
    picks: ['pattern'],
    takes: [{ id: 'pattern', kind: 'picked', label: 'Shape of the group', take: 'pattern', options: Object.fromEntries(
      Object.entries(WAYS).map(([id, label]) => [id, { label, state: '', gives: {} }])) }],
    work({ values, missing }) {
      const pattern = /** @type {Pattern | ''} */ (picked(root, 'pattern'))
      const { count, torque } = values
      const unit = unitIn(root, 'torque')
      const needs = [...(pattern ? [] : ['Shape of the group']), ...missing.values()]
      if (!pattern || count === undefined) {
        more.replaceChildren()
        source.textContent = ''
        return { answers: Object.fromEntries(['order', ...STAGES, 'lap'].map((id) => [id, `Needs: ${needs.join(', ')}`])), source: '', state: '' }
      }
      const { order, standing } = sequence(pattern, count)
      source.textContent = SOURCE[standing]
      const { svg } = drawing(pattern, count)
      more.replaceChildren(h('figure', { class: 'plain' }, svg, h('figcaption', { class: 'of' },
        'Each bolt has its place in the order. Bolt 1 is at the top of a ring; on rows it is the first at the left. Count on clockwise.')))
      const answers = /** @type {Record<string, import('../work/form.js').Answer>} */ ({
        order: { main: order.join('-'), also: `${STANDING[standing]}.` },
      })
      const known = torque === undefined ? [] : plan({ pattern, count, torque, stages: [] }, 'all')
      STAGES.forEach((id, stage) => {
        // One bolt has no stages: it clicks once.
        const nm = known.find((tap) => !tap.lap && tap.share === [0.5, 0.75, 1][stage])?.nm
        answers[id] = nm === undefined ? (known.length ? 'A single bolt is tightened in one go.' : 'Needs: Target torque') : torques(nm, unit, 'in the order above')
      })
      const lap = known.find((tap) => tap.lap)?.nm
      answers.lap = lap === undefined ? (known.length ? 'A single bolt needs no lap.' : 'Needs: Target torque')
        : torques(lap, unit, `once round by the numbers, 1 to ${count}`)
      return { answers, given: [`Shape ${WAYS[/** @type {keyof typeof WAYS} */ (pattern)].toLowerCase()}`], source: SOURCE[standing], state: 'unverified' }
    },
  })
}

/** @param {number} nm @param {string} unit as typed @param {string} says @returns {import('../work/form.js').Answer} */
function torques(nm, unit, says) {
  const [main = '', ...others] = [unit, ...SCALES.filter((one) => one !== unit)].map((one) => withUnit(format(fromSi(nm, unitOf(one)), 3), one))
  return { main, also: `${others.join(' · ')}; ${says}` }
}
