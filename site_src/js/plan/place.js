// Place and weather of the plan: measured or not, with what follows.
import { calculators } from '../data/judging.js'
import { h } from '../job/dom.js'
import { way } from '../lib/graph.js'
import { gate } from '../lib/plan/gate.js'
import { base } from '../own/where.js'
import { field, si } from './field.js'
import { labelSteps } from './jobs.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {import('./kept.js').Plan} Plan */

/** @type {[keyof Plan & string, string, string, string][]} key, label, unit, below it */
const WEATHER = [['air', 'Air', '°C', ''], ['damp', 'Humidity', '%', ''], ['metal', 'Metal of the joint', '°C', ''],
  ['labelAir', 'Air the label speaks of', '°C', ''], ['labelDamp', 'Humidity the label speaks of', '%', '']]
/** @type {[keyof Plan & string, string, string, string][]} */
const GROUND = [['slope', 'Slope of the ground', '%', '17 mm in a metre are 1.7 %.'], ['stand', 'Rating of one stand', 'kg', 'A rating for the pair is halved.'],
  ['gap', 'Gap behind the bolts', 'mm', ''], ['stack', 'Socket, extension and head', 'mm', ''], ['under', 'Height beneath the vehicle', 'mm', ''], ['creeper', 'Creeper with you on it', 'mm', '']]

/** @param {Job[]} jobs @param {Plan} plan */
export function judged(jobs, plan) {
  const value = (/** @type {string} */ key, /** @type {string} */ unit) => si(/** @type {any} */ (plan)[key] ?? '', unit)
  const raising = jobs.filter(({ card }) => card.steps.some(({ lifts }) => lifts)).map(({ vehicle }) => vehicle)
  const raised = [...new Map(raising.map((one) => [one.id, { name: one.short, kerb: one.kerbMass, rear: one.rearShare }])).values()]
  const dries = jobs.some(({ card, chosen }) => card.steps.some((step) => way(step, chosen.option).waitKind === 'flash-off' && card.choice))
  const sealed = jobs.some(({ card, chosen }) => labelSteps(card, chosen.option).length > 0)
  return {
    sealed, dries, raised: raised.length > 0,
    ...gate({
      air: value('air', '°C'), damp: value('damp', '%'), metal: value('metal', '°C'), labelAir: value('labelAir', '°C'), labelDamp: value('labelDamp', '%'),
      slope: value('slope', '%'), stand: value('stand', 'kg'), gap: value('gap', 'mm'), stack: value('stack', 'mm'), under: value('under', 'mm'), creeper: value('creeper', 'mm'),
    }, { sealed, dries, raised }, { dew: (given) => calculators['dew-gate']?.work(given) ?? {}, stretch: (given) => calculators['sealant-stretch']?.work(given) ?? {} }),
  }
}

/** @param {ReturnType<typeof judged>} found @param {Plan} plan @param {() => void} changed @returns {HTMLElement[]} the fields that matter for these jobs */
export function fields({ sealed, dries, raised }, plan, changed) {
  const one = (/** @type {[keyof Plan & string, string, string, string]} */ [key, label, unit, of]) => field(label, String(/** @type {any} */ (plan)[key] ?? ''), (typed) => {
    ;/** @type {any} */ (plan)[key] = typed
  }, changed, { unit, of })
  return [...(sealed ? WEATHER : dries ? WEATHER.slice(0, 1) : []), ...(raised ? GROUND : [])].map(one)
}

const WORDS = { go: 'Go', hold: 'HOLD', unknown: 'Unknown' }

/** @param {ReturnType<typeof judged>} found @returns {HTMLElement} */
export const verdicts = ({ verdicts: all }) => h('ul', { class: 'plain' }, all.length ? all.map(({ state, says, work }) => h('li', { class: state === 'hold' ? 'odd' : '' },
  h('b', {}, `${WORDS[state]}. `), says, work && [' ', h('a', { class: 'screen', href: `${base}work-out/${work}/` }, 'Work it out')])) : h('li', {}, 'Nothing of these jobs hangs on weather or stands.'))
