// What is due: each unit's service by distance, months and test, and every look that was left to be made. The earliest bound
// is named. Never logged, no rule, no reading: unknown, and never clear.
import { dayOf, isoOf } from './calendar.js'
import { SLACK, metresBetween, monthsEnd, reachedAt, when } from './eras.js'
import { ledgersOf } from './ledger.js'
import { looksOf } from './looks.js'
import { forecastOf } from './pace.js'

/** @typedef {import('../types').Due} Due */
/** @typedef {import('../types').Vehicle} Vehicle */
/** @typedef {import('../types').Unit} Unit */
/** @typedef {import('../types').LogRecord} LogRecord */
/** @typedef {import('../types').FollowUp} FollowUp */
/** @typedef {import('../types').SiteData} SiteData */
/** @typedef {import('./ledger.js').Ledger} Ledger */
/** @typedef {{distance: number | null, months: number | null, severeFactor: number, resetBy: string[]}} Rule */
/** @typedef {{due: Due, rank: number, order: number}} Ranked */

/** Coming when a tenth of either is left, and a fortnight before a date at the least. Ours; no source. */
const NEAR = 0.1
const DAYS = 14
/** Nothing in them is changed by distance or age: they stand for events, wheels and the vehicle. */
const WITHOUT = ['vehicle', 'wheels']
const BLANK = {
  state: /** @type {Due['state']} */ ('unknown'), bound: /** @type {Due['bound']} */ (''), since: '', odometer: null, shows: '', date: '',
  over: null, late: null, forecast: null, why: '', hardStop: null, stop: false, followUp: '',
}

/**
 * @param {{today: string, vehicles: Vehicle[], records: LogRecord[], site: Pick<SiteData, 'service' | 'events' | 'work'>}} given
 *   `today` is an ISO date
 * @returns {Due[]} a stop that is passed first, then what is due, the longest past first; then coming by date, unknown, clear
 */
export function due({ today, vehicles, records, site }) {
  const now = dayOf(today)
  /** @type {{due: Due, day: number}[]} */
  const found = ledgersOf(vehicles, records, today).flatMap((ledger) => [
    ...Object.values(ledger.vehicle.units).flatMap((unit) => services(ledger, unit, site, now)),
    ...looksOf(ledger, site.events).open.map((look) => followUp(ledger, look, now)),
  ])
  const rank = (/** @type {Due} */ one) => (one.stop ? 0 : 1 + ['due', 'coming', 'unknown', 'clear'].indexOf(one.state))
  return found.map((one, order) => ({ ...one, order })).sort((a, b) => rank(a.due) - rank(b.due) || by(a.day, b.day) || a.order - b.order)
    .map((one) => one.due)
}

/** @param {number} a @param {number} b @returns {number} both may be infinite */
const by = (a, b) => (a === b ? 0 : a - b)

/** @param {Parameters<typeof due>[0]} given @returns {FollowUp[]} what is open and may be closed by its id, the oldest first */
export const openLooks = ({ today, vehicles, records, site }) =>
  ledgersOf(vehicles, records, today).flatMap((ledger) => looksOf(ledger, site.events).open)

/**
 * The rule that holds for a unit: its own interval, else that of its kind, as handbooks round it for its odometer. What sets it back is the kind's; a kind without
 * a rule is set back by any change of what is in it.
 * @param {Vehicle} vehicle @param {Unit} unit @param {Pick<SiteData, 'service' | 'work'>} site
 * @returns {{change: Rule | null, test: Rule | null}}
 */
export function ruleFor({ service, odometer }, unit, { service: rules, work }) {
  const own = service.find(({ units }) => units.includes(unit.id))
  const site = rules.find(({ kinds }) => kinds.includes(unit.kind))
  const changes = () => Object.keys(work).filter((no) => work[no]?.does === 'change' || work[no]?.does === 'part-change')
  const resetBy = site?.resetBy ?? changes()
  const rounded = odometer.unit === 'km' ? site?.distanceKm : null
  const rule = own ?? (site && { ...site, distance: rounded ?? site.distance })
  return {
    change: rule ? { distance: rule.distance, months: rule.months, severeFactor: rule.severeFactor, resetBy } : null,
    test: site?.testMonths ? { distance: null, months: site.testMonths, severeFactor: site.severeFactor, resetBy: site.testResetBy } : null,
  }
}

/** @param {Ledger} ledger @param {Unit} unit @param {Pick<SiteData, 'service' | 'work'>} site @param {number} today */
function services(ledger, unit, site, today) {
  if (WITHOUT.includes(unit.kind)) return []
  const { change, test } = ruleFor(ledger.vehicle, unit, site)
  const named = { ...BLANK, vehicle: ledger.vehicle.id, unit: unit.id, what: 'change' }
  return [
    change ? service(ledger, named, change, today) : { due: { ...named, why: 'no rule for this kind of unit' }, day: Infinity },
    ...(test ? [service(ledger, { ...named, what: 'test' }, test, today)] : []),
  ]
}

/** @param {Ledger} ledger @param {Due} named @param {Rule} rule @param {number} today @returns {{due: Due, day: number}} */
function service(ledger, named, { distance, months, severeFactor, resetBy }, today) {
  const last = ledger.byUnit.get(named.unit)?.filter(({ procedure, finished }) => finished && resetBy.includes(procedure)).at(-1)
  if (!last) return { due: { ...named, why: 'never logged' }, day: Infinity }
  const { eras, track, day } = ledger
  const [start, from] = [ledger.at(last), day(last)]
  const end = months === null ? null : monthsEnd(eras, from, months, severeFactor)
  const exact = distance === null || start === null ? null : reachedAt(eras, start, distance, severeFactor)
  const bounds = boundsOf(ledger, exact, end, today)
  const used = distance === null || start === null ? null : metresBetween(eras, start, track.now.at, severeFactor) / distance
  const spent = end === null ? null : (today - from) / Math.max(1, end - from)
  const near = (used !== null && used >= 1 - NEAR - 1e-9) || (end !== null && end - today <= Math.max(DAYS, NEAR * (end - from) + 1e-9)) ||
    (bounds.ahead !== null && bounds.ahead <= today)
  const missing = distance !== null && start === null
  const state = bounds.reached ? 'due' : near ? 'coming' : missing ? 'unknown' : 'clear'
  const byDistance = bounds.byDistance ?? (used !== null && (spent === null || used >= spent))
  return {
    due: {
      ...named, ...bounds.shown, state, since: last.id, bound: state === 'unknown' ? '' : byDistance ? 'distance' : 'months',
      why: missing ? 'the odometer at the last one is not known' : bounds.shown.why,
    },
    day: bounds.first,
  }
}

/** @param {Ledger} ledger @param {import('./looks.js').Look} look @param {number} today @returns {{due: Due, day: number}} */
function followUp(ledger, look, today) {
  const { track } = ledger
  const within = look.from ?? look.to ?? look.hardStop
  const hardStop = look.hardStop === null ? null : look.hardStop + look.lap
  const { shown, reached, first } = boundsOf(ledger, within === null ? null : within + look.lap, look.due ? dayOf(look.due) : null, today)
  const stop = hardStop !== null && track.now.at > hardStop + SLACK
  const bare = within === null && !look.due
  return {
    due: {
      ...BLANK, vehicle: look.vehicle, unit: look.unit, what: look.kind, ...shown,
      state: reached || stop ? 'due' : bare ? 'unknown' : 'coming', bound: bare ? '' : 'event', since: look.entry,
      why: bare ? `neither a date nor a distance is known: ${look.says}` : shown.why, hardStop, stop, followUp: look.id,
    },
    day: first,
  }
}

/**
 * @param {Ledger} ledger
 * @param {number | null} exact odometer, rollovers counted in; whole units are due, rounded down to be on the safe side
 * @param {number | null} end day
 * @param {number} today day
 * @returns {{shown: Pick<Due, 'odometer' | 'shows' | 'date' | 'over' | 'late' | 'forecast' | 'why'>, reached: boolean,
 *   first: number, ahead: number | null, byDistance: boolean | null}} `first` of the days on which one was or will be reached,
 *   `ahead` that of a distance not reached yet; `byDistance` null where it takes the shares used up to tell
 */
function boundsOf({ vehicle, track, eras, pace }, exact, end, today) {
  const { digits } = vehicle.odometer
  const odometer = exact === null ? null : Math.floor(exact + SLACK)
  const passed = odometer === null ? null : when(track.points, odometer)
  const { forecast, why } = odometer === null || passed !== null ? { forecast: null, why: '' } : forecastOf(pace, track.now, odometer, today)
  const ahead = forecast ? dayOf(forecast.date) : null
  const across = passed ?? ahead
  return {
    shown: {
      odometer, shows: odometer === null ? '' : String(odometer % 10 ** digits).padStart(digits, '0'),
      date: end === null ? '' : isoOf(end), over: exact === null ? null : metresBetween(eras, exact, track.now.at),
      late: end === null ? null : today - end, forecast, why,
    },
    reached: passed !== null || (end !== null && today >= end),
    first: Math.min(across ?? Infinity, end ?? Infinity), ahead,
    byDistance: odometer === null ? false : end === null ? true : across === null ? null : across <= end,
  }
}
