// What falls with a step or a hold that is taken back: everything done that rested on it, so that nothing is left
// standing on air.
import { before, holdsOn, stepOf } from './graph.js'
import { needs } from './view.js'

/** @typedef {import('./replay.js').Job} Job */

/** Their condition is a fact of the steps, so they fall only when that fact does. */
const KNOWN = ['support', 'fill-plug-first', 'label-time']

/**
 * @param {Job} job
 * @param {{step: number} | {hold: number}} what a step done or a hold ticked
 * @returns {{steps: number[], holds: number[]}} the data of an `undone` event, sorted; both empty where `what` does
 *   not stand
 */
export function undo(job, what) {
  return 'step' in what ? fall(job, [what.step], []) : fall(job, [], [what.hold])
}

/**
 * @param {Job} job
 * @param {number[]} steps
 * @param {number[]} holds
 * @returns {{steps: number[], holds: number[]}} what of these stands, and all that falls with it
 */
export function fall(job, steps, holds) {
  const { card } = job.copy
  const done = new Map(job.done)
  const opened = new Map(job.opened)
  const ticked = new Map(job.ticked)
  for (const no of steps) {
    done.delete(no)
    opened.delete(no)
  }
  for (const no of holds) ticked.delete(no)
  const rest = { ...job, done, opened, ticked }
  for (let size = -1; size !== done.size + ticked.size; ) {
    size = done.size + ticked.size
    for (const no of [...done.keys()]) {
      const stands = stepOf(card, no)?.after.every((one) => done.has(one.step)) && holdsOn(card, no).every((hold) => ticked.has(hold.no))
      if (stands) continue
      done.delete(no)
      opened.delete(no)
    }
    for (const no of [...ticked.keys()]) {
      const hold = card.holds.find((one) => one.no === no)
      if (!hold) continue
      const lost = KNOWN.includes(hold.guard)
        ? needs(rest, no).some((need) => !need.met)
        // What was counted, dried, seated or compared was so at that stage of the work.
        : [...before(card, hold.blocks)].some((step) => job.done.has(step) && !done.has(step))
      if (lost) ticked.delete(no)
    }
  }
  const gone = (/** @type {Map<number, any>} */ had, /** @type {Map<number, any>} */ has) =>
    [...had.keys()].filter((no) => !has.has(no)).sort((a, b) => a - b)
  return { steps: gone(job.done, done), holds: gone(job.ticked, ticked) }
}
