// What is due, unit by unit, with all that is known of it; one unit drawn over time for those who look rather than read.
import { digest, worked } from '../due/digest.js'
import { dueRow } from '../due/row.js'
import { site } from '../garage.js'
import { fill, h } from '../job/dom.js'
import { counts } from '../lib/duewords.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  const asked = new URLSearchParams(location.search)
  const [vehicleId, unitId] = [asked.get('vehicle'), asked.get('unit')]
  try {
    const { dues, vehicles } = await digest()
    const wanted = dues.filter((one) => (!vehicleId || one.vehicle === vehicleId) && (!unitId || one.unit === unitId))
    const sum = counts(wanted)
    const one = vehicles.find(({ id }) => id === vehicleId)
    const title = document.querySelector('h1')
    if (title && one) title.textContent = unitId ? `${one.short}, ${one.units[unitId] ?? unitId}` : one.name
    fill(element, one?.invented && h('p', { class: 'demo' }, h('b', {}, 'Demo.'), ' This vehicle and its history are invented.'),
      h('p', { class: 'sums' }, `${sum.due} due, ${sum.coming} coming, ${sum.unknown} unknown, ${sum.clear} clear. Unknown is not clear.`),
      vehicles.filter(({ id }) => !vehicleId || id === vehicleId).map((vehicle) => {
        const rows = wanted.filter((each) => each.vehicle === vehicle.id)
        return rows.length > 0 && h('section', { class: 'entry' }, !vehicleId && h('h2', {}, h('a', { href: `${base}due/?vehicle=${vehicle.id}` }, vehicle.name), vehicle.invented && h('span', { class: 'of' }, ' · demo, invented')),
          h('ul', { class: 'plain' }, rows.map((each) => dueRow(each, vehicle, base, true))))
      }),
      !wanted.length && h('p', {}, 'Nothing is kept of this unit.'))
    if (vehicleId && unitId) await drawn(element, vehicleId, unitId, base)
    if (vehicleId) element.append(h('a', { class: 'row', href: `${base}due/` }, 'What is due on every vehicle'))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, h('b', { class: 'word' }, 'Unknown'),
      `. What is due could not be worked out: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/** @param {HTMLElement} element @param {string} vehicleId @param {string} unitId @param {string} base */
async function drawn(element, vehicleId, unitId, base) {
  const [{ dues, vehicles, records, findings, today }, { work }, { timelineOf }, { timeline }, { finding }] = await Promise.all([
    worked(), site(), import('../lib/timeline.js'), import('../due/draw.js'), import('../due/finding.js')])
  const vehicle = vehicles.find(({ id }) => id === vehicleId)
  const unit = vehicle?.units[unitId]
  if (!vehicle || !unit) return
  element.append(timeline(timelineOf(vehicle, unit, dues, records, today, work), today, base),
    ...findings.filter((one) => one.vehicle === vehicleId && one.unit === unitId).map((one) => finding(one, vehicle, base)),
    h('a', { class: 'row', href: `${base}log/add/?vehicle=${encodeURIComponent(vehicleId)}&unit=${encodeURIComponent(unitId)}` }, 'Log something for this unit'),
    h('a', { class: 'row', href: `${base}log/?vehicle=${encodeURIComponent(vehicleId)}&unit=${encodeURIComponent(unitId)}` }, 'Its log'))
}
