// The day of the plan: every step by the clock on the wall, drawn and in a table, one joint beside the other, and where it
// is cut in two if it does not fit.
import { h } from '../job/dom.js'
import { plain, span } from '../job/words.js'
import { way } from '../lib/graph.js'
import { day } from '../lib/plan/day.js'
import { cut } from '../lib/plan/sitting.js'
import { onTheClock } from '../lib/schedule.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {import('./kept.js').Plan} Plan */
/** @typedef {import('../lib/plan/day.js').Slot} Slot */
/** @typedef {import('../lib/plan/day.js').Day} Day */

const SVG = 'http://www.w3.org/2000/svg'
/** @type {Record<string, string>} */
const WAITS = { drain: 'draining', cool: 'cooling', 'flash-off': 'drying off', set: 'setting', settle: 'settling', charge: 'charging', drive: 'driving' }
const MINUTE = 60_000

/** @param {string} typed `13:00` @returns {number | null} minutes since midnight */
export function minutesOf(typed) {
  const [, hour, minute] = /^(\d{1,2}):(\d\d)$/.exec(typed) ?? []
  const at = Number(hour) * 60 + Number(minute)
  return hour !== undefined && Number(hour) < 24 && Number(minute) < 60 ? at : null
}

/** @param {Job} job @param {number | null} times labels are stretched by @param {string} [option] in place of its own @returns {import('../lib/plan/day.js').Job} */
export function asked({ id, chosen, card, vehicle, begun }, times, option = chosen.option) {
  if (begun) return { id, vehicle: vehicle.id, card, option: begun.option, label: begun.label, done: begun.done, left: begun.left }
  const label = Object.fromEntries(card.steps.flatMap((step) => {
    const it = way(step, option)
    return it.label ? [[step.no, Math.ceil((chosen.label[step.no] ?? it.wait) * Math.max(1, times ?? 1))]] : []
  }))
  return { id, vehicle: vehicle.id, card, option, label }
}

/** @param {Job[]} jobs @param {Plan} plan @param {number | null} times @returns {Day} */
export const planned = (jobs, plan, times) => day(jobs.map((job) => asked(job, times)), plan.pairs === 2 ? 2 : 1)

/** @param {number} begin minutes since midnight @param {number} minutes from then @returns {string} */
export function at(begin, minutes) {
  const { time, days } = onTheClock(begin, minutes)
  return days ? `${time}, ${days === 1 ? 'next day' : `${days} days on`}` : time
}

/** @param {Slot} row @param {Job[]} jobs @returns {{names: string, says: string}} `P01·3`, and what is done */
export function told({ parts }, jobs) {
  const many = new Set(jobs.map(({ vehicle }) => vehicle.id)).size > 1
  const each = parts.flatMap(({ job, step }) => {
    const mine = jobs.find(({ id }) => id === job)
    const found = mine?.card.steps.find(({ no }) => no === step)
    return mine && found ? [{ name: `${mine.card.no}·${step}${many ? ` ${mine.vehicle.short}` : ''}`, says: opening(plain(way(found, mine.chosen.option).do, mine.unit.slots)) }] : []
  })
  return { names: each.map(({ name }) => name).join(' + '), says: [...new Set(each.map(({ says }) => says))].join(' ') }
}

/** @param {string} text @returns {string} its first sentence: the card has the rest */
const opening = (text) => /^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? text

/** @param {Job[]} jobs @param {Plan} plan @param {number | null} times @param {Day} found @returns {HTMLElement[]} */
export function clock(jobs, plan, times, found) {
  const begin = minutesOf(plan.begin)
  if (begin === null) return [h('p', {}, 'Needs: when you begin, such as 13:00.')]
  const until = minutesOf(plan.until)
  const spare = until === null ? null : until - begin
  const gap = found.end - found.bound
  /** @type {HTMLElement[]} */
  const out = [h('p', { class: 'paper' }, `${plan.date}, from ${plan.begin}${plan.until ? `, until ${plan.until}` : ''}, ${plan.pairs === 2 ? 'two pairs of hands' : 'alone'}.`),
    h('p', { class: 'result' }, h('b', {}, `Done ${at(begin, found.end)}`), `, ${span(found.end * MINUTE)} from the start, ${span(found.hands * MINUTE)} of hands. `,
    found.proven ? 'No order is shorter.' : gap < 1 ? 'No order of these jobs is shorter by a minute.' : `A good order; no order saves more than ${span(gap * MINUTE)}.`)]
  out.push(...joints(jobs, plan, times, begin, found))
  if (spare !== null) out.push(...fits(found, spare, begin, jobs))
  out.push(chart(found, begin, jobs), table(found, begin, jobs))
  return out
}

/** Gasket against sealant, side by side. @param {Job[]} jobs @param {Plan} plan @param {number | null} times @param {number} begin @param {Day} found */
function joints(jobs, plan, times, begin, found) {
  return jobs.filter(({ card, begun }) => card.choice && !begun).map((job) => {
    const { chosen, card } = job
    const words = Object.entries(card.choice?.options ?? {}).map(([option, name]) => {
      const end = option === chosen.option ? found.end
        : day(jobs.map((one) => asked(one, times, one === job ? option : one.chosen.option)), plan.pairs === 2 ? 2 : 1).end
      return `${name}: done ${at(begin, end)}`
    })
    return h('p', {}, `${card.no}, ${card.choice?.label.toLowerCase()}. ${words.join('. ')}.`)
  })
}

/** @param {Day} found @param {number} spare @param {number} begin @param {Job[]} jobs @returns {HTMLElement[]} */
function fits(found, spare, begin, jobs) {
  if (found.end <= spare) return [h('p', {}, `Fits: ${span((spare - found.end) * MINUTE)} to spare before ${at(begin, spare)}.`)]
  const two = cut(found.rows, spare, jobs.map((job) => asked(job, 1)))
  if (!two) return [h('p', { class: 'odd' }, h('b', {}, 'Does not fit today. '), 'No moment before then leaves every job safe. Begin sooner, take fewer jobs, or take another day.')]
  const last = two.first.at(-1)
  const next = two.then[0]
  return [h('p', { class: 'odd' }, h('b', {}, 'Does not fit today: split here. '),
    `First sitting to ${at(begin, two.at)}, ${last ? told(last, jobs).names : ''} being the last step. `,
    two.rests.map(({ row, ready }) => `${told(row, jobs).names} goes on ${WAITS[row.waitKind] ?? 'waiting'} until ${at(begin, ready)}. `),
    next && `Second sitting from ${told(next, jobs).names}, ${span((found.end - next.start) * MINUTE)}. Put a label on the wheel and take the key out: not to be driven. What stands on stands is pushed again before anybody goes beneath.`)]
}

/** @param {string} name @param {Record<string, string | number>} props @param {...Node} children */
function svg(name, props, ...children) {
  const element = document.createElementNS(SVG, name)
  for (const [key, value] of Object.entries(props)) element.setAttribute(key, String(value))
  element.append(...children)
  return element
}

const WIDE = 340
const LABEL = 98
const HIGH = 17

/** Work in black, waits as an outline, one row a step, an hour a line. @param {Day} found @param {number} begin @param {Job[]} jobs */
function chart({ rows, end }, begin, jobs) {
  const scale = (WIDE - LABEL - 4) / Math.max(1, end)
  const x = (/** @type {number} */ minutes) => LABEL + minutes * scale
  const tall = rows.length * HIGH + 18
  const every = [15, 30, 60, 120, 240, 480, 1440].find((one) => end / one <= 5) ?? 2880
  /** @type {Node[]} */
  const parts = []
  for (let mark = Math.ceil(begin / every) * every - begin; mark <= end; mark += every) {
    parts.push(svg('line', { class: 'hour', x1: x(mark), x2: x(mark), y1: 12, y2: tall }),
      svg('text', { x: x(mark), y: 9, 'text-anchor': mark * scale > WIDE - LABEL - 20 ? 'end' : 'middle' }, document.createTextNode(onTheClock(begin, mark).time)))
  }
  rows.forEach((row, i) => {
    const y = 14 + i * HIGH
    parts.push(svg('text', { x: LABEL - 4, y: y + 11, 'text-anchor': 'end' }, document.createTextNode(shortened(told(row, jobs).names))))
    if (row.ready > row.end) parts.push(svg('rect', { class: row.label ? 'wait label' : 'wait', x: x(row.end), y: y + 2, width: Math.max(0.5, (row.ready - row.end) * scale), height: 9 }))
    parts.push(svg('rect', { class: row.pair === 2 ? 'work second' : 'work', x: x(row.start), y: y + (row.pair === 2 ? 4 : 2), width: Math.max(1, (row.end - row.start) * scale), height: row.pair === 2 ? 5 : 9 }))
  })
  const picture = svg('svg', { viewBox: `0 0 ${WIDE} ${tall}`, role: 'img', 'aria-label': `The day drawn, ${rows.length} steps. The table beneath says the same.` }, ...parts)
  return h('figure', { class: 'day-bars' }, picture, h('figcaption', {}, `Solid: hands${rows.some(({ pair }) => pair === 2) ? ', thin: the second pair' : ''}. Outline: waiting; doubled: a label’s time.`))
}

/** @param {string} names */
const shortened = (names) => (names.length > 14 ? `${names.slice(0, 13)}…` : names)

/** @param {Day} found @param {number} begin @param {Job[]} jobs */
function table({ rows }, begin, jobs) {
  const two = rows.some(({ pair }) => pair === 2)
  return h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'The day by the clock' }, h('table', { class: 'data clock-rows' },
    h('thead', {}, h('tr', {}, ['At', 'Step'].map((one) => h('th', { scope: 'col' }, one)))),
    h('tbody', {}, rows.map((row) => {
      const { names, says } = told(row, jobs)
      const meanwhile = row.ready > row.end ? rows.filter((one) => one !== row && one.start >= row.end - 1e-9 && one.start < row.ready - 1e-9) : []
      return h('tr', {}, h('td', {}, at(begin, row.start), h('br'), h('span', { class: 'of' }, ' ', at(begin, row.end))), h('td', {}, h('b', {}, names, two && `, hands ${row.pair}`), ' ', says,
        row.ready > row.end && h('span', { class: 'of' }, ` ${row.label ? 'By the label ready' : 'Ready'} at ${at(begin, row.ready)}, ${WAITS[row.waitKind] ?? 'waiting'}.`,
          meanwhile.length > 0 && ` Meanwhile ${meanwhile.map((one) => told(one, jobs).names).join(', ')}.`)))
    }))))
}
