// Log an entry by hand: vehicle, unit, what was done, then only the fields of that work. Also a correction of an entry.
import * as garage from '../garage.js'
import { fill, h } from '../job/dom.js'
import { day } from '../job/words.js'
import { corrections } from '../lib/entry.js'
import { odometerOf, unitOf, workOf } from '../log/facts.js'
import { pick } from '../log/pick.js'

/** What a driveway logs most; the rest of the works stands behind one more tap. */
const USUAL = ['P18', 'P13', 'P17', 'P11', 'test', 'event']
const NONE = '' // the whole vehicle, or an event in words only

/** @param {HTMLElement} element */
export async function start(element) {
  try {
    await lay(element)
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `Nothing can be logged now: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/** @param {HTMLElement} element */
async function lay(element) {
  const base = document.documentElement.dataset.base ?? './'
  const asked = new URLSearchParams(location.search)
  const [site, sheets, records] = await Promise.all([garage.site(), garage.sheets(), garage.records()])
  const old = asked.get('replaces') ? records.find((one) => one.id === asked.get('replaces'))?.entry ?? null : null
  if (asked.get('replaces') && !old) {
    return fill(element, h('p', { role: 'alert' }, 'The entry to correct is not in this log. It may belong to the demo log, which is not loaded.'), h('a', { class: 'row', href: `${base}log/` }, 'Service log'))
  }
  const newer = old && corrections(records).get(old.id)
  if (newer) {
    return fill(element, h('p', { role: 'alert' }, `This entry was corrected on ${newer.date} already. Correct the correction.`), h('a', { class: 'row', href: `?replaces=${encodeURIComponent(newer.id)}` }, 'Correct the correction'))
  }
  if (!sheets.length) return fill(element, h('p', {}, 'There is no vehicle to log for.'), h('a', { class: 'btn', href: `${base}garage/vehicle/` }, 'Add a vehicle'))
  const later = Promise.all([import('../log/form.js'), import('../lib/due.js')]) // wanted after the last pick
  later.catch(() => {}) // told when it is wanted
  const today = day(Date.now())
  const body = h('div', {})
  /** @type {import('../types.js').Vehicle | null} */
  let vehicle = null
  let unit = old?.unit ?? asked.get('unit')
  let work = old?.procedure ?? asked.get('work')
  let event = old ? old.event ?? NONE : asked.get('event')

  const picks = {
    vehicle: pick('Vehicle', () => sheets.map(({ id, sheet }) => ({ value: id, words: sheet.name + (sheet.invented ? ', demo' : '') })), (id) => go(() => take(id))),
    unit: pick('Unit', () => {
      const units = Object.values(vehicle?.units ?? {})
      const whole = units.some((one) => one.kind === 'vehicle')
      return [...units.map((one) => ({ value: one.id, words: one.title })), ...(whole ? [] : [{ value: NONE, words: 'whole vehicle' }])]
    }, (value) => go(() => (unit = value))),
    work: pick('What was done', () => Object.entries(site.work).sort(([a], [b]) => place(a) - place(b))
      .map(([value, { title }]) => ({ value, words: title, also: USUAL.includes(value) ? '' : 'Other work' })), (value) => go(() => (work = value))),
    event: pick('What happened', () => [...site.events.filter((one) => one.after.includes(one.id)).map(({ id, event: words }) => ({ value: id, words })),
      { value: NONE, words: 'Something else' }], (value) => go(() => (event = value))),
  }
  const place = (/** @type {string} */ key) => (USUAL.indexOf(key) + 1 || USUAL.length + 1)

  /** @param {string} id */
  const take = async (id) => {
    vehicle = await garage.vehicle(id)
    if (unit !== null && unit !== NONE && !vehicle?.units[unit]) unit = null
  }
  /** After a tap: what it changes, then what follows, with the focus on it. @param {() => unknown} change */
  const go = async (change) => {
    try {
      await change()
      await next()
      const at = body.lastElementChild
      const focus = at?.matches('form') ? at : at?.querySelector('button')
      if (focus instanceof HTMLElement) focus.focus()
    } catch (error) {
      body.append(h('p', { role: 'alert' }, `It cannot be logged here: ${error instanceof Error ? error.message : String(error)}`))
    }
  }
  let turns = 0
  let laid = { key: '', element: /** @type {HTMLElement} */ (body) }
  /** Show what is picked, ask for what is not, one thing at a time; then the form. */
  const next = async () => {
    const turn = (turns += 1)
    const parts = [picks.vehicle.element]
    picks.vehicle.show(vehicle?.id ?? null)
    if (vehicle) {
      parts.push(picks.unit.element)
      picks.unit.show(unit)
    }
    if (vehicle && unit !== null) {
      parts.push(picks.work.element)
      picks.work.show(work)
    }
    if (vehicle && unit !== null && work === 'event') {
      parts.push(picks.event.element)
      picks.event.show(event)
    }
    fill(body, parts)
    if (!vehicle || unit === null || !work || !site.work[work] || (work === 'event' && event === null)) return
    const [of, which, what] = [vehicle, unit, work]
    const key = JSON.stringify([of.id, which, what, event])
    // The same picked again: what was typed stays.
    if (key === laid.key) return void body.append(laid.element)
    const [{ done, form }, { openLooks }] = await later
    if (turn !== turns) return // another pick was made meanwhile
    const open = openLooks({ today, vehicles: [of], records: records.filter(({ id }) => id !== old?.id), site })
    laid = { key, element: form({ site, vehicle: of, unit: which, work: what, event: event ?? NONE, records, open, old, today }, (entry) => {
      history.replaceState(null, '', `?vehicle=${encodeURIComponent(of.id)}`)
      fill(element, done(entry, site, of, base))
      element.querySelector('p')?.focus()
      scrollTo({ top: 0 })
    }) }
    body.append(laid.element)
  }

  const first = old?.vehicle ?? asked.get('vehicle') ?? (sheets.length === 1 ? sheets[0]?.id ?? null : null)
  if (first) await take(first)
  const of = vehicle ?? undefined
  fill(element, old && h('p', { class: 'verdict' }, h('b', {}, 'Correction. '),
    `${old.date}, ${workOf(old, site)}, ${unitOf(old, of)}, ${odometerOf(old)}. The old entry stays in the log, struck through, and counts for nothing else.`), body)
  await next()
}
