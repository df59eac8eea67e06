// A fill is right by its level. What was poured must fit how low it was; and a level not seen, or read off level ground, says little.
import { grouped, isChange, isTopUp, laterOn, levelSeen, litres, placeOf, poured, readOf, stamp, unitsOf, volume } from '../findingwords.js'
import { format } from '../quantity.js'

/** @typedef {import('../../types').Entry} Entry */
/** @typedef {import('../../types').Unit} Unit */

/** The surface is measured to about a fifth, a jug to 50 mL. An estimate. */
const SHARE = 0.25
const LEAST = 5e-5
const DEGREE = Math.PI / 180

/** @param {import('../findingwords.js').Given} given @returns {import('../findingwords.js').Found[]} */
export const find = ({ books, site }) => books.flatMap((book) => unitsOf(book).flatMap(({ unit, entries }) =>
  entries.filter((entry) => poured(entry) > 0 && (isTopUp(entry, site) || isChange(entry, site))).flatMap((entry) => {
    const off = [isTopUp(entry, site) ? unlike(entry, unit) : null, unseen(entry), slope(entry, unit)].flatMap((one) => one ?? [])
    if (!off.length) return []
    const after = laterOn(book, entry, (later) => poured(later) > 0 && levelSeen(later))
    return [{
      vehicle: book.vehicle.id, unit: unit.id, severity: /** @type {import('../../types').Finding['severity']} */ (after ? 'notice' : 'caution'),
      says: `${placeOf(unit)}, ${entry.date}: ${off.map(({ says }) => says).join('; ')}.`,
      evidence: [`Poured ${stamp(entry)}: ${entry.in ? volume(entry.in) : ''}.`, ...off.map(({ shows }) => shows), ...(after ? [`Level seen ${stamp(after)}.`] : [])],
      settle: after ? 'Settled by the later fill.' : 'Read the level again on level ground, and fill to it.',
      entries: [entry.id, ...(after ? [after.id] : [])],
    }]
  })))

/** @param {Entry} entry @param {Unit} unit */
function unlike(entry, { oilSurface }) {
  const low = readOf({ ...entry, left: {} }, 'level-found')
  if (!low || !oilSurface) return null
  const wanted = low * oilSurface
  if (Math.abs(poured(entry) - wanted) <= Math.max(SHARE * wanted, LEAST)) return null
  const less = poured(entry) < wanted
  return {
    says: `${litres(poured(entry))} poured is ${less ? 'less' : 'more'} than the level asked for`,
    shows: `${format(low * 1000, 2)} mm low on ${grouped(oilSurface * 1e4)} cm² of oil is ${litres(wanted)}; ` +
      `${litres(Math.abs(poured(entry) - wanted))} ${less ? 'less' : 'more'} was poured.`,
  }
}

/** @param {Entry} entry */
const unseen = ({ levelVerified }) => (levelVerified === 'no'
  ? { says: 'the level was not seen', shows: 'Level seen: no. What is in it is what was poured, less what did not drain.' } : null)

/** @param {Entry} entry @param {Unit} unit */
function slope(entry, { fillHoleOffset: along, oilSurface: surface }) {
  if (entry.vehicleLevel !== 'no') return null
  const pitch = readOf(entry, 'pitch')
  const rise = Math.tan(pitch === null ? DEGREE : Math.abs(pitch)) * (along ?? NaN)
  const tilt = pitch === null ? 'Each degree along the vehicle' : `${format(Math.abs(pitch) / DEGREE, 2)}° along the vehicle`
  return {
    says: 'filled while the vehicle did not stand level',
    shows: Number.isFinite(rise) && surface
      ? `Vehicle level: no. ${tilt} moves the hole by ${format(rise * 1000, 2)} mm, which is ${litres(rise * surface)}.`
      : 'Vehicle level: no. The hole does not tell the level then.',
  }
}
