// The quick form below the three picks, and its one button. Saved means that the store has it.
import { fill, h, show } from '../job/dom.js'
import { writeDown } from '../job/reads.js'
import { stamp } from '../job/words.js'
import { corrected, entryOf, withdrawn } from '../lib/entry.js'
import * as store from '../store.js'
import { also, settles } from './also.js'
import { unitOf, workOf } from './facts.js'
import { when } from './when.js'
import { workFields } from './work.js'

/** @typedef {import('../types.js').Entry} Entry */
/** @typedef {import('../types.js').LogRecord} LogRecord */

/**
 * @param {{site: import('../types.js').SiteData, vehicle: import('../types.js').Vehicle, unit: string, work: string, event: string,
 *   records: LogRecord[], open: import('../types.js').FollowUp[], old: Entry | null, today: string}} about
 * @param {(entry: Entry) => void} saved called once the store has it
 * @returns {HTMLElement}
 */
export function form(about, saved) {
  const { site, vehicle, unit, work, event, old } = about
  const id = store.newId()
  const day = when(vehicle, about.records, about.today, old)
  const fields = workFields(work, event, site, vehicle.units[unit] ?? null, old)
  const rest = also(id, old, work === 'event')
  const closing = settles(about.open, vehicle, unit, work, site, old)
  const refused = h('p', { class: 'refused', role: 'alert', hidden: true })
  const button = h('button', { type: 'submit', class: 'btn' }, old ? 'Save the correction' : 'Save the entry')
  const refuse = (/** @type {string} */ words, /** @type {Element | null} */ at = null) => {
    fill(refused, words)
    show(refused, true)
    if (at instanceof HTMLElement) at.focus()
  }

  /** @param {Entry} entry @param {import('../store.js').PhotoRecord[]} pictures @param {HTMLButtonElement} pressed */
  const put = async (entry, pictures, pressed) => {
    pressed.disabled = true
    try {
      void store.persist()
      await store.addToLog({ id: entry.id, entry, followUps: [], at: Date.now() }, pictures)
      saved(entry)
    } catch (error) {
      pressed.disabled = false
      refuse(`NOT saved. ${error instanceof Error ? error.message : String(error)} Keep this page open and try again.`)
    }
  }

  const why = h('textarea', { id: 'withdraw-why', rows: 2, autocomplete: 'off' })
  const away = h('button', { type: 'button', class: 'btn line', onclick: () => {
    if (!old) return
    if (why.value.trim().length < 4) return refuse('Say why the entry is withdrawn, in a few words.', why)
    void put(withdrawn(old, id, why.value), [], away)
  } }, 'Withdraw the entry')

  const element = h('form', { class: 'quick', novalidate: true, tabindex: -1, 'aria-label': workOf({ procedure: work, event }, site) },
    day.element, fields.element, rest.element, closing.element, refused, button,
    old && h('details', { class: 'more' }, h('summary', {}, 'It was never done'), h('p', { class: 'of' }, 'The old entry stays to be seen, struck through, and counts for nothing.'),
      h('label', { for: 'withdraw-why' }, 'Why, such as: logged twice'), why, away))
  element.addEventListener('submit', (submitted) => {
    submitted.preventDefault()
    show(refused, false)
    writeDown()
    const bad = element.querySelector('.read.wrong')
    if (bad) return refuse(`${bad.querySelector('label')?.textContent ?? 'A field'}: ${bad.querySelector('.says')?.textContent ?? ''}`, bad.querySelector('input'))
    const on = day.got()
    if ('refuse' in on) return refuse(on.refuse, on.at)
    const { says, words, waste } = rest.got()
    const { readings, fluid, torque } = fields.got()
    const anything = says.trim() || (work === 'event' && event) || torque.length || Object.values(readings).some(Boolean) || fluid.some(Boolean) || rest.photos.got().length
    if (!anything) return refuse('Nothing is told yet. Read or write at least one thing.', element.querySelector('[data-field=says] textarea'))
    if (rest.photos.busy()) return refuse('The photo is not ready yet. Wait a moment, then save again.')
    const held = { id, vehicle, unit, work, event, ...on, says, fluid, readings, torque, words, waste,
      photos: rest.photos.got().map((one) => one.id), closes: closing.got(), replaces: old?.id ?? '' }
    void put(old ? corrected(old, held, fields.shown) : entryOf(held), rest.photos.got(), button)
  })
  return element
}

/**
 * @param {Entry} entry @param {import('../types.js').SiteData} site @param {import('../types.js').Vehicle} vehicle @param {string} base
 * @returns {import('../job/dom.js').Child[]} what stands in place of the form once it is saved
 */
export function done(entry, site, vehicle, base) {
  const again = `?vehicle=${encodeURIComponent(vehicle.id)}`
  return [
    h('p', { class: 'verdict', role: 'status', tabindex: -1 }, h('b', {}, 'Saved. '), `${entry.date}, ${workOf(entry, site)}, ${vehicle.short} ${unitOf(entry, vehicle)}. Stored ${stamp(Date.now())}.`),
    h('a', { class: 'btn', href: `${base}log/?entry=${encodeURIComponent(entry.id)}` }, 'See it in the log'),
    h('a', { class: 'btn line', href: again }, 'Log another'),
  ]
}
