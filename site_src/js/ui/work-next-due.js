// The page of the next due: one unit, its last change and its interval, reckoned as the log reckons it.
import { dayOf } from '../lib/calendar.js'
import { due } from '../lib/due.js'
import { grouped, sentences } from '../lib/duewords.js'
import { METRES, trueMetres } from '../lib/eras.js'
import { day } from '../job/words.js'
import { fromSi } from '../lib/quantity.js'
import { fieldOf, picked, told, unitIn, workForm } from '../reckon/form.js'
import { unitOf } from './field.js'

/** @typedef {import('../reckon/form.js').Answer} Answer */

const ODOMETERS = ['last', 'now', 'since']
const RESULTS = ['state', 'distance', 'date', 'driven']
/** So many digits that none of what is typed has rolled over. */
const DIGITS = 9

/** @param {HTMLElement} root */
export function start(root) {
  const today = fieldOf(root, 'today')?.querySelector('input')
  if (today && !today.value) today.value = day(Date.now())
  // One odometer has one unit.
  root.addEventListener('change', (event) => {
    const from = /** @type {HTMLElement} */ (event.target).closest('[data-input]')?.getAttribute('data-input') ?? ''
    if (!(event.target instanceof HTMLSelectElement) || !ODOMETERS.includes(from)) return
    for (const id of ODOMETERS) {
      const unit = fieldOf(root, id)?.querySelector('select')
      if (unit) unit.value = event.target.value
    }
    root.dispatchEvent(new Event('input'))
  })

  return workForm(root, {
    title: 'Next due',
    picks: ['lastdate', 'today'],
    fill(asked) {
      if (!asked.has('for')) return
      // A unit knows its odometer; when it was last done stands in the log. An example would be taken for its own.
      for (const id of ['last', 'lastdate', 'interval', 'months', 'since', 'factor']) {
        const entry = fieldOf(root, id)?.querySelector('input')
        if (entry && !asked.has(id)) entry.value = ''
      }
      for (const id of ODOMETERS) {
        const unit = fieldOf(root, id)?.querySelector('select')
        if (unit && !asked.has(id)) unit.value = unitIn(root, 'now')
      }
    },
    work({ values, missing }) {
      const dates = { last: picked(root, 'lastdate'), today: picked(root, 'today') }
      const unit = unitIn(root, 'last') === 'km' ? 'km' : 'mi'
      // An odometer is never shown in the unit that it does not count.
      for (const id of ODOMETERS) if (values[id] !== undefined) told(root, id, `reads as ${grouped(fromSi(values[id], unitOf(unit)))} ${unit}`, false)
      const needs = [...missing.values()]
      if (!dates.last) needs.push('Day of the last one')
      if (!dates.today) needs.push('Today')
      const half = (values.since === undefined) !== (values.factor === undefined)
      if (half && !missing.has('since') && !missing.has('factor')) {
        const id = values.since === undefined ? 'since' : 'factor'
        told(root, id, 'Type this one too, or leave both empty.', true)
        needs.push(id === 'since' ? 'Other tyres since' : 'Factor of those tyres')
      }
      const none = (/** @type {string} */ why, /** @type {string} */ refused = '') =>
        ({ answers: Object.fromEntries(RESULTS.map((id) => [id, why])), refused, source: '', state: '' })
      if (needs.length) return none(`Needs: ${needs.join(', ')}`)
      const at = (/** @type {string} */ id) => Math.round(fromSi(values[id] ?? 0, unitOf(unit)) * 1000) / 1000
      const refused = wrong(values, dates, unit, at)
      if (refused) return none('Refused, see above.', refused)

      const { vehicle, records, site } = asLogged(values, dates, unit, at)
      const [found] = due({ today: dates.today, vehicles: [vehicle], records, site })
      if (!found) return none('No answer for these figures.')
      const words = sentences(found, unit)
      const driven = trueMetres(vehicle, at('last'), at('now'))
      const parts = { distance: found.bound === 'distance' ? words.by : words.also, date: found.bound === 'months' ? words.by : words.also }
      const said = (/** @type {string} */ text) => text.replace(/^By (distance|months|date) (at|on) /, '').replace(/\.$/, '')
      /** @type {Record<string, Answer>} */
      const answers = {
        state: { main: found.state, also: `${found.bound === 'distance' ? 'Distance' : 'Date'} ${both(values) ? 'comes first' : 'decides'}.` },
        distance: found.odometer === null ? 'No interval by distance.' : split(said(parts.distance)),
        date: found.date === '' ? 'No interval in months.' : split(said(parts.date)),
        driven: { main: `${grouped(Math.floor(driven / METRES[unit] + 1e-6))} ${unit}` },
      }
      return { answers, given: [`Day of the last one ${dates.last}`, `today ${dates.today}`], source: 'Common practice, no source; the interval is the owner’s', state: 'unverified' }
    },
  })
}

/** @param {Record<string, number>} values @returns {boolean} whether there are two bounds */
const both = ({ interval, months }) => interval !== undefined && months !== undefined

/** @param {string} text @returns {Answer} what comes before the comma large */
function split(text) {
  const [main = '', ...rest] = text.split(', ')
  return { main, also: rest.join(', ') }
}

/**
 * @param {Record<string, number>} values @param {{last: string, today: string}} dates @param {string} unit
 * @param {(id: string) => number} at
 * @returns {string} what contradicts what, and what to do; '' where nothing does
 */
function wrong({ interval, months, since }, dates, unit, at) {
  const shown = (/** @type {string} */ id) => `${grouped(at(id))} ${unit}`
  if (interval === undefined && months === undefined) return 'Type an interval by distance, in months, or both.'
  if (dayOf(dates.today) < dayOf(dates.last)) return `Today, ${dates.today}, lies before the last one, ${dates.last}. Check both days.`
  if (at('now') < at('last')) return `The odometer shows ${shown('now')} now, less than ${shown('last')} at the last one. If it has rolled over, type it with the lap counted in.`
  if (since !== undefined && at('since') > at('now')) return `The tyres were changed at ${shown('since')}, but the odometer shows ${shown('now')} now. Check both.`
  return ''
}

/**
 * One vehicle with one unit and one entry, as the log holds them, so that the same reckoning answers here and there.
 * @param {Record<string, number>} values @param {{last: string, today: string}} dates @param {'mi' | 'km'} unit
 * @param {(id: string) => number} at
 */
function asLogged(values, dates, unit, at) {
  const { weight = 1, interval, months, since, factor } = values
  const entry = {
    id: 'last', date: dates.last, vehicle: 'v', unit: 'u', procedure: 'change', finished: true, replaces: '',
    odometer: { typed: '', unit, si: values.last ?? null },
  }
  const vehicle = {
    id: 'v', odometer: { unit, digits: DIGITS, reading: at('now'), asOf: dates.today, rollovers: 0 },
    severity: weight < 1 ? 'severe' : 'normal', severityEras: [],
    tyreEras: since === undefined ? [] : [{ since: at('since'), sinceDate: '', size: '', factor: factor ?? 1, state: 'unverified' }],
    service: [{ units: ['u'], distance: interval ?? null, months: months ?? null, severeFactor: weight, source: '', state: '' }],
    units: { u: { id: 'u', kind: 'axle-cover' } },
  }
  // Only what the reckoning looks at: the rest of a vehicle and of an entry is for other pages.
  return /** @type {{vehicle: import('../types.js').Vehicle, records: import('../types.js').LogRecord[], site: import('../types.js').SiteData}} */ (
    /** @type {unknown} */ ({
      vehicle, records: [{ id: 'last', entry, followUps: [], at: 0 }],
      site: { service: [], events: [], work: { change: { title: '', does: 'change' } } },
    }))
}
