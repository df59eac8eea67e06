// Tightening a group of fasteners by stages, tap by tap, so that it goes on where it was left.
import { sequence } from './sequence.js'

/** @typedef {import('../types').Fastener} Fastener */
/**
 * One bolt at one torque: its place on the diagram, which stage, the share of the target, the torque in N·m.
 * @typedef {{bolt: number, stage: number, share: number, nm: number, lap: boolean, of: string}} Tap
 */

/**
 * @param {Pick<Fastener, 'pattern' | 'count' | 'torque' | 'stages'>} fastener
 * @param {'all' | 'stages' | 'lap'} part the stages, the last lap at full torque, or one after the other
 * @returns {Tap[]} stages in the order of the pattern, the lap round the group by its numbers
 * @throws {RangeError} when the count is not 1 to 48
 */
export function plan({ pattern, count, torque, stages }, part) {
  const { order } = sequence(pattern, count)
  const shares = stages.length ? stages : count > 1 ? [0.5, 0.75, 1] : [1]
  /** @type {Tap[]} */
  const taps = []
  if (part !== 'lap') {
    shares.forEach((share, stage) => {
      order.forEach((bolt, turn) => taps.push({
        bolt, stage, share, nm: torque * share, lap: false,
        of: `${stageWords(stage, shares)}, bolt ${turn + 1} of ${count}`,
      }))
    })
  }
  // One bolt clicks once and is tight: a lap is for groups, where the last one tightened loosens its neighbours.
  if (part === 'lap' || (part === 'all' && count > 1)) {
    for (let bolt = 1; bolt <= count; bolt += 1) {
      taps.push({ bolt, stage: shares.length, share: 1, nm: torque, lap: true, of: `Last lap, bolt ${bolt} of ${count}` })
    }
  }
  return taps
}

/** @param {number} stage @param {number[]} shares @returns {string} */
function stageWords(stage, shares) {
  const percent = `${Number(((shares[stage] ?? 1) * 100).toPrecision(6))} %`
  return shares.length > 1 ? `Stage ${stage + 1} of ${shares.length}, ${percent}` : percent
}

/**
 * @param {Tap[]} taps the plan
 * @param {number} counted taps done
 * @returns {{next: Tap | null, words: string}} where to go on
 */
export function at(taps, counted) {
  const next = taps[counted] ?? null
  if (next) return { next, words: `Bolt ${next.bolt}. ${next.of}.` }
  return { next, words: taps.length === 1 ? 'Tight.' : `All ${taps.length} taps done.` }
}
