// One open job: its events, what they come to, and whether they are saved. Everything that happens goes through `act`.
import { permit, replay, view } from '../lib/job.js'
import { verdicts, worksOf } from '../lib/judge.js'
import * as store from '../store.js'
import { calculators } from '../data/judging.js'
import { writeDown } from './reads.js'
import { steady } from './steady.js'
import { wall } from './words.js'

/** @typedef {import('../types.js').Event} Event */
/** @typedef {import('../lib/job.js').Job} Job */
/** @typedef {import('../lib/job.js').View} View */
/** @typedef {{kind: 'saved' | 'saving' | 'not', says: string, at: number}} Saved */

const FIRST = 12 // ms that the drawing waits for the store at most

export const works = worksOf(/** @type {any} */ (calculators))

export class Session {
  /** @param {string} id @param {Event[]} events @param {number} [kept] how many of them are stored */
  constructor(id, events, kept = events.length) {
    this.id = id
    /** @type {Event[]} */
    this.events = events
    this.telling = false
    /** Called when what is saved has changed, and nothing else. @type {() => void} */
    this.onSaved = () => {}
    this.kept = kept
    /** Why this tab may not write, '' where it may. */
    this.closed = ''
    /** @type {Saved} */
    this.saved = { kind: kept < events.length ? 'saving' : 'saved', says: '', at: events.at(-1)?.at ?? 0 }
    /** @type {Set<() => void>} */
    this.listeners = new Set()
    /** @type {Promise<void>} */
    this.writing = Promise.resolve()
    /** @type {Job} */
    this.job = replay(events)
    /** @type {import('../lib/job.js').Verdicts} */
    this.verdicts = verdicts(this.job, works)
    /** @type {View} */
    this.view = this.look()
  }

  think() {
    this.job = replay(this.events)
    this.verdicts = verdicts(this.job, works)
    this.look()
  }

  /** What stands open now; the clock moves it. @returns {View} */
  look() {
    return (this.view = view(this.job, Date.now(), this.verdicts, wall))
  }

  /** @param {() => void} listener */
  onChange(listener) {
    this.listeners.add(listener)
  }

  /**
   * Draw anew, once for all that happened. What is to be stored goes first: drawing takes many times as long, and what
   * is stored would have to wait for it to be called so.
   */
  tell() {
    if (this.telling) return
    this.telling = true
    const draw = () => {
      this.telling = false
      steady(() => {
        for (const listener of this.listeners) listener()
      })
    }
    const soon = () => (document.hidden ? setTimeout(draw) : requestAnimationFrame(draw))
    void Promise.race([this.writing, new Promise((resolve) => setTimeout(resolve, FIRST))]).then(soon)
  }

  /** @param {string} kind @param {unknown} data @returns {string} '' or why it may not be done now */
  may(kind, data) {
    if (this.closed) return this.closed
    return permit(this.job, /** @type {Event['kind']} */ (kind), /** @type {any} */ (data), Date.now(), this.verdicts, wall)
  }

  /**
   * Do one thing: on the screen at once, and stored right after.
   * @param {Event['kind']} kind @param {unknown} data @param {Parameters<typeof store.append>[3]} [extra]
   * @returns {string} '' or why it was refused
   */
  act(kind, data, extra) {
    if (kind !== 'read') writeDown()
    const why = this.may(kind, data)
    if (why) return why
    const at = Date.now()
    this.events.push(/** @type {Event} */ ({
      id: store.newId(), job: this.id, seq: this.events.length + 1, at, zone: -new Date(at).getTimezoneOffset(), kind, data,
    }))
    this.think()
    this.keep(extra)
    return ''
  }

  /** Store what is not stored yet, in order. @param {Parameters<typeof store.append>[3]} [extra] @returns {Promise<void>} */
  keep(extra) {
    this.saved = { kind: this.saved.kind === 'not' ? 'not' : 'saving', says: this.saved.says, at: this.saved.at }
    this.writing = this.writing.then(async () => {
      const waiting = this.events.slice(this.kept)
      if (!waiting.length) return
      try {
        await store.append(this.id, waiting, summary(this.job), extra)
        this.kept += waiting.length
        const more = this.kept < this.events.length
        const bad = this.saved.kind === 'not'
        this.saved = { kind: more ? 'saving' : 'saved', says: '', at: Date.now() }
        if (!bad) return this.onSaved()
      } catch (error) {
        const says = error instanceof Error && 'says' in error ? String(error.says) : String(error)
        this.saved = { kind: 'not', says, at: this.saved.at }
      }
      this.tell()
    })
    this.tell()
    return this.writing
  }

  /** Read again what another tab has stored. What is not saved here stays on the page, to be given out. */
  async again() {
    if (this.kept < this.events.length) return
    this.events = await store.events(this.id)
    this.kept = this.events.length
    this.think()
    this.tell()
  }
}

/** @param {Job} job @returns {Parameters<typeof store.append>[2]} */
export function summary(job) {
  const { card, vehicle, unit } = job.copy
  return {
    id: job.id, card: card.no, title: card.title, vehicle: vehicle.name, unit: unit.id, unitTitle: unit.title,
    began: job.began, last: job.lastAt, state: job.ended || (job.resting ? 'resting' : 'open'), count: job.count,
  }
}
