// The history of a vehicle for paper: what it is, what goes in, every entry with its number. Nothing is left out.
import { h } from '../job/dom.js'
import { day } from '../job/words.js'
import { erasOf, metresBetween, shownBy, trackOf } from '../lib/eras.js'
import { distance, knownOf } from '../lib/odometer.js'
import { format } from '../lib/quantity.js'
import { facts, odometerOf, unitOf, workOf } from './facts.js'

/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {import('../types.js').Unit} Unit */
/** @typedef {import('../types.js').LogRecord} LogRecord */
/** @typedef {import('./around.js').Around} Around */

/** Nothing is poured into these. */
const DRY = ['vehicle', 'wheels', 'battery', 'belt']

/** @param {string} label @param {string} words */
const cell = (label, words) => h('div', {}, h('dt', {}, label), h('dd', {}, words || 'unknown'))

/** @param {string} state @returns {HTMLElement | false} with a solid rule where it is verified, a dashed one else */
const marked = (state) => state !== '' && h('span', { class: state === 'verified' ? 'state' : 'state un' }, state)

/** @param {Vehicle} vehicle @param {import('../types.js').Sheet} sheet @param {LogRecord[]} records oldest first */
export function head(vehicle, sheet, records) {
  const { unit, digits, reading, asOf, rollovers } = vehicle.odometer
  const last = knownOf(vehicle, records).at(-1) ?? { value: reading, date: asOf }
  const over = rollovers ? `, rolled over ${rollovers === 1 ? 'once' : `${rollovers} times`}` : ''
  return h('dl', { class: 'head' }, cell('Vehicle', `${vehicle.name}${vehicle.invented ? ', demo' : ''}`), cell('Model year', sheet.model_year ? String(sheet.model_year) : ''),
    cell('Odometer, last known', `${distance(last.value, unit)}, ${last.date}`), cell('Odometer counts', `${digits} digits, ${unit}${over}`),
    cell('Use', vehicle.severityEras.at(-1)?.use ?? vehicle.severity), cell('Entries', String(records.length)),
    cell('From, to', records.length ? `${records[0]?.entry.date}, ${records.at(-1)?.entry.date}` : 'none'), cell('Printed', day(Date.now())))
}

/** @param {Vehicle} vehicle @returns {HTMLElement} every tyre era with its factor, since true distance rests on it */
export const tyres = (vehicle) => h('table', { class: 'data' },
  h('thead', {}, h('tr', {}, ['Tyres', 'Since', 'True per indicated distance'].map((text) => h('th', { scope: 'col' }, text)))),
  h('tbody', {}, vehicle.tyreEras.map((era) => h('tr', {}, h('th', { scope: 'row' }, era.size),
    h('td', {}, `${distance(era.since, vehicle.odometer.unit)}${era.sinceDate ? `, ${era.sinceDate}` : ''}`),
    h('td', {}, `${format(era.factor, 5)} `, marked(era.state))))))

/** @param {Unit} unit @param {import('../types.js').SiteData} site @returns {HTMLElement} what goes into a unit, each figure with state and source */
function filling(unit, site) {
  const slots = Object.entries(unit.slots).filter(([name]) => name.startsWith('fill.') || name === 'fluid.name' || name === 'level.rule')
  return h('tr', {}, h('th', { scope: 'row' }, unit.title, h('small', {}, unit.code)), h('td', {}, slots.length ? slots.map(([name, slot]) => h('p', {},
    `${name === 'fluid.name' ? 'Fluid' : slot.label}: `, h('b', {}, [slot.main, slot.also].filter(Boolean).join(name.startsWith('fill.') ? ' / ' : ' ')), ' ',
    marked(slot.state), slot.origin && ` ${slot.origin}`, (unit.fills[name.replace('fill.', '')]?.rivals ?? []).map(({ typed, source, lost }) =>
      ['; other value ', lost ? h('s', {}, typed) : h('b', {}, typed), ` ${site.sources[source] ?? source}`]))) : h('b', { class: 'word' }, 'unknown')))
}

/** @param {Vehicle} vehicle @param {import('../types.js').SiteData} site @returns {HTMLElement} */
export const fillings = (vehicle, site) => h('table', { class: 'data' },
  h('thead', {}, h('tr', {}, h('th', { scope: 'col' }, 'Unit'), h('th', { scope: 'col' }, 'What goes in, its state and source'))),
  h('tbody', {}, Object.values(vehicle.units).filter((unit) => !DRY.includes(unit.kind) || Object.keys(unit.fills).length).map((unit) => filling(unit, site))))

/**
 * @param {LogRecord[]} records of one vehicle, oldest first; their place here is their number
 * @param {Vehicle} vehicle @param {Around} around
 * @returns {HTMLElement[]}
 */
export function entries(records, vehicle, around) {
  const number = new Map(records.map(({ id }, index) => [id, index + 1]))
  const eras = erasOf(vehicle)
  const { laps } = trackOf(vehicle, records.filter(({ id }) => !around.by.has(id)).map(({ entry }) => entry))
  return records.map((record) => {
    const { entry } = record
    const newer = around.by.get(entry.id)
    const [shown, lap] = [shownBy(entry.odometer, vehicle.odometer.unit), laps.get(entry.id)]
    const km = entry.trueKm ?? (shown !== null && lap !== undefined ? metresBetween(eras, 0, shown + lap) / 1000 : null)
    const line = `${entry.date} · ${odometerOf(entry)}${km === null ? '' : ` · true ${distance(km, 'km')}`} · ${workOf(entry, around.site)} · ${unitOf(entry, vehicle)}`
    return h('section', { class: 'entry', 'data-entry': entry.id },
      h('h3', {}, `${number.get(entry.id)} · `, newer ? h('s', {}, line) : line),
      newer && h('p', {}, h('b', {}, 'Replaced'), ` by entry ${number.get(newer.id) ?? '?'}, ${newer.date}. It counts for nothing else.`),
      entry.replaces && h('p', {}, h('b', {}, 'Corrects'), ` entry ${number.get(entry.replaces) ?? 'not in this log'}.`),
      h('p', {}, entry.demo && [h('b', {}, 'Demo, invented.'), ' '], facts(record, vehicle, around.named, around.looks(entry.id)).map(([label, words]) => [h('b', {}, `${label}: `), `${words.replace(/[.\s]+$/, '')}. `])),
      entry.job && !entry.finished && h('p', {}, h('b', {}, 'Stopped, carried forward.')))
  })
}

/** @param {import('../types.js').SiteData} site @param {Vehicle} vehicle @returns {HTMLElement[]} */
export const foot = (site, vehicle) => [
  h('p', {}, 'Entries are only added, never changed or taken away: a correction is an entry of its own. Odometer as indicated; true distance is worked out from it and the tyres above. ',
    'Litres of an entry are as measured that day.'),
  h('p', { class: 'notice-line' }, `${site.notice} ${vehicle.invented ? site.demoNote : ''} Values as of ${site.valuesAsOf}.`),
]
