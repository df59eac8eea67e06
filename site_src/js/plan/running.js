// Jobs of the plan that have begun: what is done of them, and which of their waits still run.
import * as store from '../store.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {{done: number[], left: Record<number, number>, open: string, option: string, label: Record<number, number>}} Begun
 *   `open` its id; it goes by the choice and the labels that it began with */

/** @param {Job[]} jobs @returns {Promise<Map<string, Begun>>} by the plan's own ids */
export async function begun(jobs) {
  /** @type {Map<string, Begun>} */
  const found = new Map()
  const open = (await store.jobs()).filter(({ state }) => state === 'open' || state === 'resting')
  if (!open.length) return found
  const [{ clocksOf, MINUTE }, { replay }] = await Promise.all([import('../lib/clock.js'), import('../lib/replay.js')])
  for (const { id } of open) {
    const events = await store.events(id)
    if (!events.length) continue
    const job = replay(events)
    const mine = jobs.find(({ chosen }) => chosen.no === job.copy.card.no && chosen.vehicle === job.copy.vehicle.id && chosen.unit === job.copy.unit.id)
    if (!mine) continue
    const now = Date.now()
    const left = Object.fromEntries(clocksOf(job, now).filter(({ state }) => state === 'running').map((one) => [one.step, Math.ceil(one.left / MINUTE)]))
    found.set(mine.id, { done: [...job.done.keys()], left, open: id, option: job.option, label: job.label })
  }
  return found
}
