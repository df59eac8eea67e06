// What several jobs need to go in, by what a bottle must say: grade and category, never a brand. Part bottles on the shelf
// are counted where they may be, and where not it is said why; what is left to buy goes to `cover`.
import { cover } from '../cover.js'

/** @typedef {import('../../types').Card} Card */
/** @typedef {import('../../types').Unit} Unit */
/** @typedef {import('../cover.js').Bottle} Bottle */
/** @typedef {{card: Card, unit: Unit, vehicle: string}} Wanted a job; `vehicle` as it is called */
/**
 * @typedef {{key: string, of: string, what: string, grade: string, category: string, sealed: boolean, need: number,
 *   from: {job: string, amount: number, says: string}[], unknown: string[], state: string}} Line `need` in m³, spill counted
 *   in; `unknown` fills that nobody wrote down: the line is then more than it says
 * @typedef {{grade: string, category: string, left: number, opened: string, best: string}} Open a part bottle: m³ left in it,
 *   the day it was opened and its best-before, ISO or ''
 */

const NAMES = { fluid: '', additive: 'Friction additive', swivel: 'For the swivels', concentrate: 'Coolant concentrate', water: 'Deionised water' }

/**
 * @param {Wanted[]} jobs
 * @param {number} spill share of what goes in that is spilt or stays in the pump
 * @param {number} [flush] m³ of fluid poured through each gear housing first
 * @returns {Line[]} in the order of the jobs
 */
export function lines(jobs, spill, flush = 0) {
  /** @type {Map<string, Line>} */
  const found = new Map()
  for (const { card, unit, vehicle } of jobs) {
    const job = `${card.no}, ${vehicle}, ${unit.title}`
    for (const pour of card.pours ?? []) {
      if (pour.of === 'additive' && !takesAdditive(unit)) continue
      const grade = pour.of === 'fluid' ? (unit.fluid?.grade ?? '') : ''
      const category = pour.of === 'water' ? '' : (unit.fluid?.category ?? '')
      const known = pour.of !== 'fluid' || Boolean(grade || category)
      const key = [pour.of, grade, category, known ? '' : job, pour.sealed ? 'sealed' : ''].join('|')
      const line = found.get(key) ?? {
        key, of: pour.of, what: nameOf(pour.of, grade, category), grade, category, sealed: pour.sealed, need: 0,
        from: [], unknown: [], state: '',
      }
      found.set(key, line)
      if (!known) line.unknown.push(`which fluid goes in: ${job}`)
      const fill = unit.fills[pour.fill]
      if (!fill) {
        line.unknown.push(`${pour.fill.replace('-', ' ')}: ${job}`)
        continue
      }
      if (fill.state !== 'verified') line.state = fill.state
      const additive = pour.of === 'fluid' && pour.fill === 'refill' && takesAdditive(unit) ? (unit.fills.additive?.si ?? 0) : 0
      const through = flush && pour.of === 'fluid' && card.steps.some(({ opens }) => opens) ? flush : 0
      // An additive is a dose: nothing of it is spilt on top.
      const amount = (fill.si * pour.times - additive + through) * (1 + (pour.of === 'additive' ? 0 : spill)) + pour.spare
      line.need += amount
      line.from.push({ job, amount, says: [
        pour.times !== 1 && `${pour.times} × ${fill.typed}`, pour.times === 1 && fill.typed, additive > 0 && 'less the additive',
        through > 0 && 'with the flush', fill.state === 'conflict' && 'in conflict: fill to level',
      ].filter(Boolean).join(', ') })
    }
  }
  return [...found.values()]
}

/** @param {Unit} unit @returns {boolean} whether an additive is poured into it besides the oil */
const takesAdditive = ({ fluid, diff }) => fluid?.additive === 'separate'
  || (fluid?.additive !== 'none' && fluid?.additive !== 'included' && ['clutch-ls', 'cone-ls'].includes(diff))

/** @param {string} of @param {string} grade @param {string} category */
const nameOf = (of, grade, category) => [NAMES[/** @type {keyof typeof NAMES} */ (of)], grade, of === 'additive' ? category && `for ${category}` : category]
  .filter(Boolean).join(' ') || 'Fluid not known'

/**
 * @param {Line} line @param {Open} bottle @param {string} today ISO
 * @returns {string} '' where it may go in, else why not
 */
export function refused(line, bottle, today) {
  const same = (/** @type {string} */ a, /** @type {string} */ b) => a.trim().toLowerCase() === b.trim().toLowerCase()
  if (line.sealed) return 'Not counted: an opened bottle of it has drawn water.'
  if (!bottle.category.trim()) return 'Not counted: its category is not known.'
  if (!same(line.category, bottle.category)) return `Not counted: its category is ${bottle.category}, not ${line.category}.`
  if (!same(line.grade, bottle.grade)) return `Not counted: its grade is ${bottle.grade || 'not known'}. Two grades of one category may be mixed only where the mixture is still the grade that is asked for.`
  if (bottle.best && bottle.best < today) return `Not counted: best before ${bottle.best}.`
  return ''
}

/**
 * @param {Line} line
 * @param {Open[]} open part bottles
 * @param {Bottle[]} bottles sizes for sale, and whole ones on the shelf
 * @param {string} today ISO
 * @returns {{from: number, buy: ReturnType<typeof cover>, why: string[]}} `from` m³ of part bottles; `why` for each of `open`
 */
export function purchase(line, open, bottles, today) {
  const why = open.map((one) => refused(line, one, today))
  const from = Math.min(line.need, open.reduce((sum, one, i) => sum + (why[i] ? 0 : one.left), 0))
  return { from, buy: bottles.length ? cover(Math.max(0, line.need - from), bottles) : null, why }
}

/**
 * The sizes that a shop asks for, of the plugs and bolts that these jobs turn; what nobody wrote down is said.
 * @param {Wanted[]} jobs
 * @returns {string[]}
 */
export function sizes(jobs) {
  return [...new Set(jobs.flatMap(({ card, unit, vehicle }) => {
    const where = `${vehicle} ${unit.title}`
    const turned = card.torque.filter((role) => unit.fasteners[role])
    const plugs = ['fill', 'drain'].filter((name) => unit.plugs[name] && card.torque.includes(`${name}-plug`)).map((name) => {
      const { tool = '', thread = '', seal = '' } = unit.plugs[name] ?? {}
      return `${where}, ${name} plug: ${[thread || 'thread not known', seal ? `seal ${seal}` : 'seal not known', tool && `key ${tool}`].filter(Boolean).join(', ')}`
    })
    const bolts = turned.filter((role) => !role.endsWith('-plug')).map((role) => {
      const { name = role, count = 0, thread = '', strength = '' } = unit.fasteners[role] ?? {}
      return `${where}, ${name.toLowerCase()}: ${[count > 1 && `${count} ×`, thread || 'thread not known', strength].filter(Boolean).join(' ')}`
    })
    return [...plugs, ...bolts]
  }))]
}

/**
 * What is used up besides fluids, and tools, each once with the jobs that ask for it.
 * @param {Wanted[]} jobs @param {(text: string, unit: Unit) => string} filled a text with the unit's numbers
 * @returns {{parts: Thing[], tools: Thing[], gate: Thing[]}}
 * @typedef {{text: string, jobs: string[]}} Thing
 */
export function things(jobs, filled) {
  const gather = (/** @type {(card: Card) => string[]} */ of) => {
    /** @type {Map<string, Set<string>>} */
    const all = new Map()
    for (const { card, unit } of jobs) {
      for (const raw of of(card)) {
        const text = filled(raw, unit)
        all.set(text, (all.get(text) ?? new Set()).add(card.no))
      }
    }
    return [...all].map(([text, who]) => ({ text, jobs: [...who] }))
  }
  const poured = (/** @type {Card} */ card) => ((/** @type {string} */ text) => Boolean(card.pours?.length) && /\{(fill|fluid)\./.test(text))
  return {
    parts: gather((card) => card.parts.filter((text) => !poured(card)(text))),
    tools: gather((card) => card.tools), gate: gather((card) => card.gate),
  }
}
