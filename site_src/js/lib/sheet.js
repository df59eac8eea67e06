// From a sheet, as the trade writes it, to what cards, jobs and look-up show. The only way there, for the site's
// vehicles and the phone's own. The build does the same for the pages that must read without a script, and the tests
// hold the two to each other, text by text.
import { toSi } from './quantity.js'

/** @typedef {import('../types').Sheet} Sheet */
/** @typedef {import('../types').UnitSheet} UnitSheet */
/** @typedef {import('../types').Stated} Stated */
/** @typedef {import('../types').Origin} Origin */
/** @typedef {import('../types').SiteData} SiteData */
/** @typedef {import('../types').Vehicle} Vehicle */
/** @typedef {import('../types').Unit} Unit */
/** @typedef {import('../types').Slot} Slot */
/** @typedef {import('../types').Fill} Fill */
/** @typedef {import('../types').Fastener} Fastener */
/** @typedef {{text: string, value: number, unit: string, symbol: string, si: number}} Amount */
/** @typedef {(text: string, where: string) => Amount} Read */

const AMOUNT = /^([-−]?\d+(?:\.\d+)?)\s+(\S.*)$/
const DIFF = {
  open: 'open', 'clutch-ls': 'limited-slip, clutches', 'cone-ls': 'limited-slip, cones', 'gear-ls': 'limited-slip, gears',
  locker: 'locker', unknown: 'unknown',
}
const ADDITIVE = { none: 'none', included: 'in the oil', separate: 'add separately', unknown: 'unknown' }
/** What a value is also shown in, and to how many decimals: the unit of the other half of the trade. */
/** @type {Record<string, [string, number]>} */
const ALSO = {
  L: ['US qt', 2], mL: ['US fl oz', 1], 'US qt': ['L', 2], 'US pt': ['L', 2], 'imp pt': ['L', 2], 'imp qt': ['L', 2],
  'lb·ft': ['N·m', 0], 'lb·in': ['N·m', 1], mm: ['in', 2], kg: ['lb', 0], km: ['mi', 0], mi: ['km', 0], '°C': ['°F', 0],
}
const SMALL_TORQUE = 14 // N·m; below it the other unit is lb·in, since lb·ft would round the value away
/** Which source wins a conflict, best first: a measured fill beats any written one, the manual page beats all torques. */
const RANK = {
  volume: ['owner-measured', 'service-manual-page', 'unit-tag-or-casting', 'supplier-data-sheet'],
  torque: ['service-manual-page', 'unit-tag-or-casting', 'supplier-data-sheet', 'owner-measured'],
}

/** Thrown where a sheet cannot be read; its message is for people: where, what is wrong, what to do. */
export class SheetError extends Error {}

/**
 * @param {string} text such as `2.35 L`
 * @param {SiteData['units']} units @param {string} where in the sheet, for the words of an error
 * @returns {Amount}
 */
export function amountOf(text, units, where) {
  const found = AMOUNT.exec(String(text).trim())
  if (!found) throw new SheetError(`${where}: ‘${text}’ is not an amount. Write a number, a space and a unit, such as 2.35 L.`)
  const [whole, number = '', unit = ''] = found
  const known = Object.hasOwn(units, unit.trim()) ? units[unit.trim()] : undefined
  if (!known) throw new SheetError(`${where}: ‘${unit}’ is not a unit of this site.`)
  const value = Number(number.replace('−', '-'))
  return { text: whole, value, unit: unit.trim(), symbol: known.symbol, si: toSi(value, known) }
}

/** @param {number} value @param {number} decimals @returns {string} a tie goes to the even digit; no minus zero */
function fixed(value, decimals) {
  const size = Math.abs(value)
  const exact = size.toFixed(decimals + 25)
  let text = size.toFixed(decimals)
  if (/^50*$/.test(exact.slice(-25))) {
    const below = exact.slice(0, -25).replace(/\.$/, '')
    if (Number(below.at(-1)) % 2 === 0) text = below
  }
  return value < 0 && Number(text) > 0 ? `−${text}` : text
}

/** @param {number} value @param {number} decimals @returns {string} a thin space between thousands */
export function grouped(value, decimals) {
  const [whole = '', part] = fixed(value, decimals).split('.')
  const apart = whole.replace(/\d(?=(\d{3})+$)/g, '$&\u202f')
  return part ? `${apart}.${part}` : apart
}

/** @param {Amount} amount @returns {string} as typed, thousands set apart */
export function shown({ text, value, unit }) {
  if (text.includes('.') || Math.abs(value) < 10_000) return value < 0 ? text.replace('-', '−') : text
  return `${grouped(value, 0)} ${unit}`
}

/** @param {Amount} amount @param {SiteData['units']} units @returns {string} in the other unit; '' where there is none */
export function also({ symbol, value, si }, units) {
  const [unit, decimals] = (symbol === 'N·m' ? [value < SMALL_TORQUE ? 'lb·in' : 'lb·ft', 0] : Object.hasOwn(ALSO, symbol) ? ALSO[symbol] : undefined) ?? ['', 0]
  const other = units[unit]
  return other ? `${grouped((si - other.offset) / other.factor, decimals)} ${unit}` : ''
}

/** @param {Origin} origin @param {SiteData} site @returns {string} `Service manual page 4-12, 2020-05-16` */
function originWords({ source, page, date }, site) {
  const title = site.sources[source] ?? source
  return [page ? `${title} ${page}` : title, date].filter(Boolean).join(', ')
}

/**
 * A superseded value has lost already: it never wins, whatever its source, and stands last.
 * @param {Stated} value @param {'volume' | 'torque'} kind
 * @returns {{first: Stated, rest: {one: Stated, lost: boolean}[]}} the one to use, and what stands beside it
 */
export function bestFirst(value, kind) {
  const other = value.other ?? []
  const every = [value, ...other.filter(({ state }) => state !== 'superseded')]
  const place = (/** @type {Stated} */ { source }) => RANK[kind].indexOf(source) + 1 || RANK[kind].length + 1
  const best = Math.min(...every.map(place))
  const [first = value, ...winners] = every.filter((one) => place(one) === best)
  const losers = every.filter((one) => place(one) !== best)
  return {
    first,
    rest: [
      ...winners.map((one) => ({ one, lost: false })), ...losers.map((one) => ({ one, lost: value.state === 'conflict' })),
      ...other.filter(({ state }) => state === 'superseded').map((one) => ({ one, lost: true })),
    ],
  }
}

/**
 * @param {string} id @param {Sheet} sheet @param {SiteData} site
 * @returns {Vehicle} throws SheetError where an amount of the sheet cannot be read
 */
export function vehicleOf(id, sheet, site) {
  /** @type {Read} */
  const read = (text, where) => amountOf(text, site.units, where)
  const si = (/** @type {string | undefined} */ text, /** @type {string} */ where) => (text === undefined ? null : read(text, where).si)
  const { unit, digits, as_of: asOf, rollovers = 0 } = sheet.odometer
  const dial = site.units[unit] ?? { factor: 1, offset: 0 }
  const indicated = (/** @type {string} */ text, /** @type {string} */ where) => {
    const amount = read(text, where)
    return amount.symbol === unit ? amount.value : (amount.si - dial.offset) / dial.factor
  }
  const tyreEras = sheet.tyre_eras.map((era, i) => ({
    since: indicated(era.since, `tyre_eras[${i}].since`), sinceDate: era.since_date ?? '', size: era.size,
    factor: era.factor, state: era.state,
  }))
  const { factor, state } = tyreEras.at(-1) ?? { factor: 1, state: 'unverified' }
  return {
    id, rev: sheet.rev, name: sheet.name, short: sheet.short, invented: sheet.invented,
    odometer: { unit, digits, reading: indicated(sheet.odometer.reading, 'odometer.reading'), asOf, rollovers },
    tyreFactor: { factor, state }, tyreEras,
    severity: sheet.severity,
    severityEras: (sheet.severity_eras ?? []).map((era, i) => ({
      since: indicated(era.since, `severity_eras[${i}].since`), sinceDate: era.since_date, use: era.use,
    })),
    service: (sheet.service ?? []).map((rule, i) => ({
      units: rule.units, distance: si(rule.distance, `service[${i}].distance`), months: rule.months ?? null,
      severeFactor: rule.severe_factor ?? 0.5, source: rule.source, state: rule.state,
    })),
    coldestStart: read(sheet.coldest_start, 'coldest_start').si,
    kerbMass: si(sheet.kerb_mass, 'kerb_mass'), rearShare: si(sheet.rear_share, 'rear_share'),
    wheelbase: si(sheet.wheelbase, 'wheelbase'),
    units: Object.fromEntries(Object.entries(sheet.units).map(([name, one]) => [name, unitOf(name, one, sheet, site)])),
  }
}

/** @param {string} id @param {UnitSheet} one @param {Sheet} sheet @param {SiteData} site @returns {Unit} */
function unitOf(id, one, sheet, site) {
  const path = `units.${id}`
  const si = (/** @type {string | undefined} */ text, /** @type {string} */ key) => (text === undefined ? null : amountOf(text, site.units, `${path}.${key}`).si)
  const fills = Object.fromEntries(Object.entries(one.fills ?? {}).map(([role, fill]) => {
    const { first, rest } = bestFirst(fill, 'volume')
    const of = (/** @type {Stated} */ { value, source }) => ({ si: amountOf(value, site.units, `${path}.fills.${role}`).si, typed: value, source })
    return [role, { ...of(first), state: fill.state, rivals: rest.map(({ one: rival, lost }) => ({ ...of(rival), lost })) }]
  }))
  const refill = Object.hasOwn(fills, 'refill') ? fills.refill : null
  return {
    id, code: one.code, title: titleOf(one), kind: one.kind, diff: one.diff ?? '', label: one.label, place: one.place,
    opensBy: one.opens_by ?? '', yellowMetal: one.yellow_metal ?? 'unknown', tag: one.tag ?? '', words: one.words ?? [],
    fluid: one.fluid ? { grade: one.fluid.grade, category: one.fluid.category, additive: one.fluid.additive ?? 'none', state: one.fluid.state } : null,
    fills,
    plugs: Object.fromEntries(Object.entries(one.plugs ?? {}).map(([name, { tool, thread = '', seal = '' }]) => [name, { tool, thread, seal }])),
    slots: slotsOf(id, one, sheet, site),
    fasteners: Object.fromEntries(Object.entries(one.fasteners ?? {}).map(([role, group]) => {
      const where = `${path}.fasteners.${role}`
      const torque = amountOf(bestFirst(group.torque, 'torque').first.value, site.units, `${where}.torque`)
      return [role, {
        role, name: group.name, count: group.count, thread: group.thread, strength: group.class ?? '', pattern: group.pattern,
        torque: torque.si, unit: torque.symbol, state: group.torque.state, threadState: group.thread_state,
        stages: (group.stages ?? []).map((share) => amountOf(share, site.units, `${where}.stages`).si), then: group.then ?? '',
      }]
    })),
    refill: refill ? { si: refill.si, state: refill.state } : null,
    level: one.level ? { low: si(one.level.low, 'level.low') ?? 0, high: si(one.level.high, 'level.high') ?? 0, below: one.level.below } : null,
    fillHoleOffset: si(one.fill_hole_offset, 'fill_hole_offset'), oilSurface: si(one.oil_surface, 'oil_surface'),
  }
}

/** @param {UnitSheet} one @returns {string} the label with its place, unless the label says the place itself */
const titleOf = ({ label, place }) => (label.toLowerCase().includes(place.toLowerCase()) ? label : `${label} ${place}`)

/**
 * @param {string} id @param {UnitSheet} one @param {Sheet} sheet @param {SiteData} site
 * @returns {Record<string, Slot>} what the unit can fill; a slot that is absent is a blank to write on
 */
function slotsOf(id, one, sheet, site) {
  /** @type {Record<string, Slot>} */
  const known = {}
  /** @param {string} name @param {string} label @param {Stated} value @param {'volume' | 'torque'} kind @param {string} key */
  const figure = (name, label, value, kind, key) => {
    const { first, rest } = bestFirst(value, kind)
    const said = (/** @type {Stated} */ stated) => {
      const amount = amountOf(stated.value, site.units, `units.${id}.${key}`)
      return { main: shown(amount), also: also(amount, site.units), origin: originWords(stated, site), note: stated.note ?? '' }
    }
    known[name] = { label, ...said(first), state: value.state, rivals: rest.map(({ one: rival, lost }) => ({ ...said(rival), lost })) }
  }
  for (const [role, fill] of Object.entries(one.fills ?? {})) figure(`fill.${role}`, site.slots[`fill.${role}`] ?? role, fill, 'volume', `fills.${role}`)
  for (const [role, group] of Object.entries(one.fasteners ?? {})) figure(`torque.${role}`, group.name, group.torque, 'torque', `fasteners.${role}.torque`)
  /** @param {string} name @param {string | undefined} main @param {string} [beside] @param {string} [state] @param {string} [origin] */
  const fact = (name, main, beside = '', state = '', origin = '') => {
    if (main) known[name] = { label: site.slots[name] ?? name, main, also: beside, state, origin, note: '', rivals: [] }
  }
  fact('unit.label', titleOf(one))
  fact('unit.tag', one.tag)
  fact('unit.cover', one.cover)
  fact('unit.ratio', one.ratio ? fixed(one.ratio, 2) : '')
  fact('unit.diff', one.diff && DIFF[/** @type {keyof typeof DIFF} */ (one.diff)])
  fact('vehicle.name', sheet.name)
  fact('vehicle.tyre-size', sheet.tyre_eras.at(-1)?.size)
  fact('plug.fill', one.plugs?.fill?.tool)
  fact('plug.drain', one.plugs?.drain?.tool)
  /** @type {[string, string | undefined][]} */
  const amounts = [
    ['odometer', sheet.odometer.reading], ['kerb-mass', sheet.kerb_mass], ['rear-share', sheet.rear_share],
    ['wheelbase', sheet.wheelbase], ['coldest-start', sheet.coldest_start],
  ]
  for (const [name, text] of amounts) {
    if (text === undefined) continue
    const amount = amountOf(text, site.units, name.replace('-', '_'))
    fact(`vehicle.${name}`, shown(amount), also(amount, site.units))
  }
  if (one.fluid) {
    const { grade, category, additive = 'none', state } = one.fluid
    const origin = originWords(one.fluid, site)
    fact('fluid.name', `${grade} ${category}`, '', state, origin)
    fact('fluid.grade', grade, '', state, origin)
    fact('fluid.category', category, '', state, origin)
    fact('fluid.additive', ADDITIVE[additive], '', state, origin)
  }
  if (one.level) {
    const { low, high, below, state, attitude = 'vehicle level both ways' } = one.level
    const [from, to] = [low, high].map((text) => amountOf(text, site.units, `units.${id}.level`))
    const plain = (/** @type {number | undefined} */ value) => String(Number(value?.toPrecision(6)))
    const main = `${plain(from?.value)} to ${plain(to?.value)} ${to?.unit}`
    known['level.rule'] = { label: 'Level', main, also: `below ${below}`, state, origin: originWords(one.level, site), note: attitude, rivals: [] }
  }
  return known
}
