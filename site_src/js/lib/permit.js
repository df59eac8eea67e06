// Whether an event may be written. Every kind is asked for here, and what is refused is refused in words.
import { clockOf, MINUTE, named, waitOf } from './clock.js'
import { holdOf, stepOf } from './graph.js'
import { plan } from './tighten.js'
import { fall } from './undo.js'
import { against, finished, halted, notYet } from './view.js'

/** @typedef {import('./replay.js').Job} Job */
/** @typedef {import('./view.js').Verdicts} Verdicts */
/** @typedef {import('../types').Event} Event */
/** @typedef {Event['kind']} Kind */
/**
 * @template {Kind} K
 * @typedef {Extract<Event, {kind: K}>['data']} Data
 */
/** @typedef {{now: number, verdicts: Verdicts, wall: import('./view.js').Wall | undefined}} Around */

/** These can hurt or ruin whatever the reason, so no reason passes them. */
export const NEVER = ['support', 'fill-plug-first', 'label-time', 'cold', 'energy', 'firm', 'locked']
const THREADS = ['dry', 'oiled', 'anti-seize', 'sealant', 'new-plated', 'unknown']
const REASON = 8
/** A fortnight: no label asks for more. */
const LONGEST = 20_160
/** What a resting job still takes. */
const AT_REST = ['resume', 'clock', 'note', 'photo', 'stopped']

/**
 * @template {Kind} K
 * @param {Job} job
 * @param {K} kind
 * @param {Data<K>} data
 * @param {number} now epoch milliseconds by the phone's clock
 * @param {Verdicts} verdicts
 * @param {import('./view.js').Wall} [wall] writes a time; without it the minutes to go are told
 * @returns {string} '' where the event may be written, else why not
 */
export function permit(job, kind, data, now, verdicts, wall) {
  if (job.ended) return halted(job)
  if (job.resting && !AT_REST.includes(kind)) return halted(job)
  const rule = RULES[kind]
  return rule ? rule(job, data, { now, verdicts, wall }) : `This version knows no event of the kind ${kind}.`
}

/** @type {{[K in Kind]: (job: Job, data: Data<K>, around: Around) => string}} */
const RULES = {
  begin: () => 'The job has begun already.',
  done(job, { step }, { now, verdicts, wall }) {
    if (!stepOf(job.copy.card, step)) return noStep(step)
    if (job.done.has(step)) return `Step ${step} is done already.`
    return notYet(job, step, now, verdicts, wall)
  },
  undone(job, { steps, holds }) {
    const away = [...steps.filter((no) => !job.done.has(no)), ...holds.filter((no) => !job.ticked.has(no))]
    if (away.length) return 'Only what is done or ticked can be taken back.'
    if (!steps.length && !holds.length) return 'There is nothing to take back.'
    const all = fall(job, steps, holds)
    const missing = all.steps.length - new Set(steps).size + all.holds.length - new Set(holds).size
    return missing ? `What rests on it must go too: steps ${all.steps.join(', ') || 'none'}; holds ${all.holds.join(', ') || 'none'}.` : ''
  },
  'put-back': (job, { undone }) =>
    undone && undone === job.lastUndone ? '' : 'Too late to put it back: something else was done since.',
  hold(job, { hold }, { verdicts }) {
    if (!holdOf(job.copy.card, hold)) return noHold(hold)
    if (job.ticked.has(hold)) return `Hold ${hold} is ticked already.`
    return against(job, hold, verdicts)
  },
  override(job, { hold, reason }, { verdicts }) {
    const found = holdOf(job.copy.card, hold)
    if (!found) return noHold(hold)
    if (found.guard === 'label-time') return `Hold ${hold} cannot be passed: a label time is never shortened.`
    if (NEVER.includes(found.guard)) return `Hold ${hold} cannot be passed with a reason. Do what it asks, or stop the job.`
    const tick = job.ticked.get(hold)
    if (tick?.reason) return `Hold ${hold} is passed already.`
    if (tick && !against(job, hold, verdicts)) return `Hold ${hold} is ticked already.`
    return reason.trim().length < REASON ? `Type the reason, at least ${REASON} letters.` : ''
  },
  opened(job, { step, early }, { now, wall }) {
    const clock = clockOf(job, step, now)
    if (!clock) return `No wait runs after step ${step}.`
    if (clock.state === 'opened') return `The wait of step ${step} is over already.`
    if (!clock.left) return early === 0 ? '' : `The time has passed: it is opened 0 min early, not ${early}.`
    const until = wall ? `is ready at ${wall(clock.ready)}` : `has ${Math.ceil(clock.left / MINUTE)} min to go`
    if (clock.label) return `Not yet: ${named(clock)} ${until}. A label time is never shortened.`
    const left = Math.ceil(clock.left / MINUTE)
    // A minute may pass between the tap and the asking.
    return early >= 1 && Math.abs(early - left) <= 1 ? '' : `${capital(named(clock))} ${until}: opened now it is ${left} min early, not ${early}.`
  },
  label(job, { step, minutes }) {
    if (!stepOf(job.copy.card, step)) return noStep(step)
    if (!waitOf(job, step).label) return `No label time follows step ${step}.`
    if (!(Number.isFinite(minutes) && minutes >= 1 && minutes <= LONGEST)) {
      return `Type the minutes on the label, from 1 to ${LONGEST}; got ${minutes}.`
    }
    return job.opened.has(step) ? `The wait of step ${step} is over. Take the step back first, then type the time.` : ''
  },
  read(job, { field, reading }) {
    const cards = [job.copy.card, ...Object.values(job.copy.subs)]
    const found = cards.flatMap((card) => card.record).find((one) => one.id === field)
    if (!found) return `The card has no field ${field}.`
    if (!reading) return ''
    if (found.kind === 'text') return ''
    if (found.kind === 'pick') {
      const words = found.options.map((one) => one.word)
      return words.includes(reading.typed) ? '' : `${found.label}: pick one of ${words.join(', ')}; got ${reading.typed}.`
    }
    const value = reading.si
    if (value === null || !Number.isFinite(value)) return `${found.label}: type a number; got ${reading.typed}.`
    if (found.kind !== 'count') return ''
    return Number.isInteger(value) && value >= 0 ? '' : `${found.label}: count whole ones, 0 or more; got ${reading.typed}.`
  },
  bolt(job, { step, tap }, { now, verdicts, wall }) {
    const found = stepOf(job.copy.card, step)
    if (!found) return noStep(step)
    if (!found.tightens) return `Nothing is tightened at step ${step}.`
    const fastener = job.copy.unit.fasteners[found.tightens]
    if (!fastener) return `How many bolts the ${found.tightens} has is not known. Tighten by the manual and tick the step.`
    if (job.done.has(step)) return `Step ${step} is done already.`
    const counted = job.bolts[step] ?? 0
    const taps = plan(fastener, found.part)
    const next = taps[counted]
    if (!next) return `All ${taps.length} taps of step ${step} are counted.`
    // One tap, or all that are left of the stage at hand.
    const end = counted + taps.slice(counted).filter((one) => one.stage === next.stage).length
    if (tap !== counted + 1 && tap !== end) return `Tap ${counted + 1} is next at step ${step}, or ${end} for the whole stage; got ${tap}.`
    return notYet(job, step, now, verdicts, wall)
  },
  unbolt(job, { step, tap }) {
    const counted = job.bolts[step] ?? 0
    if (job.done.has(step)) return `Step ${step} is done. Take it back first.`
    if (!counted) return `No tap is counted at step ${step}.`
    return tap === counted ? '' : `Tap ${counted} is the last at step ${step}; got ${tap}.`
  },
  threads(job, { role, state }) {
    if (!job.copy.unit.fasteners[role] && !job.copy.card.torque.includes(role)) return `The card tightens no ${role}.`
    return THREADS.includes(state) ? '' : `The state of a thread is one of ${THREADS.join(', ')}; got ${state}.`
  },
  note(job, { step, text }) {
    if (step && !stepOf(job.copy.card, step)) return noStep(step)
    return text.trim() ? '' : 'Type the note.'
  },
  photo(job, { step, photo }) {
    if (step && !stepOf(job.copy.card, step)) return noStep(step)
    return photo ? '' : 'There is no photo.'
  },
  clock(_job, { by, counted }) {
    if (!Number.isInteger(by) || !by) return `A clock moves by whole milliseconds, not by ${by}.`
    return counted && by < 0 ? 'A clock set back counts no time.' : ''
  },
  rest: (_job, { note }) => (note.trim() ? '' : 'Write where you stopped and what stands open.'),
  resume: (job) => (job.resting ? '' : 'The job is not resting.'),
  stopped: (_job, { defect }) => (defect.trim() ? '' : 'Write the defect note: what stopped the job.'),
  signed(job, _data, { verdicts }) {
    if (!finished(job)) {
      const open = job.copy.card.steps.filter(({ no }) => !job.done.has(no)).map(({ no }) => no)
      if (open.length) return `Not yet: ${open.length > 1 ? 'steps' : 'step'} ${open.join(', ')} not done.`
      const waits = job.copy.card.steps.filter(({ no }) => waitOf(job, no).minutes > 0 && !job.opened.has(no))
      return `Not yet: ${waits.map(({ no }) => `${named({ kind: waitOf(job, no).kind, step: no })} not opened`).join('; ')}.`
    }
    const lost = job.copy.card.holds.find(({ no }) => !job.ticked.get(no)?.reason && against(job, no, verdicts))
    return lost ? `Hold ${lost.no} stands no longer. ${against(job, lost.no, verdicts)}` : ''
  },
}

/** @param {number} step */
const noStep = (step) => `The card has no step ${step}.`
/** @param {number} hold */
const noHold = (hold) => `The card has no hold ${hold}.`
/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1)
