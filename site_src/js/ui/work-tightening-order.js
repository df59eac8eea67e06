// The page of the tightening order: the bolts in the order in which they are tightened, drawn, and the torque of each stage.
import { sequence } from '../lib/sequence.js'
import { plan } from '../lib/tighten.js'
import { format, fromSi, withUnit } from '../lib/quantity.js'
import { h } from '../job/dom.js'
import { drawing } from './diagram.js'
import { unitOf } from './field.js'
import { picked, unitIn, workForm } from '../reckon/form.js'

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
        return empty(`Needs: ${needs.join(', ')}`)
      }
      const { order, standing } = sequence(pattern, count)
      source.textContent = SOURCE[standing]
      const { svg } = drawing(pattern, count)
      more.replaceChildren(h('figure', { class: 'plain' }, svg, h('figcaption', { class: 'of' },
        'Each bolt has its place in the order. Bolt 1 is at the top of a ring; on rows it is the first at the left. Count on clockwise.')))
      const answers = /** @type {Record<string, import('../reckon/form.js').Answer>} */ ({
        order: { main: order.join('-'), also: `${STANDING[standing]}.` },
      })
      const shares = count === 1 ? [1] : [values.stage1, values.stage2, 1].filter((share) => share !== undefined)
      if (shares.some((share, i) => i > 0 && share <= (shares[i - 1] ?? 0))) {
        return { ...empty('Refused, see above.'), refused: 'Each stage is tighter than the one before it. Check both stages.' }
      }
      const why = needs.length ? `Needs: ${needs.join(', ')}` : ''
      const taps = why || torque === undefined ? [] : plan({ pattern, count, torque, stages: shares }, 'all')
      STAGES.forEach((id, at) => {
        const share = id === 'third' ? 1 : values[`stage${at + 1}`]
        const tap = taps.find((one) => !one.lap && one.share === share)
        answers[id] = tap && share ? torques(tap.nm, unit, `${Number((share * 100).toPrecision(6))} %, in the order above`)
          : why || (count === 1 ? 'A single bolt is tightened in one go.' : 'Not wanted.')
      })
      const lap = taps.find((tap) => tap.lap)?.nm
      answers.lap = lap === undefined ? why || 'A single bolt needs no lap.' : torques(lap, unit, `once round by the numbers, 1 to ${count}`)
      return { answers, given: [`Shape ${WAYS[/** @type {keyof typeof WAYS} */ (pattern)].toLowerCase()}`], source: SOURCE[standing], state: 'unverified' }
    },
  })
}

/** @param {string} why @returns {import('../reckon/form.js').Worked} */
const empty = (why) => ({ answers: Object.fromEntries(['order', ...STAGES, 'lap'].map((id) => [id, why])), source: '', state: '' })

/** @param {number} nm @param {string} unit as typed @param {string} says @returns {import('../reckon/form.js').Answer} */
function torques(nm, unit, says) {
  const [main = '', ...others] = [unit, ...SCALES.filter((one) => one !== unit)].map((one) => withUnit(format(fromSi(nm, unitOf(one)), 3), one))
  return { main, also: `${others.join(' · ')}; ${says}` }
}
