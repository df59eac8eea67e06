// The service log, newest first: what was done to which unit, by vehicle and unit if wanted. Only what is shown is built.
import * as garage from '../garage.js'
import { fill, h } from '../job/dom.js'
import { newestFirst } from '../lib/entry.js'
import { around } from '../log/around.js'
import { row } from '../log/row.js'
import * as store from '../store.js'

const STEP = 50 // entries built at once

/** @param {HTMLElement} element */
export async function start(element) {
  try {
    await lay(element, new URLSearchParams(location.search))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `The log could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/** @param {HTMLElement} element @param {URLSearchParams} asked */
async function lay(element, asked) {
  const base = document.documentElement.dataset.base ?? './'
  const [jobs, kept, demo, sheets] = await Promise.all([store.jobs(), garage.records(), garage.demo(), garage.sheets()])
  const records = newestFirst(kept)
  const about = { ...await around(records), titles: new Map(jobs.map((job) => [job.id, job])), base }
  const one = asked.get('entry')
  const [list, count] = [h('div', {}), h('p', { class: 'of', role: 'status' })]
  const more = h('button', { type: 'button', class: 'btn line' })
  const told = h('p', { class: 'refused', role: 'alert' })
  let [vehicle, unit, shown] = [asked.get('vehicle') ?? '', asked.get('unit') ?? '', 0]
  const fits = () => records.filter(({ entry }) => (one ? entry.id === one : (!vehicle || entry.vehicle === vehicle) && (!unit || entry.unit === unit)))
  let wanted = fits()
  const grow = () => {
    const from = shown
    shown = Math.min(wanted.length, shown + STEP)
    list.append(...wanted.slice(from, shown).map((record) => row(record, about, Boolean(one))))
    count.textContent = `${wanted.length === 1 ? '1 entry' : `${wanted.length} entries`}${shown < wanted.length ? `, the newest ${shown} shown` : ''}`
    more.textContent = `Show ${Math.min(STEP, wanted.length - shown)} more`
    more.hidden = shown >= wanted.length
    if (from > 0) list.children[from]?.querySelector('summary')?.focus()
  }
  const anew = () => {
    wanted = fits()
    shown = 0
    fill(list)
    grow()
  }
  more.addEventListener('click', grow)
  const logged = [...new Set(records.map(({ entry }) => entry.vehicle))]
  const units = h('select', { id: 'log-unit', onchange: () => {
    unit = units.value
    anew()
  } })
  const unitsOf = () => fill(units, h('option', { value: '' }, 'every unit'), [...new Set(records.filter(({ entry }) => entry.vehicle === vehicle).map(({ entry }) => entry.unit))]
    .map((id) => h('option', { value: id, selected: id === unit }, about.vehicles.get(vehicle)?.units[id]?.title ?? (id || 'whole vehicle'))))
  const vehicles = h('select', { id: 'log-vehicle', onchange: () => {
    vehicle = vehicles.value
    unit = ''
    unitPart.hidden = !vehicle
    unitsOf()
    anew()
  } }, h('option', { value: '' }, 'every vehicle'), logged.map((id) => h('option', { value: id, selected: id === vehicle }, about.vehicles.get(id)?.name ?? id)))
  const unitPart = h('div', { class: 'read', hidden: !vehicle }, h('label', { for: 'log-unit' }, 'Unit'), units)
  unitsOf()

  const turn = h('button', { type: 'button', class: 'btn line', onclick: async () => {
    turn.disabled = true
    try {
      await garage.loadDemoLog(!demo.log)
      history.replaceState(null, '', location.pathname)
      await lay(element, new URLSearchParams())
      element.querySelector('button')?.focus()
    } catch (error) {
      turn.disabled = false
      told.textContent = error instanceof Error ? error.message : String(error)
    }
  } }, demo.log ? 'Take the demo log away' : 'Load the demo log')
  const nag = h('p', { class: 'of', role: 'status' })
  const empty = [h('p', {}, h('b', { class: 'word' }, 'Empty.'), ' Nothing is logged on this phone. A job that is signed off or stopped stands here, and what you log by hand.'),
    h('p', {}, 'Until something is logged, what is due is ', h('b', { class: 'word' }, 'unknown'), '. Unknown is not clear.')]
  const missing = [h('p', { role: 'alert' }, 'This entry is not in the log. It may belong to the demo log, which is not loaded.')]
  fill(element,
    h('a', { class: 'btn', href: `${base}log/add/` }, 'Log an entry'), nag,
    !records.length ? empty : one
      ? [!wanted.length && missing, list, h('a', { class: 'row', href: `${base}log/` }, 'The whole log')]
      : [h('div', { class: 'read' }, h('label', { for: 'log-vehicle' }, 'Vehicle'), vehicles), unitPart, count, list, more],
    h('h2', {}, 'Out of the log'),
    sheets.map(({ id, sheet }) => h('a', { class: 'row', href: `${base}log/history/?vehicle=${encodeURIComponent(id)}` }, `History to print, ${sheet.name}`)),
    h('a', { class: 'row', href: `${base}backup/` }, 'Backup'), h('a', { class: 'row', href: `${base}cards/` }, 'Job cards'),
    demo.log && h('p', { class: 'demo' }, h('b', {}, 'Demo. '), 'The demo log is loaded beside your own entries. It is invented, and is in no backup.'), turn, told)
  grow()
  nag.textContent = await (await import('../backup/nag.js')).nag()
}
