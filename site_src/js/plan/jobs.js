// The jobs of the plan: which card for which unit, the joint chosen, the times of its label, and what each still lacks.
import { h } from '../job/dom.js'
import { plain } from '../job/words.js'
import { lacks } from '../lib/coverage.js'
import { way } from '../lib/graph.js'
import { base, cardAddress } from '../own/where.js'
import { choose, field } from './field.js'
import { offered } from './kept.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {import('./kept.js').Chosen} Chosen */
/** @typedef {import('./kept.js').Vehicle} Vehicle */

/** @param {Job} job @returns {string} the job page with the choices of the plan made */
export function startAddress({ chosen, card }) {
  const labels = labelSteps(card, chosen.option).map(({ no, wait }) => `${no}:${Math.round(chosen.label[no] ?? wait)}`)
  const more = [chosen.option && `option=${chosen.option}`, labels.length && `label=${labels.join(',')}`].filter(Boolean)
  return `${base}job/?start=${chosen.no.toLowerCase()}/${chosen.vehicle}/${chosen.unit}${more.map((one) => `&${one}`).join('')}`
}

/** @param {import('../types.js').Card} card @param {string} option @returns {{no: number, wait: number, kind: string}[]} */
export const labelSteps = (card, option) => card.steps.flatMap((step) => {
  const it = way(step, option)
  return it.label ? [{ no: step.no, wait: it.wait, kind: it.waitKind }] : []
})

/**
 * @param {Job[]} jobs @param {import('../types.js').SiteData} site
 * @param {{changed: () => void, remove: (at: number) => void}} act
 * @returns {HTMLElement[]}
 */
export function list(jobs, site, act) {
  return jobs.map((job, index) => {
    const { chosen, card, unit, vehicle } = job
    const lack = lacks(unit, site).find(({ no }) => no === card.no)
    const put = (/** @type {() => void} */ change) => () => (change(), act.changed())
    return h('section', { class: 'plan-job', 'data-job': index },
      h('h3', {}, `${card.no} ${card.title}`),
      h('p', {}, h('a', { href: cardAddress(base, card.no, vehicle.id, unit.id) }, `${vehicle.name}, ${unit.title}`), vehicle.invented && ' (demo, invented)'),
      lack && lack.missing.length > 0 && h('p', { class: 'odd' }, `Missing: ${lack.missing.join(', ')}.`),
      lack && lack.open.length > 0 && h('p', { class: 'of' }, `Not verified: ${lack.open.join(', ')}.`),
      chosen.option && h('p', { class: 'paper' }, [`${card.choice?.label}: ${card.choice?.options[chosen.option]}.`,
        ...labelSteps(card, chosen.option).map(({ no, wait }) => `After step ${no} by the label ${Math.round(chosen.label[no] ?? wait)} min${chosen.label[no] === undefined ? ', planned, not read yet' : ''}.`)].join(' ')),
      card.choice && choose(card.choice.label, chosen.option, Object.entries(card.choice.options), (option) => put(() => {
        chosen.option = option
        chosen.label = {}
      })()),
      labelSteps(card, chosen.option).map(({ no, wait, kind }) => field(`Label, ${kind} time after step ${no}`, chosen.label[no] === undefined ? '' : String(chosen.label[no]), (typed) => {
        const minutes = Number(typed)
        if (typed && Number.isFinite(minutes) && minutes > 0) chosen.label[no] = minutes
        else delete chosen.label[no]
      }, act.changed, { unit: 'min', of: `Not typed: the card plans with ${Math.round(wait)}. A day is 1440.` })),
      job.begun && h('p', {}, h('b', {}, 'Begun. '), `${job.begun.done.length} of ${card.steps.length} steps done. The day is planned from where it stands, with the choice it began with.`),
      h('p', { class: 'acts screen' }, job.begun ? h('a', { class: 'btn line', href: `${base}job/?open=${job.begun.open}` }, 'Open this job')
        : h('a', { class: 'btn line', href: startAddress(job) }, 'Start this job'),
        h('button', { type: 'button', class: 'btn line', onclick: () => act.remove(index) }, 'Take it off the plan')))
  })
}

/**
 * @param {Vehicle[]} vehicles @param {import('../types.js').SiteData} site @param {(one: Chosen) => void} add
 * @returns {HTMLElement} picks a unit, then a card that is for it
 */
export function adder(vehicles, site, add) {
  const units = vehicles.flatMap((vehicle) => Object.values(vehicle.units).filter((unit) => offered(unit, site).length)
    .map((unit) => ({ key: `${vehicle.id}/${unit.id}`, vehicle, unit })))
  const cards = h('div', { class: 'plan-cards' })
  const pick = (/** @type {string} */ key) => {
    const found = units.find((one) => one.key === key)
    cards.replaceChildren(...(found ? offered(found.unit, site).map(({ no, title }) => h('button', { type: 'button', class: 'btn line', onclick: () => add({
      vehicle: found.vehicle.id, unit: found.unit.id, no, option: '', label: {},
    }) }, `Add ${no} ${title}`)) : []))
  }
  return h('div', { class: 'screen' }, choose('Add a job for', '', [['', 'pick a unit'], ...units.map(({ key, vehicle, unit }) => /** @type {[string, string]} */ ([key, `${vehicle.short}: ${unit.title}`]))], pick), cards)
}

/** @param {string} text @param {import('./kept.js').Unit} unit */
export const worded = (text, unit) => plain(text, unit.slots)
