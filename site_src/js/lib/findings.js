// What the log shows by itself: every rule is one file in findings/ and is listed here. To add one, add both.
import { ledgersOf } from './ledger.js'
import { looksOf } from './looks.js'
import { find as additiveBelowDose } from './findings/additive-below-dose.js'
import { find as capacityConflict } from './findings/capacity-conflict.js'
import { find as coldStartMargin } from './findings/cold-start-margin.js'
import { find as datedAhead } from './findings/dated-ahead.js'
import { find as followUpNeverMade } from './findings/follow-up-never-made.js'
import { find as lateCrossingCheck } from './findings/late-crossing-check.js'
import { find as litresAgainstLevel } from './findings/litres-against-level.js'
import { find as missedInterval } from './findings/missed-interval.js'
import { find as odometerBackwards } from './findings/odometer-backwards.js'
import { find as runningLow } from './findings/running-low.js'
import { find as topUpWithoutLeakLook } from './findings/top-up-without-leak-look.js'
import { find as unitNeverLogged } from './findings/unit-never-logged.js'
import { find as wrongCategory } from './findings/wrong-category.js'
import { find as wrongCountryPint } from './findings/wrong-country-pint.js'

/** @typedef {import('../types').Finding} Finding */

/** @type {Record<string, (given: import('./findingwords.js').Given) => import('./findingwords.js').Found[]>} */
const RULES = {
  'late-crossing-check': lateCrossingCheck, 'follow-up-never-made': followUpNeverMade, 'cold-start-margin': coldStartMargin,
  'wrong-category': wrongCategory, 'additive-below-dose': additiveBelowDose, 'wrong-country-pint': wrongCountryPint,
  'litres-against-level': litresAgainstLevel, 'running-low': runningLow, 'capacity-conflict': capacityConflict,
  'missed-interval': missedInterval, 'top-up-without-leak-look': topUpWithoutLeakLook, 'odometer-backwards': odometerBackwards,
  'unit-never-logged': unitNeverLogged, 'dated-ahead': datedAhead,
}
const SEVERITIES = ['warning', 'caution', 'notice']

/**
 * @param {{today: string, vehicles: import('../types').Vehicle[], records: import('../types').LogRecord[],
 *   site: import('./findingwords.js').Rules}} given `today` is an ISO date
 * @returns {Finding[]} the gravest first, then in the order of the rules and of the vehicles
 */
export function findings({ today, vehicles, records, site }) {
  const books = ledgersOf(vehicles, records, today).map((ledger) => ({ ...ledger, looks: looksOf(ledger, site.events) }))
  return Object.entries(RULES)
    .flatMap(([rule, find]) => find({ today, books, site }).map((one) => ({ rule, ...one })))
    .sort((a, b) => SEVERITIES.indexOf(a.severity) - SEVERITIES.indexOf(b.severity))
}
