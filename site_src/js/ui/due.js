// What is due, unit by unit, with all that is known of it; one unit drawn over time for those who look rather than read.
import { digest } from '../due/digest.js'
import { dueRow, unreadLine } from '../due/row.js'
import { fill, h } from '../job/dom.js'
import { counts } from '../lib/duewords.js'
import { keepGlance } from '../store/glance.js'

/** @typedef {import('../types.js').Due} Due */
/** @typedef {import('../due/digest.js').Named} Named */

const SCREEN = 8 // rows drawn in one go
const GLANCE = 4 // rows that a first frame has room for

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  const asked = new URLSearchParams(location.search)
  const [vehicleId, unitId] = [asked.get('vehicle'), asked.get('unit')]
  try {
    const { dues, vehicles, unread } = await digest(element)
    const wanted = dues.filter((one) => (!vehicleId || one.vehicle === vehicleId) && (!unitId || one.unit === unitId))
    const sum = counts(wanted)
    const one = vehicles.find(({ id }) => id === vehicleId)
    const title = document.querySelector('h1')
    if (title && one) title.textContent = unitId ? `${one.short}, ${one.units[unitId] ?? unitId}` : one.name
    fill(element, one?.invented && h('p', { class: 'demo' }, h('b', {}, 'Demo.'), ' This vehicle and its history are invented.'),
      h('p', { class: 'sums' }, `${sum.due} due, ${sum.coming} coming, ${sum.unknown} unknown, ${sum.clear} clear. Unknown is not clear.`),
      unreadLine(unread), !wanted.length && h('p', {}, 'Nothing is kept of this unit.'))
    await list(element, wanted, vehicles.filter(({ id }) => !vehicleId || id === vehicleId), !vehicleId, base)
    if (vehicleId && unitId) await drawn(element, vehicleId, unitId, base)
    if (vehicleId) element.append(h('a', { class: 'row', href: `${base}due/` }, 'What is due on every vehicle'))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, h('b', { class: 'word' }, 'Unknown'),
      `. What is due could not be worked out: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/**
 * What fits the screen first; hundreds of rows more come after it has been painted, a screen at a time.
 * @param {HTMLElement} element @param {Due[]} dues @param {Named[]} vehicles @param {boolean} headed @param {string} base
 */
async function list(element, dues, vehicles, headed, base) {
  let drawn = 0
  for (const vehicle of vehicles) {
    const rows = dues.filter((one) => one.vehicle === vehicle.id)
    if (!rows.length) continue
    const plain = h('ul', { class: 'plain' })
    element.append(h('section', { class: 'entry' }, headed && h('h2', {}, h('a', { href: `${base}due/?vehicle=${encodeURIComponent(vehicle.id)}` }, vehicle.name),
      vehicle.invented && h('span', { class: 'of' }, ' · demo, invented')), plain))
    for (const one of rows) {
      plain.append(dueRow(one, vehicle, base, true))
      drawn += 1
      if (drawn === GLANCE) keepGlance(element)
      if (drawn % SCREEN === 0) await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)))
    }
  }
  if (drawn < GLANCE) keepGlance(element)
}

/** @param {HTMLElement} element @param {string} vehicleId @param {string} unitId @param {string} base */
async function drawn(element, vehicleId, unitId, base) {
  const [{ worked }, { timelineOf }, { timeline }, { finding }] = await Promise.all([
    import('../due/worked.js'), import('../lib/timeline.js'), import('../due/draw.js'), import('../due/finding.js')])
  const { dues, vehicles, records, findings, today, work } = await worked()
  const vehicle = vehicles.find(({ id }) => id === vehicleId)
  const unit = vehicle?.units[unitId]
  if (!vehicle || !unit) return
  element.append(timeline(timelineOf(vehicle, unit, dues, records, today, work), today, base),
    ...findings.filter((one) => one.vehicle === vehicleId && one.unit === unitId).map((one) => finding(one, vehicle, base)),
    h('a', { class: 'row', href: `${base}log/add/?vehicle=${encodeURIComponent(vehicleId)}&unit=${encodeURIComponent(unitId)}` }, 'Log something for this unit'),
    h('a', { class: 'row', href: `${base}log/?vehicle=${encodeURIComponent(vehicleId)}&unit=${encodeURIComponent(unitId)}` }, 'Its log'))
}
