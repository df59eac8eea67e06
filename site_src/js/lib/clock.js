// The waits of a job. They are counted on a steady clock: the phone's, less whatever somebody moved it by. Shown are
// times of the phone's clock as it stands now, so that they agree with the one on the wall of the phone.
import { stepOf, way } from './graph.js'

/** @typedef {import('./replay.js').Job} Job */
/**
 * Times in epoch milliseconds of the phone's present clock; `left` and `over` in milliseconds, one of them 0.
 * @typedef {{
 *   step: number, kind: string, label: boolean, minutes: number, started: number, ready: number,
 *   state: 'running' | 'ready' | 'opened', left: number, over: number,
 * }} Clock
 */

export const MINUTE = 60_000

/** Clocks are set right by a second or two all the time; less than this is nobody's doing. */
const SLACK = 30_000

/** @type {Record<string, string>} */
const WORDS = { drain: 'drain', cool: 'cooling', 'flash-off': 'flash-off', set: 'set', settle: 'settling', charge: 'charge', drive: 'drive' }

/** @param {{kind: string, step: number}} clock @returns {string} such as `the drain of step 6` */
export const named = ({ kind, step }) => `the ${WORDS[kind] ?? 'wait'} of step ${step}`

/**
 * @param {Job} job
 * @param {number} no
 * @returns {{minutes: number, kind: string, label: boolean}} the wait that follows a step; 0 minutes where none does
 */
export function waitOf(job, no) {
  const step = stepOf(job.copy.card, no)
  if (!step) return { minutes: 0, kind: '', label: false }
  const { wait, waitKind, label } = way(step, job.option)
  // Only a time that stands on a label can be typed.
  return { minutes: label ? (job.label[no] ?? wait) : wait, kind: waitKind, label }
}

/**
 * @param {Job} job
 * @param {number} no
 * @param {number} now
 * @returns {Clock | null} none before the step is done, and none where no wait follows it
 */
export function clockOf(job, no, now) {
  const done = job.done.get(no)
  const { minutes, kind, label } = waitOf(job, no)
  if (!done || !(minutes > 0)) return null
  const started = done.steady + job.shift
  const ready = started + minutes * MINUTE
  const state = job.opened.has(no) ? 'opened' : now >= ready ? 'ready' : 'running'
  return { step: no, kind, label, minutes, started, ready, state, left: Math.max(0, ready - now), over: Math.max(0, now - ready) }
}

/**
 * @param {Job} job
 * @param {number} now
 * @returns {Clock[]} every wait that runs or is over and not yet opened, the next to be ready first
 */
export function clocksOf(job, now) {
  return [...job.done.keys()]
    .map((no) => clockOf(job, no, now))
    .filter((clock) => clock !== null)
    .filter((clock) => clock.state !== 'opened')
    .sort((a, b) => a.ready - b.ready || a.step - b.step)
}

/**
 * Whether somebody moved the phone's clock between two looks at it.
 *
 * While the page was in view all the time, both directions show against the browser's own running time. Otherwise the
 * running time may have slept with the phone: then a jump forward is time that passed, and only a jump back is sure.
 *
 * @param {{at: number, ran: number}} last phone's clock and running time, both in milliseconds
 * @param {{at: number, ran: number}} here the same, now; `ran` equal to the last one's where it is not known
 * @param {boolean} watched whether the page was in view all the time between
 * @returns {{by: number, counted: boolean} | null} the data of a `clock` event, or nothing to write
 */
export function moved(last, here, watched) {
  const by = Math.round(here.at - last.at - (here.ran - last.ran))
  if (Math.abs(by) < SLACK || (by > 0 && !watched)) return null
  return { by, counted: false }
}
