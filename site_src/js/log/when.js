// The day of an entry and the odometer, held against the last known readings of the vehicle.
import { fill, h, say, show } from '../job/dom.js'
import { made } from '../job/own.js'
import { fieldOf } from '../job/reads.js'
import { distance, judgeOdometer, knownOf, onClock } from '../lib/odometer.js'

/** @typedef {import('../types.js').Reading} Reading */
/** @typedef {import('../types.js').Entry} Entry */

/**
 * @param {import('../types.js').Vehicle} vehicle @param {import('../types.js').LogRecord[]} records
 * @param {string} today ISO @param {Entry | null} old the entry that is corrected
 * @returns {{element: HTMLElement, got(): {date: string, odometer: Reading, deviations: string[]} | {refuse: string, at: HTMLElement | null}}}
 */
export function when(vehicle, records, today, old) {
  const clock = vehicle.odometer
  const known = knownOf(vehicle, records, old?.id)
  const last = known.filter((one) => one.date <= today).at(-1)
  /** @type {Reading | null} */
  let odometer = old?.odometer ?? null
  const date = h('input', { id: 'entry-date', type: 'date', value: old?.date ?? today, max: today, required: true, 'aria-describedby': 'entry-date-says' })
  const says = h('span', { class: 'says', id: 'entry-date-says' })
  const converted = h('p', { class: 'of', role: 'status', hidden: true })
  const notice = h('p', { class: 'odd', role: 'alert', hidden: true })
  const over = h('input', { type: 'checkbox', id: 'odometer-rolled' })
  const rolled = h('div', { class: 'choice', hidden: true }, h('label', { for: 'odometer-rolled' }, over, 'It has rolled over'))
  const why = h('textarea', { id: 'odometer-why', rows: 2, autocomplete: 'off' })
  const ask = h('span', {})
  const reason = h('div', { class: 'read', hidden: true }, h('label', { for: 'odometer-why' }, ask), why)
  const was = old?.deviations.find((one) => one.startsWith('Odometer: '))
  if (was) why.value = was.slice('Odometer: '.length)

  const judged = () => {
    const value = odometer ? onClock(odometer, clock).value : null
    return value === null ? null : judgeOdometer(clock, known, date.value, value, today)
  }
  const look = () => {
    const it = judged()
    const odd = it?.odd ?? ''
    const words = odometer ? onClock(odometer, clock).says : ''
    fill(converted, words)
    show(converted, Boolean(words))
    fill(notice, it?.says ?? '')
    show(notice, Boolean(odd))
    show(rolled, odd === 'rolled')
    say(ask, odd === 'rolled' ? 'Or why the reading is right' : 'Why the reading is right')
    show(reason, odd !== '' && odd !== 'date')
    says.textContent = date.value ? '' : 'Year, month and day.'
  }
  const box = fieldOf(made({
    id: 'odometer', unit: clock.unit,
    label: `Odometer as it shows${last ? `, last known ${distance(last.value, clock.unit)} on ${last.date}` : ''}`,
  }), 'entry', (reading) => {
    odometer = reading
    look()
  })
  box.show(odometer, false)
  date.addEventListener('change', look)
  const element = h('div', {}, h('div', { class: 'read' }, h('label', { for: 'entry-date' }, 'Day it was done'), date, says), box.element, converted, notice, rolled, reason)
  look()
  return {
    element,
    got() {
      const it = judged()
      if (!odometer || !it) return { refuse: 'Type the odometer. Every interval counts from it.', at: element.querySelector('[data-field=odometer] input') }
      if (it.odd === 'date') return { refuse: it.says, at: date }
      const typed = why.value.trim()
      if (it.odd === 'rolled' && over.checked) {
        return { date: date.value, odometer, deviations: [`Odometer: rolled over${typed ? `, ${typed}` : ''}`] }
      }
      if (it.odd && typed.length < 4) {
        const wanted = it.odd === 'rolled' ? 'Tick that the odometer has rolled over, or say why the reading is right.' : 'Say why the odometer reading is right, in a few words.'
        return { refuse: wanted, at: it.odd === 'rolled' ? over : why }
      }
      return { date: date.value, odometer, deviations: it.odd ? [`Odometer: ${typed}`] : [] }
    },
  }
}
