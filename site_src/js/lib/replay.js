// Events in, the standing of the job out. What happened is taken as it was written: whether it may happen is asked
// before it is written, in permit.js.
import { waitOf } from './clock.js'
import { behind } from './graph.js'

/** @typedef {import('../types').Event} Event */
/** @typedef {import('../types').Copy} Copy */
/** @typedef {import('../types').Reading} Reading */

/**
 * `at` is the phone's clock when it happened; `steady` is the same moment on a clock that nobody moves (clock.js).
 * @typedef {{at: number, steady: number}} Moment
 * @typedef {{
 *   done: [number, Moment][], opened: [number, Moment & {early: number}][],
 *   ticked: [number, Moment & {reason: string}][], bolts: Record<number, number>,
 * }} Had what an undo took away, so that it can be put back with its own times
 * @typedef {{
 *   id: string, copy: Copy, option: string, began: number, odometer: Reading, why: string,
 *   readings: Record<string, Reading>, readAt: Record<string, number>,
 *   done: Map<number, Moment>,
 *   ticked: Map<number, Moment & {reason: string}>,
 *   opened: Map<number, Moment & {early: number}>,
 *   label: Record<number, number>, relabelled: {at: number, step: number, from: number, to: number}[], bolts: Record<number, number>, threads: Record<string, string>,
 *   notes: {at: number, step: number, text: string}[],
 *   photos: {at: number, step: number, photo: string, width: number, height: number, bytes: number}[],
 *   shift: number, clocks: {at: number, by: number, counted: boolean}[],
 *   undone: {id: string, at: number, steps: number[], holds: number[], back: boolean, had: Had}[],
 *   lastUndone: string, resting: string, ended: '' | 'signed' | 'stopped',
 *   entry: import('../types').Entry | null, followUps: import('../types').FollowUp[], defect: string,
 *   count: number, lastAt: number, lastSteady: number, zone: number,
 * }} Job
 */

/**
 * @param {Event[]} events of one job, in any order; the first by number is its `begin`
 * @returns {Job} times in epoch milliseconds
 * @throws {RangeError} when there is no `begin`, or an event is of a kind that this version does not know
 */
export function replay(events) {
  const ordered = [...events].sort((a, b) => a.seq - b.seq)
  const first = ordered[0]
  if (!first || first.kind !== 'begin') {
    throw new RangeError(`a job starts with begin; got ${first ? `${first.kind} as number ${first.seq}` : 'no events'}`)
  }
  const job = begun(first)
  for (const event of ordered) apply(job, event)
  return job
}

/**
 * @param {Extract<Event, {kind: 'begin'}>} event
 * @returns {Job}
 */
function begun({ job: id, at, zone, data }) {
  return {
    id, copy: data.copy, option: data.copy.option, began: at, odometer: data.odometer, why: data.why,
    readings: { ...data.readings }, readAt: Object.fromEntries(Object.keys(data.readings).map((field) => [field, at])),
    done: new Map(), ticked: new Map(), opened: new Map(),
    label: { ...data.copy.label }, relabelled: [], bolts: {}, threads: {}, notes: [], photos: [],
    shift: 0, clocks: [], undone: [], lastUndone: '', resting: '', ended: '', entry: null, followUps: [], defect: '',
    count: 0, lastAt: at, lastSteady: at, zone,
  }
}

/**
 * @param {Job} job changed in place
 * @param {Event} event
 */
function apply(job, event) {
  if (event.kind === 'clock') {
    job.clocks.push({ at: event.at, ...event.data })
    if (!event.data.counted) job.shift += event.data.by
  }
  const at = event.at
  const moment = { at, steady: at - job.shift }
  job.count += 1
  job.lastAt = at
  job.lastSteady = moment.steady
  job.zone = event.zone
  // A moved clock takes nothing from an undo; whatever else happens makes it final.
  if (event.kind !== 'clock' && event.kind !== 'put-back') job.lastUndone = ''
  switch (event.kind) {
    case 'begin': case 'clock':
      break
    case 'done':
      job.done.set(event.data.step, moment)
      break
    case 'undone':
      takeBack(job, event)
      break
    case 'put-back':
      putBack(job, event.data.undone)
      break
    case 'hold':
      job.ticked.set(event.data.hold, { ...moment, reason: '' })
      break
    case 'override':
      job.ticked.set(event.data.hold, { ...moment, reason: event.data.reason })
      break
    case 'opened':
      job.opened.set(event.data.step, { ...moment, early: event.data.early })
      break
    case 'label': {
      const { step, minutes } = event.data
      // One typed before the bead was laid changes nothing that ran.
      if (job.done.has(step)) job.relabelled.push({ at, step, from: waitOf(job, step).minutes, to: minutes })
      job.label[step] = minutes
      break
    }
    case 'read':
      if (event.data.reading) {
        job.readings[event.data.field] = event.data.reading
        job.readAt[event.data.field] = at
      } else {
        delete job.readings[event.data.field]
        delete job.readAt[event.data.field]
      }
      break
    case 'bolt':
      job.bolts[event.data.step] = event.data.tap
      break
    case 'unbolt':
      job.bolts[event.data.step] = event.data.tap - 1
      break
    case 'threads':
      job.threads[event.data.role] = event.data.state
      break
    case 'note':
      job.notes.push({ at, ...event.data })
      break
    case 'photo':
      job.photos.push({ at, ...event.data })
      break
    case 'rest':
      job.resting = event.data.note
      break
    case 'resume':
      job.resting = ''
      break
    case 'stopped':
      Object.assign(job, { ended: 'stopped', entry: event.data.entry, defect: event.data.defect, resting: '' })
      break
    case 'signed':
      Object.assign(job, { ended: 'signed', entry: event.data.entry, followUps: event.data.followUps })
      break
    default: {
      const unknown = /** @type {Event} */ (event)
      throw new RangeError(`event ${unknown.seq} is of the kind ${unknown.kind}, which this version does not know: reload the page`)
    }
  }
}

/**
 * @param {Job} job
 * @param {Extract<Event, {kind: 'undone'}>} event
 */
function takeBack(job, { id, at, data: { steps, holds } }) {
  // Bolts tightened on a step that rests on one taken back are loose again. The step itself keeps its count: a tick
  // taken back by a slip of the thumb does not loosen a bolt.
  const behindThem = behind(job.copy.card, steps)
  const loose = Object.entries(job.bolts).filter(([step]) => behindThem.has(Number(step)))
  const among = (/** @type {number[]} */ list) => (/** @type {[number, any]} */ [no]) => list.includes(no)
  const had = {
    done: [...job.done].filter(among(steps)), opened: [...job.opened].filter(among(steps)),
    ticked: [...job.ticked].filter(among(holds)), bolts: Object.fromEntries(loose),
  }
  for (const no of steps) {
    job.done.delete(no)
    job.opened.delete(no)
  }
  for (const no of holds) job.ticked.delete(no)
  for (const [step] of loose) delete job.bolts[Number(step)]
  job.undone.push({ id, at, steps, holds, back: false, had })
  job.lastUndone = id
}

/**
 * @param {Job} job
 * @param {string} id of the undo
 */
function putBack(job, id) {
  job.lastUndone = ''
  const found = job.undone.find((one) => one.id === id)
  if (!found) return
  found.back = true
  for (const [no, moment] of found.had.done) job.done.set(no, moment)
  for (const [no, moment] of found.had.opened) job.opened.set(no, moment)
  for (const [no, moment] of found.had.ticked) job.ticked.set(no, moment)
  Object.assign(job.bolts, found.had.bolts)
}
