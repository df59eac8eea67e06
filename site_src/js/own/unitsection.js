// One unit on the page of one's own vehicle: its numbers, what is still to be typed, and a form for every change.
import { h } from '../job/dom.js'
import { DRIVES } from '../lib/match.js'
import { link, small, twice } from './parts.js'
import { BOLTS, templateOf } from './templates.js'
import { capacityRow, cardRows, factList, FILL_ORDER, levelLine, rowOf, stateWord, toLevel, torqueTag, whichOil, workOut } from './unitview.js'

/** @typedef {import('./unitview.js').View} View */
/** @typedef {import('./values.js').Change} Change */
/** @typedef {import('../types.js').Stated} Stated */
/** @typedef {import('../types.js').Child} Child */
/** @typedef {(slot: HTMLElement, load: () => Promise<Change>) => void} Ask opens a form in a place of the page; it is loaded when it is wanted */

const forms = () => import('./unitforms.js')
const values = () => import('./values.js')

/** @param {import('../types.js').Sheet} draft @param {string} id @returns {import('../types.js').UnitSheet} */
function unitIn(draft, id) {
  const unit = draft.units[id]
  if (!unit) throw new Error(`no unit ${id}`)
  return unit
}

/** @param {View} view @param {string} role @returns {[string, Stated | undefined, (draft: import('../types.js').Sheet, value: Stated) => void]} */
function fillOf({ unit, sheet, site }, role) {
  return [site.slots[`fill.${role}`] ?? role, sheet.fills?.[role], (draft, value) => {
    const one = unitIn(draft, unit.id)
    one.fills = { ...one.fills, [role]: value }
  }]
}

/** @param {View} view @param {string} role @returns {[string, Stated, (draft: import('../types.js').Sheet, value: Stated) => void]} */
function torqueOf({ unit, sheet }, role) {
  const group = sheet.fasteners?.[role]
  if (!group) throw new Error(`no fastener group ${role}`)
  return [`${group.name}, torque`, group.torque, (draft, value) => {
    const one = unitIn(draft, unit.id).fasteners?.[role]
    if (one) one.torque = value
  }]
}

/** @param {...Child} links what may be done about the row above @returns {HTMLElement} */
const acts = (...links) => h('tr', {}, h('td', { colspan: 2 }, h('div', { class: 'acts' }, links)))

/**
 * @param {View} view @param {Ask} ask @param {Child} told what was just saved here
 * @param {(edit: (draft: import('../types.js').Sheet) => void, why: string) => void} drop takes something away @param {Set<string>} opened units whose list of what is not known stays open
 * @returns {HTMLElement}
 */
export function unitSection(view, ask, told, drop, opened) {
  const { unit, sheet, site } = view
  const wanted = templateOf(sheet)
  const slot = h('div', { class: 'slot' })
  const open = (/** @type {() => Promise<Change>} */ load) => ask(slot, load)
  const value = (/** @type {string} */ role) => open(async () => (await values()).valueChange(site, 'volume', ...fillOf(view, role)))
  const rows = FILL_ORDER.flatMap((role) => {
    const row = rowOf(view, `fill.${role}`)
    const [label, there, put] = fillOf(view, role)
    if (!row || !there) return []
    const act = acts(
      there.state === 'conflict' && link('Settle it', () => open(async () => (await values()).settleChange(site, 'volume', label, there, put)), `the conflict of ${label}`),
      link('Another value', () => value(role), `for ${label}`))
    return [capacityRow(row), act]
  })
  const level = rowOf(view, 'level.rule')
  if (level) rows.push(capacityRow(level), acts(link('Change', () => open(async () => (await forms()).levelChange(unit.id, sheet, site)), 'the level rule')))
  const tags = Object.keys(unit.fasteners).flatMap((role) => {
    const [label, there, put] = torqueOf(view, role)
    const under = h('p', { class: 'acts' },
      there.state === 'conflict' && link('Settle it', () => open(async () => (await values()).settleChange(site, 'torque', label, there, put)), `the conflict of ${label}`),
      link('Another torque', () => open(async () => (await values()).valueChange(site, 'torque', label, there, put)), `for ${label}`),
      link('Change the bolts', () => open(async () => (await forms()).boltsChange(unit.id, sheet, role, site)), label))
    return [torqueTag(view, role), under]
  })
  const fluid = unit.slots['fluid.name']
  const asked = wanted.asks.filter((role) => !sheet.fills?.[role])
  const bolts = wanted.bolts.filter((role) => !sheet.fasteners?.[role])
  const named = unit.title
  const toggled = (/** @type {Event} */ event) => {
    if (/** @type {HTMLDetailsElement} */ (event.currentTarget).open) opened.add(unit.id)
    else opened.delete(unit.id)
  }
  const missing = [
    wanted.asks.length > 0 && !fluid && small('Oil: grade and category', () => open(async () => (await forms()).fluidChange(unit.id, sheet, site)), `of ${named}`),
    asked.map((role) => small(fillOf(view, role)[0], () => value(role), `of ${named}`)),
    bolts.map((role) => small(`${BOLTS[role]?.name}: bolts and torque`, () => open(async () => (await forms()).boltsChange(unit.id, sheet, role, site)), `of ${named}`)),
  ]
  const others = Object.keys(BOLTS).filter((role) => !wanted.bolts.includes(role) && !Object.hasOwn(sheet.fasteners ?? {}, role))
  return h('section', { id: unit.id, class: 'entry' },
    h('h2', {}, unit.title),
    fluid && h('p', { class: 'fluid' }, h('b', {}, fluid.main), ' ', fluid.state !== 'verified' && stateWord(fluid.state)),
    rows.length > 0 && h('table', { class: 'cap' }, h('tbody', {}, rows)),
    toLevel(view) && levelLine(), tags, factList(view), sheet.note && h('p', { class: 'of' }, sheet.note),
    told, slot,
    missing.flat().some(Boolean) && h('details', { class: 'more', open: opened.has(unit.id) || (!sheet.fills && !tags.length), ontoggle: toggled }, h('summary', {}, `Not known yet: ${missing.flat().filter(Boolean).length}`), missing),
    cardRows(view), whichOil(view), workOut(view),
    h('details', { class: 'more' }, h('summary', {}, 'Change'),
      small('What it is: label, tag, ratio', () => open(async () => (await forms()).identityChange(unit.id, sheet)), named),
      DRIVES.includes(unit.kind) && small('What it looks like: outline, bolts, plugs', () => open(async () => (await import('./outlineform.js')).outlineChange(unit.id, sheet)), named),
      fluid && small('What goes in', () => open(async () => (await forms()).fluidChange(unit.id, sheet, site)), `${named}`),
      !level && small('Level rule', () => open(async () => (await forms()).levelChange(unit.id, sheet, site)), named),
      small('Plugs and their keys', () => open(async () => (await forms()).plugsChange(unit.id, sheet)), named),
      ['flush'].filter((role) => !sheet.fills?.[role]).map((role) => small(fillOf(view, role)[0], () => value(role), `of ${named}`)),
      others.length > 0 && h('details', {}, h('summary', {}, 'Other bolts'), others.map((role) => small(BOLTS[role]?.name ?? role, () => open(async () => (await forms()).boltsChange(unit.id, sheet, role, site)), `of ${named}`))),
      aways(view, drop)))
}

/**
 * What was typed in the wrong place, or is not on the vehicle any more, goes by two taps.
 * @param {View} view @param {(edit: (draft: import('../types.js').Sheet) => void, why: string) => void} drop
 */
function aways({ unit, sheet, site }, drop) {
  const again = 'Tap again: it goes from this vehicle'
  const fills = Object.entries(sheet.fills ?? {}).map(([role, { value }]) => {
    const words = `${site.slots[`fill.${role}`] ?? role}, ${value}`
    return twice(words, again, () => drop((draft) => delete unitIn(draft, unit.id).fills?.[role], `${sheet.code} taken away: ${words}.`))
  })
  const groups = Object.entries(sheet.fasteners ?? {}).map(([role, { name, torque }]) => {
    const words = `${name}, ${torque.value}`
    return twice(words, again, () => drop((draft) => delete unitIn(draft, unit.id).fasteners?.[role], `${sheet.code} taken away: ${words}.`))
  })
  const whole = twice('The whole unit', `${again}. Its log entries stay.`, () => drop((draft) => {
    delete draft.units[unit.id]
    draft.service = draft.service?.map((one) => ({ ...one, units: one.units.filter((name) => name !== unit.id) })).filter((one) => one.units.length)
  }, `${sheet.code} taken away.`))
  return h('details', {}, h('summary', {}, 'Take something away'), fills, groups, whole)
}
