// One's own vehicle on one page: every number with its state, and a form for every change. Each change is a revision.
import { fill, h } from '../job/dom.js'
import { wall } from '../job/words.js'
import { vehicleOf } from '../lib/sheet.js'
import { small, twice } from '../own/parts.js'
import { TEMPLATES, withUnits } from '../own/templates.js'
import { unitSection } from '../own/unitsection.js'
import { unitBlock } from '../own/unitview.js'
import { addressOf, base, today } from '../own/where.js'
import * as garage from '../garage.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('../own/values.js').Change} Change */

/** @param {Error} error @returns {string} */
const missing = (error) => `This part is not on this phone. Open the site once with signal. (${error.message})`
const forms = () => import('../own/forms.js')
const changes = () => import('../own/change.js')
const keeper = () => import('../own/keep.js')

/** @param {HTMLElement} root */
export async function start(root) {
  const id = new URLSearchParams(location.search).get('id') ?? ''
  try {
    const [site, found] = await Promise.all([garage.site(), garage.sheet(id)])
    if (!found) fill(root, h('p', { role: 'alert' }, 'This vehicle is not kept in this browser. It may be in another one, or it was taken away.'), h('a', { class: 'row', href: `${base}garage/` }, 'Own vehicles'))
    else if (found.own) own(root, id, found.sheet, site)
    else theirs(root, id, found.sheet, site)
  } catch (error) {
    fill(root, h('p', { role: 'alert' }, `The vehicle could not be read. ${error instanceof store.NotSaved ? error.says : error instanceof Error ? error.message : error}`))
  }
}

/** @param {Sheet} sheet @param {SiteData} site @param {string} id */
function headOf(sheet, site, id) {
  const vehicle = vehicleOf(id, sheet, site)
  const slots = Object.values(vehicle.units)[0]?.slots ?? {}
  const of = (/** @type {string} */ name) => slots[`vehicle.${name}`]?.main ?? h('span', { class: 'blank' }, h('span', { class: 'sr' }, 'not known'))
  const heading = document.querySelector('h1')
  if (heading) heading.textContent = sheet.name
  document.title = `${sheet.short} · Fillmark`
  const use = sheet.severity_eras?.at(-1)?.use ?? sheet.severity
  return { vehicle, head: [
    sheet.invented && h('p', { class: 'demo' }, h('b', {}, 'Demo. '), site.demoNote),
    h('dl', { class: 'head' }, /** @type {[string, string | Node][]} */ ([['Odometer', of('odometer')], ['Read on', sheet.odometer.as_of], ['Tyres', of('tyre-size')], ['Use', use],
      ['Kerb mass', of('kerb-mass')], ['On the rear', of('rear-share')], ['Wheelbase', of('wheelbase')], ['Coldest start', of('coldest-start')]])
      .map(([label, text]) => h('div', {}, h('dt', {}, label), h('dd', {}, text)))),
    h('nav', { class: 'jump', 'aria-label': 'Units' }, Object.values(vehicle.units).map((unit) => h('a', { href: `#${unit.id}` }, unit.place))),
  ] }
}

/** @param {HTMLElement} root @param {string} id @param {Sheet} sheet @param {SiteData} site a vehicle that comes with the site */
function theirs(root, id, sheet, site) {
  const { vehicle, head } = headOf(sheet, site, id)
  const wrong = h('p', { class: 'odd', role: 'alert' })
  const copy = async () => {
    const [{ copyOf, idOf, prefixOf }, { keep, tail }] = await Promise.all([changes(), keeper()])
    const all = await garage.sheets()
    const prefix = prefixOf(sheet.short, all.flatMap((one) => Object.values(one.sheet.units).map(({ code }) => code)))
    const to = idOf(sheet.short, tail())
    const says = await keep(to, copyOf(sheet, prefix, today()))
    if (says) wrong.textContent = says
    else location.assign(addressOf(to))
  }
  fill(root, head[0], h('p', {}, 'It comes with the site and cannot be changed. Copy it, and change the copy.'), small('Copy to my own vehicles', copy), wrong, head.slice(1),
    Object.values(vehicle.units).map((unit) => {
      const section = h('section', { class: 'entry', id: unit.id })
      unitBlock(section, { vehicle, unit, sheet: /** @type {import('../types.js').UnitSheet} */ (sheet.units[unit.id]), site, base })
      return section
    }))
}

/** @param {HTMLElement} root @param {string} id @param {Sheet} first @param {SiteData} site */
function own(root, id, first, site) {
  let sheet = first
  /** What was just saved, and where it is said. */
  let told = { at: '', says: '' }

  /** Units whose list of what is not known yet is open. @type {Set<string>} */
  const opened = new Set()

  /** @param {string} at @param {(draft: Sheet) => void} edit @param {string} why @returns {Promise<string>} '' once kept and drawn */
  const change = async (at, edit, why) => {
    root.inert = true // no other form is opened meanwhile, to be drawn over when this one is kept
    let next
    try {
      const [{ revised }, { keep }] = await Promise.all([changes(), keeper()])
      next = revised(sheet, edit, why, today())
      const says = next ? await keep(id, next) : 'Nothing is changed.'
      if (says || !next) return says
    } catch (error) {
      if (error instanceof Error && error.name === 'Words') return error.message
      throw error
    } finally {
      root.inert = false
    }
    sheet = next
    told = { at, says: `Saved ${wall(Date.now())}, revision ${next.rev}. ${why}` }
    draw()
    const said = /** @type {HTMLElement | null} */ (root.querySelector('.going'))
    said?.focus({ preventScroll: true })
    said?.scrollIntoView({ block: 'nearest' })
    return ''
  }
  /** @param {string} at @returns {import('../own/unitsection.js').Ask} */
  const asks = (at) => async (slot, load) => {
    const means = await Promise.all([import('../own/form.js'), load()]).catch((error) => fill(slot, h('p', { class: 'odd', role: 'alert' }, missing(error))))
    if (!means) return
    const [{ form }, one] = means
    for (const other of root.querySelectorAll('.slot')) if (other !== slot) fill(other)
    const shown = form({ title: one.title, lead: one.lead, fields: one.fields, verdict: one.verdict, save: one.save ?? 'Save', cancel: () => fill(slot),
      done: (values) => change(at, (draft) => one.edit(draft, values), one.why(values)) })
    fill(slot, shown)
    shown.scrollIntoView({ block: 'start' })
    shown.querySelector('h2')?.focus({ preventScroll: true })
  }
  const saidAt = (/** @type {string} */ at) => told.at === at && h('p', { class: 'going', role: 'status', tabindex: -1 }, told.says)
  const drop = (/** @type {string} */ at) => async (/** @type {(draft: Sheet) => void} */ edit, /** @type {string} */ why) => {
    const says = await change(at, edit, why)
    if (!says) return
    told = { at, says }
    draw()
  }

  function draw() {
    try {
      paint()
    } catch (error) {
      // Stored by other means than this page; it can still be given out, or taken away.
      fill(root, h('p', { class: 'odd', role: 'alert' }, `It cannot be read. ${error instanceof Error ? error.message : error}`), foot())
    }
  }

  function paint() {
    const { vehicle, head } = headOf(sheet, site, id)
    const slot = h('div', { class: 'slot' })
    const ask = asks('')
    const units = Object.values(vehicle.units).map((unit) => unitSection(
      { vehicle, unit, sheet: /** @type {import('../types.js').UnitSheet} */ (sheet.units[unit.id]), site, base }, asks(unit.id), saidAt(unit.id), drop(unit.id), opened))
    fill(root, head[0], head[1], saidAt(''), slot,
      h('details', { class: 'more' }, h('summary', {}, 'Change the vehicle'),
        small('Vehicle and odometer', () => ask(slot, async () => (await forms()).headChange(sheet))), small('Other tyres', () => ask(slot, async () => (await forms()).tyreChange(sheet))),
        small('Other use', () => ask(slot, async () => (await forms()).useChange(sheet))), small('An interval of its own', () => ask(slot, async () => (await forms()).serviceChange(sheet, site)))),
      eras(sheet), head[2], units, addUnits(), foot())
    const here = location.hash.slice(1)
    if (here && !told.says) document.getElementById(here)?.scrollIntoView()
  }

  function addUnits() {
    const slot = h('div', { class: 'slot' })
    const add = () => asks('+')(slot, async () => ({ title: 'Add units', save: 'Add what is ticked',
      fields: TEMPLATES.map((one, index) => ({ id: String(index), label: one.name, kind: 'tick' })),
      edit(draft, values) {
        const picked = TEMPLATES.filter((_, index) => values[index])
        if (!picked.length) throw Object.assign(new Error('Tick what the vehicle has.'), { name: 'Words' })
        draft.units = withUnits(draft.units, picked, Object.values(sheet.units)[0]?.code.split('-')[0] ?? 'V')
      },
      why: (values) => `Added: ${TEMPLATES.filter((_, index) => values[index]).map((one) => one.name.toLowerCase()).join('; ')}.` }))
    return h('section', {}, h('h2', {}, 'More units'), saidAt('+'), slot, small('Add units', add))
  }

  function foot() {
    const out = h('p', { class: 'says', role: 'status' })
    const name = `${id}.yaml`
    // Ready before the tap: a phone opens its share sheet only in it.
    const means = Promise.all([import('../phone/share.js'), import('../lib/sheetfile.js')])
    const give = async () => {
      const [share, { toFile }] = await means
      out.textContent = share.told(await share.give(name, toFile(id, sheet), 'application/yaml'), name)
    }
    const copied = async () => {
      const [share, { toFile }] = await means
      out.textContent = (await share.copy(toFile(id, sheet))).says
    }
    const away = async () => {
      const says = await (await keeper()).takeAway(id, sheet.rev)
      if (says) out.textContent = says
      else location.assign(`${base}garage/`)
    }
    return h('section', {}, h('h2', {}, 'This vehicle'),
      h('a', { class: 'row', href: `${base}log/add/?vehicle=${id}` }, 'Log an entry'), h('a', { class: 'row', href: `${base}log/history/?vehicle=${id}` }, 'History to print'),
      small('Give out as a file', give), small('Copy the file’s text', copied), out,
      h('details', { class: 'more' }, h('summary', {}, `Revisions: ${sheet.rev}`), h('ol', { class: 'plain' }, [...(sheet.changed ?? [])].reverse().map((one) =>
        h('li', {}, `${one.rev}, ${one.date}: ${one.why}`)))),
      twice('Take this vehicle away', 'Tap again: it goes from this phone. Its log entries and jobs stay.', away))
  }

  draw()
}

/** @param {Sheet} sheet what holds from which reading on, where it is more than one line */
function eras({ tyre_eras: tyres, severity_eras: uses = [], service = [], severity, units }) {
  const rows = [
    ...(tyres.length > 1 ? tyres.map((one) => ['Tyres', `${one.size} from ${one.since}${one.since_date ? `, ${one.since_date}` : ''}: factor ${one.factor.toFixed(4)}, ${one.state}`]) : []),
    ...(uses.length ? [['Use', `${severity} at first`], ...uses.map((one) => ['Use', `${one.use} from ${one.since}, ${one.since_date}`])] : []),
    ...service.map((one) => ['Own interval', `${one.units.map((unit) => units[unit]?.label ?? unit).join(', ')}: ${[one.distance, one.months && `${one.months} months`].filter(Boolean).join(' or ')}, ${one.state}`]),
  ]
  return rows.length > 0 && h('dl', { class: 'facts' }, rows.map(([label, text]) => h('div', {}, h('dt', {}, label), h('dd', {}, text))))
}
