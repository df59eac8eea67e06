// Before the first step: odometer checked against the last known, place and weather, the joint and its label times.
import { units } from '../data/units.js'
import { fromSi, toSi } from '../lib/quantity.js'
import * as store from '../store.js'
import { fill, h, show } from './dom.js'
import { DOWN, made, PLACE } from './own.js'
import { fieldOf, writeDown } from './reads.js'
import { Session } from './session.js'

/** @typedef {import('../types.js').Card} Card */
/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {import('../types.js').Unit} Unit */
/** @typedef {import('../types.js').Reading} Reading */
/** @typedef {import('../types.js').Field} Field */

const FAR = 40_000_000 // metres since the last reading: more in one go is likely a slip of the finger
const WEATHER = ['air-temp', 'humidity', 'metal-temp']

/** @param {Vehicle} vehicle @returns {Promise<{si: number, words: string}>} the last odometer reading known */
async function lastKnown(vehicle) {
  const { unit, reading, asOf } = vehicle.odometer
  const si = toSi(reading, units[unit] ?? { factor: 1, offset: 0 })
  let best = { si, words: `${shown(si, unit)} on ${asOf}`, on: asOf }
  for (const { entry } of await store.log()) {
    if (entry.vehicle !== vehicle.id || entry.odometer.si === null || entry.date < best.on) continue
    best = { si: entry.odometer.si, words: `${shown(entry.odometer.si, unit)} on ${entry.date}`, on: entry.date }
  }
  return best
}

/** @param {number} si @param {string} unit @returns {string} */
const shown = (si, unit) => `${Math.round(fromSi(si, units[unit] ?? { factor: 1, offset: 0 })).toLocaleString('en').replace(/,/g, ' ')} ${unit}`

/**
 * @param {Vehicle} vehicle @param {{si: number, words: string}} known @param {number | null} si
 * @returns {string} '' or what is odd about the reading
 */
function odd(vehicle, known, si) {
  if (si === null) return ''
  const { digits, unit } = vehicle.odometer
  const top = 10 ** digits * (units[unit]?.factor ?? 1)
  if (si >= top) return `This odometer has ${digits} digits. Read it again.`
  if (si < known.si) return `That is less than the last reading, ${known.words}. Read it again. If the odometer has rolled over or was changed, write that below.`
  if (si - known.si > FAR) return `That is ${shown(si - known.si, unit)} more than the last reading, ${known.words}. Read it again, or write below how.`
  return ''
}

/**
 * @param {Card} card @param {Record<string, Card>} subs @param {Vehicle} whole @param {string} unitId
 * @param {(session: Session) => void} started
 * @param {URLSearchParams} [asked] the choices of a plan, `option=sealant&label=13:50,14:70`; all can be changed
 * @returns {Promise<HTMLElement>}
 */
export async function beginForm(card, subs, whole, unitId, started, asked = new URLSearchParams()) {
  const { units: every, ...vehicle } = whole
  const unit = /** @type {Unit} */ (every[unitId])
  const known = await lastKnown(whole)
  const odometerUnit = vehicle.odometer.unit
  /** @type {Record<string, Reading | null>} */
  const readings = {}
  const notice = h('p', { class: 'odd', role: 'alert', hidden: true })
  const why = h('textarea', { id: 'odometer-why', rows: 2, autocomplete: 'off' })
  const reason = h('div', { class: 'read', hidden: true }, h('label', { for: 'odometer-why' }, 'Why the reading is right'), why)
  const refused = h('p', { class: 'refused', role: 'alert', hidden: true })

  const look = () => {
    const words = odd(whole, known, readings.odometer?.si ?? null)
    fill(notice, words)
    show(notice, Boolean(words))
    show(reason, Boolean(words))
  }
  /** @param {Field} field */
  const ask = (field) => {
    const box = fieldOf(field, 'begin', (reading) => {
      readings[field.id] = reading
      if (field.id === 'odometer') look()
      show(slope, /^slope/.test(readings.ground?.typed ?? ''))
    })
    return box.element
  }
  const odometer = ask(made({ id: 'odometer', label: `Odometer now, last known ${known.words}`, unit: odometerUnit }))
  const places = PLACE.map(ask)
  const slope = /** @type {HTMLElement} */ (places[1])
  slope.hidden = true
  const weather = card.record.filter((field) => WEATHER.includes(field.id)).map(ask)

  /** @type {Map<number, HTMLInputElement>} */
  const labels = new Map()
  const times = h('div', { class: 'label-times' })
  let option = ''
  const choose = (/** @type {string} */ name) => {
    option = name
    labels.clear()
    const steps = card.steps.filter((step) => (step.ways[name] ?? step.ways[''])?.label)
    fill(times, steps.length > 0 && h('p', {}, 'Read these off the label of your tube. They are never shortened.'), steps.map((step) => {
      const it = step.ways[name] ?? step.ways['']
      const box = h('input', { id: `label-${step.no}`, inputmode: 'numeric', autocomplete: 'off' })
      labels.set(step.no, box)
      return h('div', { class: 'read amount' }, h('label', { for: `label-${step.no}` }, `After step ${step.no}: ${it?.waitKind} time, minutes `,
        h('small', {}, `the card plans with ${Math.round(it?.wait ?? 0)}; a day is 1440`)), h('div', { class: 'pair' }, box))
    }))
  }
  const choice = card.choice && h('fieldset', { class: 'choice' }, h('legend', {}, card.choice.label),
    Object.entries(card.choice.options).map(([name, words]) => h('label', {}, h('input', { type: 'radio', name: 'choice', value: name, onchange: () => choose(name) }), ` ${words}`)), times)

  const picked = choice && choice.querySelector(`input[value="${CSS.escape(asked.get('option') ?? '')}"]`)
  if (picked instanceof HTMLInputElement) {
    picked.checked = true
    choose(picked.value)
    for (const one of asked.get('label')?.split(',') ?? []) {
      const [no, minutes = ''] = one.split(':')
      const box = labels.get(Number(no))
      if (box && /^\d{1,5}$/.test(minutes)) box.value = minutes
    }
  }
  const button = h('button', { type: 'submit', class: 'btn' }, 'Start the job')
  const refuse = (/** @type {string} */ words, /** @type {Element | null} */ at) => {
    fill(refused, words)
    show(refused, true)
    if (at instanceof HTMLElement) at.focus()
  }
  const form = h('form', { class: 'begin' },
    h('h2', {}, 'Before the first step'), odometer, notice, reason, places,
    weather.length > 0 && h('p', { class: 'of' }, 'Weather, if you can measure it now. It is asked again before the joint is closed.'), weather, choice,
    h('p', { class: 'of' }, 'The job keeps its own copy of the card and of the unit’s numbers. A later version of either changes nothing here.'), refused, button)
  form.addEventListener('submit', async (event) => {
    event.preventDefault()
    show(refused, false)
    const field = form.querySelector('input')
    writeDown()
    if (!readings.odometer) return refuse('Type the odometer. Every interval counts from it.', field)
    if (!reason.hidden && why.value.trim().length < 4) return refuse('Say why the odometer reading is right, in a few words.', why)
    if (card.choice && !option) return refuse(`Choose the ${card.choice.label.toLowerCase()}.`, form.querySelector('input[type=radio]'))
    /** @type {Record<number, number>} */
    const label = {}
    for (const [no, box] of labels) {
      if (!/^\d{1,5}$/.test(box.value.trim()) || Number(box.value) === 0) return refuse('Type the minutes of the label, whole minutes.', box)
      label[no] = Number(box.value)
    }
    const copy = { card, subs, vehicle, unit, option, label }
    const { odometer: _, ...rest } = readings
    if (!/^slope/.test(rest.ground?.typed ?? '')) delete rest.pitch
    if (rest.pitch && rest.ground?.typed === DOWN) rest.pitch = { ...rest.pitch, typed: `-${rest.pitch.typed}`, si: -(rest.pitch.si ?? 0) }
    const kept = Object.fromEntries(Object.entries(rest).filter(([, reading]) => reading !== null))
    button.disabled = true
    void store.persist() // in a tap, as browsers want it; what they answer changes nothing here
    const id = store.newId()
    const at = Date.now()
    const session = new Session(id, [{
      id: store.newId(), job: id, seq: 1, at, zone: -new Date(at).getTimezoneOffset(), kind: 'begin',
      data: { copy, odometer: readings.odometer, why: reason.hidden ? '' : why.value.trim(), readings: /** @type {Record<string, Reading>} */ (kept) },
    }], 0)
    started(session)
  })
  return form
}

