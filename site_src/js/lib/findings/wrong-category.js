// What was poured against what the unit asks for: the gear category, and the limited-slip kind. Also of an entry that was
// corrected, since the oil was in the unit all the same.
import { distance, isChange, laterOn, millilitres, placeOf, poured, stamp } from '../findingwords.js'
import { metresBetween } from '../eras.js'

/** @typedef {import('../findingwords.js').Book} Book */
/** @typedef {import('../findingwords.js').Rules} Rules */
/** @typedef {import('../../types').Entry} Entry */
/** @typedef {import('../../types').Unit} Unit */

/** So much of the dose makes a plain oil a limited-slip one. */
const DOSE = 0.95

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => [...book.replaced.values(), ...book.entries].flatMap((entry) => {
  const unit = book.vehicle.units[entry.unit]
  const off = unit?.fluid && poured(entry) > 0 ? wrong(entry, unit) : ''
  return off && unit ? [finding(book, site, entry, unit, off)] : []
}))

/** @param {string} text @returns {{gear: string, slip: boolean}} `GL-5 LS` is gear 5 with slip */
const parse = (text) => ({ gear: /\bGL-?\s?(\d)/i.exec(text)?.[1] ?? '', slip: /\bLS\b|limited.slip/i.test(text) })

/** @param {Entry} entry @param {Unit} unit @returns {string} what is wrong with it, '' where nothing is known to be */
function wrong({ fluid, additive }, unit) {
  if (!fluid || !unit.fluid) return ''
  const [asked, got] = [parse(unit.fluid.category), parse(fluid)]
  if (asked.gear && got.gear && asked.gear !== got.gear) return `GL-${got.gear} where GL-${asked.gear} is asked for`
  const dosed = (additive?.si ?? 0) >= DOSE * (unit.fills.additive?.si ?? Infinity)
  return asked.slip && !got.slip && !dosed ? 'no limited-slip oil where it is asked for' : ''
}

/** @param {Book} book @param {Rules} site @param {Entry} entry @param {Unit} unit @param {string} off */
function finding(book, site, entry, unit, off) {
  const { vehicle, at, eras } = book
  const correction = book.replaced.has(entry.id) ? book.entries.find(({ replaces }) => replaces === entry.id) : undefined
  const after = correction ?? laterOn(book, entry, (later) => isChange(later, site))
  const right = after && after.fluid && !wrong(after, unit) ? after : undefined
  const attacks = off.startsWith('GL-5') && unit.yellowMetal === 'yes'
  const [from, to] = [at(entry), right ? at(right) : null]
  const went = from === null || to === null ? '' : `, after ${distance(metresBetween(eras, from, to), vehicle.odometer.unit)}`
  return {
    vehicle: vehicle.id, unit: unit.id,
    severity: /** @type {import('../../types').Finding['severity']} */ (right ? 'notice' : attacks ? 'warning' : 'caution'),
    says: `${placeOf(unit)}: ${off}${right ? `, put right on ${right.date}` : ''}.`,
    evidence: [
      `Poured ${stamp(entry)}: ${entry.fluid}${entry.additive && entry.additive.si !== null ? `, additive ${millilitres(entry.additive.si)}` : ''}.`,
      `Asked for: ${unit.fluid?.grade} ${unit.fluid?.category} (${unit.fluid?.state}).`,
      ...(unit.yellowMetal === 'yes' ? ['Yellow metal inside: the wrong category can attack it and spoils the synchros.'] : []),
      ...(right ? [`Changed to ${right.fluid} ${stamp(right)}${went}.`] : []),
    ],
    settle: right ? 'Settled. Read the category on the label before the bottle is opened.'
      : `Change it for ${unit.fluid?.grade} ${unit.fluid?.category}${off.startsWith('no') ? ', or bring the additive up to the dose' : ''}, and log what came out.`,
    entries: [entry.id, ...(right ? [right.id] : [])],
  }
}
