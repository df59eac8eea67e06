// A unit with all its numbers, the same look as the pages that the build makes: capacity rows, torque tags, facts.
import { fill, h } from '../job/dom.js'
import { grouped } from '../lib/sheet.js'
import { cardsFor, GEARED } from '../lib/match.js'
import { start as diagram } from '../ui/diagram.js'
import { figure, originWords } from './figures.js'
import { cardAddress } from './where.js'

/** @typedef {import('../types.js').Vehicle} Vehicle */
/** @typedef {import('../types.js').Unit} Unit */
/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('../types.js').Child} Child */
/** @typedef {import('./figures.js').Figure} Figure */
/** @typedef {{vehicle: Vehicle, unit: Unit, sheet: UnitSheet, site: SiteData, base: string}} View */

export const FILL_ORDER = ['refill', 'additive', 'dry', 'flush', 'swivel-each']

/** @param {string} state @returns {Child} */
export const stateWord = (state) => state && h('span', { class: state === 'verified' ? 'state' : 'state un' }, state)

/** @param {string} text @param {boolean} struck @returns {Child} */
const maybe = (text, struck) => (struck && text ? h('s', {}, text) : text)

/** @param {import('./figures.js').Rival} one @returns {string} */
const against = (one) => `${one.gone ? 'Superseded' : 'Against it'}: ${one.origin}${one.note ? ` (${one.note})` : ''}`

/** @param {Figure} row @returns {HTMLElement} */
export function capacityRow(row) {
  return h('tr', {},
    h('th', { scope: 'row' }, row.label, h('span', { class: 'src' }, stateWord(row.state), ` ${row.origin}`),
      row.note && h('span', { class: 'src' }, row.note), row.rivals.map((one) => h('span', { class: 'src' }, against(one)))),
    h('td', { class: 'v' }, h('span', { class: 'big' }, row.main), row.also && h('small', {}, row.also),
      row.rivals.map((one) => h('span', { class: 'rival' }, maybe(one.main, one.lost), one.also && h('small', {}, maybe(one.also, one.lost))))))
}

/** @param {string} label @returns {HTMLElement} */
export const blankRow = (label) => h('tr', {},
  h('th', { scope: 'row' }, label, h('span', { class: 'src' }, 'not known: write it here, with where it came from')),
  h('td', { class: 'v' }, h('span', { class: 'blank wide' }, h('span', { class: 'sr' }, 'blank'))))

/** @param {UnitSheet} sheet @param {SiteData} site @returns {Figure | null} */
function levelFigure({ level }, site) {
  if (!level) return null
  const [low, high] = [level.low.split(' ')[0] ?? '', level.high.split(' ')]
  return { label: 'Level', main: `${Number(low)} to ${Number(high[0])} ${high.slice(1).join(' ')}`, also: `below ${level.below}`, state: level.state,
    origin: originWords(level, site), note: level.attitude ?? 'vehicle level both ways', rivals: [] }
}

/** @param {View} view @param {string} name a slot such as fill.refill or level.rule @returns {Figure | null} */
export function rowOf({ sheet, site }, name) {
  if (name === 'level.rule') return levelFigure(sheet, site)
  const value = sheet.fills?.[name.replace(/^fill\./, '')]
  return value ? figure(site.slots[name] ?? name, value, 'volume', site) : null
}

/** @param {View} view @returns {boolean} whether a capacity is only a guide */
export const toLevel = ({ sheet }) => Object.values(sheet.fills ?? {}).some((one) => one.state !== 'verified')

/** @returns {HTMLElement} */
export const levelLine = () => h('p', { class: 'to-level' }, 'Not verified: fill to level, not to volume.')

/** @param {View} view @param {string} role @returns {HTMLElement} the stamped plate of a fastener group */
export function torqueTag({ unit, sheet, site }, role) {
  const group = sheet.fasteners?.[role]
  const fastener = unit.fasteners[role]
  if (!group || !fastener) throw new Error(`no fastener group ${role}`)
  const shown = figure(group.name, group.torque, 'torque', site)
  const [value = '', ...scale] = shown.main.split(' ')
  const target = Number(value.replace(/[^\d.]/g, ''))
  const stages = fastener.stages.map((share) => grouped(target * share, 1).replace(/\.0$/, ''))
  const what = [group.count > 1 ? `${group.count} × ${group.thread}` : group.thread, group.class && `class ${group.class}`].filter(Boolean).join(', ')
  const drawn = group.count > 1 && h('figure', { 'data-pattern': group.pattern, 'data-count': group.count }, h('figcaption', {}))
  if (drawn) diagram(drawn)
  return h('div', { class: 'tag', 'data-role': role }, h('div', {},
    h('p', { class: 'what' }, group.name), h('p', { class: 'v' }, `${value} `, h('small', {}, scale.join(' '))), h('p', { class: 'also' }, shown.also),
    h('p', { class: 'of' }, `${what}, threads ${group.thread_state.replace('-', ' ')}`),
    (stages.length > 0 || group.then) && h('p', { class: 'of' }, `${stages.join(' → ')}${stages.length ? ', then ' : ''}${group.then ?? 'one lap at full torque'}`),
    h('p', { class: 'of' }, stateWord(shown.state), ` ${shown.origin}`),
    shown.rivals.map((one) => h('p', { class: 'of' }, `${one.gone ? 'Superseded' : 'Against it'}: `, maybe(one.main, one.lost), ` ${one.origin}`))), drawn)
}

/** @param {string} label @returns {HTMLElement} */
export const blankTag = (label) => h('div', { class: 'tag' }, h('div', {}, h('p', { class: 'what' }, label),
  h('p', { class: 'v' }, h('span', { class: 'blank wide' }, h('span', { class: 'sr' }, 'blank')), ' N·m'),
  h('p', { class: 'of' }, 'Not known. Read the manual page and write it here.')))

const FACTS = { Tag: 'unit.tag', Outline: 'unit.cover', Ratio: 'unit.ratio', Differential: 'unit.diff', 'Fill plug key': 'plug.fill', 'Drain plug key': 'plug.drain' }

/** @param {View} view @returns {Child} */
export function factList({ unit }) {
  const known = Object.entries(FACTS).flatMap(([label, name]) => (unit.slots[name] ? [[label, unit.slots[name].main]] : []))
  return known.length > 0 && h('dl', { class: 'facts' }, known.map(([label, text]) => h('div', {}, h('dt', {}, label), h('dd', {}, text))))
}

/** @param {View} view @returns {Child} the row that leads to what can be worked out for this unit */
export const workOut = ({ unit, vehicle, base }) =>
  h('a', { class: 'row', href: `${base}work-out/?for=${vehicle.id}/${unit.id}` }, 'Work out for this unit')

/** @param {View} view @returns {Child} the row that leads from a unit with gears to its category, grade and additive */
export const whichOil = ({ unit, vehicle, base }) => GEARED.includes(unit.kind)
  && h('a', { class: 'row', href: `${base}keys/which-fluid/?for=${vehicle.id}/${unit.id}` }, 'Which oil goes in')

/** @param {View} view @returns {Child[]} rows that lead to the cards of this unit, filled */
export const cardRows = ({ unit, vehicle, site, base }) => cardsFor(unit, site.cards).map((card) =>
  h('a', { class: 'row', href: cardAddress(base, card.no, vehicle.id, unit.id) }, h('b', {}, card.no), ` ${card.title}`))

/**
 * @param {HTMLElement} into @param {View} view @param {{vehicle?: boolean}} [options] vehicle: named, with a way to it
 */
export function unitBlock(into, view, { vehicle: named = false } = {}) {
  const { vehicle, unit, base } = view
  const rows = [...FILL_ORDER.map((role) => `fill.${role}`), 'level.rule'].flatMap((name) => rowOf(view, name) ?? [])
  const fluid = unit.slots['fluid.name']
  const tags = Object.keys(unit.fasteners).map((role) => torqueTag(view, role))
  fill(into,
    h('h2', {}, unit.title, named && h('span', { class: 'of' }, ' · ', h('a', { href: `${base}garage/vehicle/?id=${vehicle.id}#${unit.id}` }, vehicle.name), vehicle.invented && ', invented')),
    fluid && h('p', { class: 'fluid' }, h('b', {}, fluid.main), fluid.state !== 'verified' && ' ', fluid.state !== 'verified' && stateWord(fluid.state)),
    rows.length > 0 && h('table', { class: 'cap' }, h('tbody', {}, rows.map((row) => capacityRow(row)))),
    rows.length > 0 && toLevel(view) && levelLine(), tags,
    !rows.length && !tags.length && h('p', { class: 'none' }, 'No capacity and no torque recorded.'),
    cardRows(view), whichOil(view), workOut(view))
}
