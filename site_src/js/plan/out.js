// What leaves the plan: alarms for the waits and the looks after, as a calendar file, the list as text, and the waste.
import { h } from '../job/dom.js'
import { calendar } from '../lib/ics.js'
import { give, told as givenWords } from '../phone/share.js'
import { base } from '../own/where.js'
import { minutesOf, told } from './clock.js'
import { byShop, sum } from './shop.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {import('./kept.js').Plan} Plan */
/** @typedef {import('../lib/plan/day.js').Day} Day */

const MINUTE = 60_000
const DAY = 1440 * MINUTE

/** @param {Plan} plan @returns {number} epoch milliseconds of its begin in the phone's own zone; NaN where none is typed */
export function beginOf(plan) {
  const at = minutesOf(plan.begin)
  return at === null ? NaN : new Date(`${plan.date}T00:00:00`).getTime() + at * MINUTE
}

/**
 * @param {Job[]} jobs @param {Plan} plan @param {Day} found
 * @returns {import('../lib/ics.js').Reminder[]} the begin, every wait when it is ready, and the looks that are due by days
 */
export function reminders(jobs, plan, found) {
  const begin = beginOf(plan)
  if (!Number.isFinite(begin)) return []
  const key = `${plan.date}-${jobs.map(({ chosen }) => `${chosen.no}-${chosen.vehicle}-${chosen.unit}`).join('-')}`
  const names = jobs.map(({ card, vehicle }) => `${card.no} ${vehicle.short}`).join(', ')
  const waits = found.rows.filter(({ end, ready }) => ready > end).map((row) => {
    const { names: step, says } = told(row, jobs)
    return { uid: `${key}-${row.no}@fillmark`, start: begin + row.ready * MINUTE, minutes: 5, summary: `Ready: ${step}`,
      description: `${row.label ? 'The time of the label is over.' : 'Planned; look before you go on.'} ${says}` }
  })
  const looks = jobs.flatMap(({ card, vehicle, unit }, index) => card.followUps.filter(({ days, onlyIf }) => days > 0 && !onlyIf).map((one, i) => ({
    uid: `${key}-look-${index}-${i}@fillmark`, start: begin + found.end * MINUTE + one.days * DAY, minutes: 15,
    summary: `${card.no} ${vehicle.short}, ${unit.title}: ${one.kind}`, description: one.when,
  })))
  return [{ uid: `${key}-begin@fillmark`, start: begin, minutes: Math.max(5, Math.ceil(found.end)), summary: names, description: 'The plan stands in the site on your phone.' }, ...waits, ...looks]
}

/** @param {import('./shop.js').Bought[]} all @param {string[]} sizes @param {Plan} plan @returns {string} */
export const asText = (all, sizes, plan) => [`To buy for ${plan.date}`, ...byShop(all).flatMap(([name, mine]) => ['', `${name || 'Shop not named'}${sum(mine) && `, ${sum(mine)}`}`,
  ...mine.map((one) => `${plan.ticked.includes(one.key) ? '[x]' : '[ ]'} ${one.text}${one.cost === null ? '' : `, ${one.cost.toFixed(2)}`}`)]), ...(sizes.length ? ['', 'Sizes', ...sizes] : []), ''].join('\n')

/**
 * @param {string} label @param {string} name of the file @param {string} type @param {() => string} text
 * @returns {HTMLElement} a button that hands it over, and says whether it did
 */
export function giver(label, name, type, text) {
  const says = h('p', { class: 'say', role: 'status' })
  return h('div', { class: 'screen' }, h('button', { type: 'button', class: 'btn line', onclick: async () => {
    says.textContent = givenWords(await give(name, text(), type), name)
  } }, label), says)
}

/** @param {Job[]} jobs @param {Plan} plan @param {Day} found @returns {HTMLElement} */
export const alarms = (jobs, plan, found) => giver('Calendar file: waits as alarms, looks as events', `plan-${plan.date}.ics`, 'text/calendar',
  () => calendar(reminders(jobs, plan, found), Date.now()))

/** @type {Record<string, string>} */
const WASTE = { cooling: 'Coolant', brakes: 'Brake fluid', battery: 'Acid and soda water' }

/** @param {Job[]} jobs @returns {{kind: string, from: string, much: string}[]} what comes out, each for a bottle of its own */
const out = (jobs) => jobs.filter(({ card }) => (card.pours ?? []).some(({ of }) => of !== 'additive')).map(({ card, unit, vehicle }) => {
  const fill = unit.fills[card.pours?.[0]?.fill ?? ''] ?? unit.fills.refill
  return { kind: WASTE[unit.kind] ?? 'Used oil', from: `${card.no} ${vehicle.short} ${unit.title}`, much: fill ? `about ${fill.typed}` : 'amount not known' }
})

/** @param {Job[]} jobs @param {Plan} plan @returns {string} to be filled in as it is poured, and handed over with it */
export const dropOff = (jobs, plan) => [`Waste of ${plan.date}`, '', ...out(jobs).flatMap(({ kind, from, much }) => [`${kind} from ${from}, ${much}`,
  '  litres poured: ____   in bottle: ____   chlorinated cleaner near it: yes / no', '']), 'Handed in at: ____________   on: __________   receipt: ________', ''].join('\n')

/** What will be left to bring away, by the fluid of each job. @param {Job[]} jobs @returns {HTMLElement[]} */
export function waste(jobs) {
  const wet = out(jobs)
  if (!wet.length) return [h('p', {}, 'These jobs let nothing out.')]
  return [h('ul', { class: 'plain' }, wet.map(({ kind, from, much }) => h('li', {}, h('b', {}, kind), `, ${from}: ${much}. A closed bottle of its own, labelled before you pour.`))),
    h('p', {}, h('b', {}, 'No chlorinated cleaner in the oil. '), 'A few millilitres are enough that a collection point may refuse all of it. ', h('a', { class: 'screen', href: `${base}work-out/waste-chlorine/` }, 'Work it out')),
    h('p', { class: 'of' }, 'Ask your local rules where each kind is taken. Card P25 is for the bringing away.')]
}
