// What has changed on the site since a job took its own copy.
import { fill, h } from './dom.js'

/** @typedef {import('./session.js').Session} Session */

/**
 * Say what the site now has otherwise than the job's own copy.
 * @param {Session} session @param {HTMLElement} element
 * @param {(no: string) => Promise<{card: import('../types.js').Card}>} cardOf
 * @param {(id: string) => Promise<import('../types.js').Vehicle | null>} vehicleOf
 */
export async function changes(session, element, cardOf, vehicleOf) {
  const { card, vehicle, unit } = session.job.copy
  if (session.job.ended) return
  try {
    const [now, garage] = await Promise.all([cardOf(card.no.toLowerCase()), vehicleOf(vehicle.id)])
    /** @type {string[]} */
    const found = []
    if (JSON.stringify(now.card) !== JSON.stringify(card)) found.push(`the card (rev ${card.rev} then, rev ${now.card.rev} now)`)
    if (!garage) found.push('the vehicle (no longer in this browser)')
    const slots = garage ? garage.units[unit.id]?.slots ?? {} : unit.slots
    for (const name of new Set([...Object.keys(unit.slots), ...Object.keys(slots)])) {
      const [was, is] = [unit.slots[name], slots[name]]
      if (was?.main !== is?.main || was?.state !== is?.state) found.push(`${(was ?? is)?.label.toLowerCase()} (${was?.main ?? 'blank'} then, ${is?.main ?? 'blank'} now)`)
    }
    fill(element, found.length > 0 && h('p', {}, h('b', {}, 'Changed since this job began: '), `${found.join('; ')}. This job goes on with its own copy.`))
  } catch {
    // The site's present data are not to be had: the job has all it needs in its own copy.
  }
}
