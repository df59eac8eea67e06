// The history of one vehicle, for a buyer or a glove box: on the screen as it prints.
import * as garage from '../garage.js'
import { fill, h } from '../job/dom.js'
import { newestFirst } from '../lib/entry.js'
import { around } from '../log/around.js'
import { entries, fillings, foot, head, tyres } from '../log/book.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const asked = new URLSearchParams(location.search).get('vehicle')
    const sheets = await garage.sheets()
    const id = asked ?? (sheets.length === 1 ? sheets[0]?.id : null)
    if (!id) {
      return fill(element, h('h1', {}, 'History'), h('p', {}, 'Of which vehicle?'),
        sheets.map((one) => h('a', { class: 'row', href: `?vehicle=${encodeURIComponent(one.id)}` }, one.sheet.name)))
    }
    const [vehicle, found, all] = await Promise.all([garage.vehicle(id), garage.sheet(id), garage.records()])
    if (!vehicle || !found) {
      return fill(element, h('h1', {}, 'History'), h('p', { role: 'alert' }, `No vehicle ‘${id}’ is kept here. Its entries stay in the log.`), h('a', { class: 'row', href: `${base}log/` }, 'Service log'))
    }
    const records = newestFirst(all.filter(({ entry }) => entry.vehicle === id)).reverse()
    const number = new Map(records.map((record, index) => [record.id, index + 1]))
    const about = await around(records, (entry) => `entry ${number.get(entry)}`)
    document.title = `History ${vehicle.name}`
    fill(element,
      h('h1', {}, `${vehicle.name}: service history`),
      vehicle.invented && h('p', { class: 'demo' }, h('b', {}, 'Demo. '), about.site.demoNote),
      h('button', { type: 'button', class: 'btn screen', onclick: () => print() }, 'Print the history'),
      head(vehicle, found.sheet, records),
      h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Tyres' }, tyres(vehicle)),
      h('h2', {}, 'What goes in'), fillings(vehicle, about.site),
      h('h2', {}, 'Entries, oldest first'),
      records.length ? entries(records, vehicle, about) : h('p', {}, 'Nothing is logged for this vehicle. That is ', h('b', { class: 'word' }, 'unknown'), ', not clear.'),
      foot(about.site, vehicle), h('a', { class: 'row', href: `${base}log/` }, 'Service log'))
  } catch (error) {
    fill(element, h('h1', {}, 'History'), h('p', { role: 'alert' }, `The history could not be made: ${error instanceof Error ? error.message : String(error)}`))
  }
}
