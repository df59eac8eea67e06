// What stands open on a job, and in words what keeps the rest shut.
import { clockOf, clocksOf, MINUTE, named, waitOf } from './clock.js'
import { before, holdsOn, stepOf } from './graph.js'

/** @typedef {import('./replay.js').Job} Job */
/** @typedef {import('./clock.js').Clock} Clock */
/** @typedef {Record<number, string>} Verdicts by hold: '' where its readings are fine or it needs none, else why not */
/** @typedef {(epoch: number) => string} Wall writes a time of the phone's clock, such as 14:52 */
/**
 * @typedef {{no: number, state: 'done' | 'now' | 'open' | 'shut', why: string, clock: Clock | null}} StepView
 * @typedef {{no: number, ticked: boolean, reason: string, may: boolean, why: string}} HoldView `may` be ticked now;
 *   `why` it may not, or why a tick stands no longer
 * @typedef {{steps: StepView[], holds: HoldView[], clocks: Clock[], next: number, finished: boolean}} View `next` is
 *   the first open step, 0 where none is
 */

/**
 * @param {Job} job
 * @param {number} now epoch milliseconds by the phone's clock
 * @param {Verdicts} verdicts
 * @param {Wall} [wall]
 * @returns {View}
 */
export function view(job, now, verdicts, wall) {
  const idle = halted(job)
  let next = 0
  const steps = job.copy.card.steps.map(({ no }) => {
    const clock = clockOf(job, no, now)
    if (job.done.has(no)) return /** @type {StepView} */ ({ no, state: 'done', why: '', clock })
    const why = idle || notYet(job, no, now, verdicts, wall)
    if (why) return /** @type {StepView} */ ({ no, state: 'shut', why, clock })
    if (next) return /** @type {StepView} */ ({ no, state: 'open', why: '', clock })
    next = no
    return /** @type {StepView} */ ({ no, state: 'now', why: '', clock })
  })
  const holds = job.copy.card.holds.map(({ no }) => {
    const tick = job.ticked.get(no)
    const why = tick?.reason ? '' : against(job, no, verdicts)
    return { no, ticked: Boolean(tick), reason: tick?.reason ?? '', may: !tick && !why && !idle, why: why || (tick ? '' : idle) }
  })
  return { steps, holds, clocks: clocksOf(job, now), next, finished: finished(job) }
}

/**
 * @param {Job} job
 * @returns {string} why nothing at all may be done: it is over, or it rests
 */
export function halted(job) {
  if (job.ended === 'signed') return 'The job is signed off.'
  if (job.ended === 'stopped') return 'The job was stopped.'
  return job.resting ? 'The job is resting. Resume it first.' : ''
}

/** @param {Job} job @returns {boolean} every step done and every wait opened */
export const finished = (job) =>
  job.copy.card.steps.every(({ no }) => job.done.has(no) && (waitOf(job, no).minutes <= 0 || job.opened.has(no)))

/**
 * @param {Job} job
 * @param {number} no of a step that is not done
 * @param {number} now
 * @param {Verdicts} verdicts
 * @param {Wall} [wall] without it the minutes to go are told
 * @returns {string} what keeps the step shut, '' where nothing does
 */
export function notYet(job, no, now, verdicts, wall) {
  const after = stepOf(job.copy.card, no)?.after ?? []
  const list = (/** @type {string} */ word, /** @type {number[]} */ numbers) =>
    `${word}${numbers.length > 1 ? 's' : ''} ${numbers.join(', ')}`
  const parts = []
  const undone = after.map((one) => one.step).filter((step) => !job.done.has(step))
  if (undone.length) parts.push(`after ${list('step', undone)}`)
  const holds = holdsOn(job.copy.card, no).map((hold) => hold.no)
  const unticked = holds.filter((hold) => !job.ticked.has(hold))
  if (unticked.length) parts.push(`${list('hold', unticked)} not ticked`)
  for (const hold of holds) {
    const tick = job.ticked.get(hold)
    const why = tick && !tick.reason ? against(job, hold, verdicts) : ''
    if (why) parts.push(`hold ${hold} stands no longer (${why.replace(/\.$/, '')})`)
  }
  for (const { step, handsOnly } of after) {
    const clock = handsOnly ? null : clockOf(job, step, now)
    if (!clock || clock.state === 'opened') continue
    if (clock.state === 'ready') parts.push(`${named(clock)} is over: look, then tap it`)
    else if (wall) parts.push(`${named(clock)} is ready at ${wall(clock.ready)}`)
    else parts.push(`${named(clock)} has ${Math.ceil(clock.left / MINUTE)} min to go`)
  }
  return parts.length ? `Not yet: ${parts.join('; ')}` : ''
}

/**
 * @param {Job} job
 * @param {number} no
 * @param {Verdicts} verdicts
 * @returns {string} what stands against ticking a hold, '' where nothing does
 */
export function against(job, no, verdicts) {
  const missing = needs(job, no).find((need) => !need.met)
  if (missing) return missing.says
  return verdicts[no] ?? ''
}

/**
 * What a hold asks of the steps before it. No other guard asks anything of them.
 * @param {Job} job
 * @param {number} no
 * @returns {{met: boolean, says: string}[]}
 */
export function needs(job, no) {
  const { card } = job.copy
  const hold = card.holds.find((one) => one.no === no)
  if (!hold) return []
  const earlier = before(card, hold.blocks)
  if (hold.guard === 'support') {
    return card.steps.filter((step) => step.lifts && earlier.has(step.no))
      .map((step) => ({ met: job.done.has(step.no), says: `Not before step ${step.no}: the vehicle is not up.` }))
  }
  if (hold.guard === 'fill-plug-first') {
    return card.steps.filter((step) => step.provesFill)
      .map((step) => ({ met: job.done.has(step.no), says: `Not before step ${step.no}: the fill plug is not out.` }))
  }
  if (hold.guard === 'label-time') {
    return card.steps.filter((step) => earlier.has(step.no)).flatMap((step) => {
      const wait = waitOf(job, step.no)
      if (!wait.label || wait.minutes <= 0) return []
      const says = `Not before ${named({ kind: wait.kind, step: step.no })} is over: the label asks for ${wait.minutes} min.`
      return [{ met: job.opened.has(step.no), says }]
    })
  }
  return []
}
