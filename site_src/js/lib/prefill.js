// What a unit of a vehicle gives to a calculator: its sheet in, the texts for the fields out. What it does not have, or
// what fits no choice, is said and never guessed.
import { bestFirst } from './sheet.js'

/** @typedef {import('../types').Sheet} Sheet */
/** @typedef {import('../types').UnitSheet} UnitSheet */
/** @typedef {import('../types').Stated} Stated */
/** @typedef {{id: string, label: string, take?: string, kind: 'typed', unit: string}} TypedInput */
/** @typedef {{id: string, label: string, take?: string, kind: 'picked', options: Record<string, {label: string, gives: Record<string, number>}>}} PickedInput */
/** @typedef {NonNullable<UnitSheet['fasteners']>[string]} Group */
/**
 * @typedef {{text: string, state: string, note: string}} Given `text` for the field, an option by its id; `state` is ''
 *   for what the owner alone decides or reads; `note` says what is not sure about it
 * @typedef {object} Prefilled
 * @property {Record<string, Given>} fields by input
 * @property {{id: string, label: string, says: string}[]} gone inputs that the unit should give and cannot, and why
 * @property {{role: string, name: string}[]} groups to choose from, where the fields need one and none is chosen
 * @property {string} group the name of the bolts that are meant, '' where no field asks for any
 */
/** @typedef {{sheet: Sheet, one: UnitSheet, group: Group | null}} From */
/** @typedef {{text: string, state?: string, note?: string} | null} Found null where it is not recorded */

const NO_SOURCE = { state: 'unverified', note: 'no source recorded' }
const OF_GROUP = ['torque', 'torque-state', 'bolts', 'thread', 'pitch', 'class', 'pattern', 'stage-1', 'stage-2']
/** Pitch of the coarse series, mm by diameter, ISO 261: M8 alone means M8×1.25. */
/** @type {Record<string, number>} */
const COARSE = { 3: 0.5, 4: 0.7, 5: 0.8, 6: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3 }
/** @type {Record<string, string[]>} */
const THREADS = { dry: ['dry'], oiled: ['oiled', 'lubricated'], 'anti-seize': ['anti-seize'], sealant: ['sealant'], 'new-plated': ['new-plated', 'plated'] }

/** @param {Stated | undefined} value @param {'volume' | 'torque'} kind @returns {Found} */
function stated(value, kind) {
  if (!value) return null
  const { first, rest } = bestFirst(value, kind)
  const against = rest.filter(({ one }) => one.state !== 'superseded').map(({ one }) => one.value)
  return { text: first.value, state: value.state, note: against.length ? `another source says ${against.join(' and ')}` : '' }
}

/** @param {string | number | undefined} text @returns {Found} */
const fact = (text) => (text === undefined ? null : { text: String(text), ...NO_SOURCE })

/** @param {string} name @returns {(from: From) => Found} */
const fill = (name) => ({ one }) => stated(one.fills?.[name], 'volume')

/** @param {number} which of the eras, as Array.at counts @param {'width' | 'aspect' | 'rim' | 'size'} part @returns {(from: From) => Found} */
const tyre = (which, part) => ({ sheet }) => {
  const era = sheet.tyre_eras.at(which)
  const [, width, aspect, rim] = era?.size.match(/(\d{3})\s*\/\s*(\d{2,3})\s*[A-Z]*\s*(\d{2}(?:\.\d)?)/i) ?? []
  const text = { width: width && `${width} mm`, aspect: aspect && `${aspect} %`, rim: rim && `${rim} in`, size: era?.size }[part]
  return era && text ? { text, state: era.state } : null
}

/** @param {string} name @returns {(from: From) => Found} a fact of the bolts counts as sure as their torque */
const bolts = (name) => ({ group }) => {
  const text = group && { bolts: group.count, thread: group.thread, class: group.class, 'torque-state': group.thread_state }[name]
  return text === null || text === undefined ? null : { text: String(text), state: group?.torque.state ?? '' }
}

/**
 * A stage before the last one, which is the full torque; where the sheet has none it is tightened as is common practice.
 * @param {0 | 1} which @returns {(from: From) => Found}
 */
const stage = (which) => ({ group }) => {
  const before = (group?.stages ?? ['50 %', '75 %', '100 %']).slice(0, -1)
  return group && before.length <= 2 ? { text: before[which] ?? '', state: '' } : null
}

/** @type {Record<string, (from: From) => Found>} */
const TAKES = {
  refill: fill('refill'), 'dry-fill': fill('dry'), additive: fill('additive'), flush: fill('flush'), 'swivel-each': fill('swivel-each'),
  torque: ({ group }) => stated(group?.torque, 'torque'),
  bolts: bolts('bolts'), thread: bolts('thread'), pitch: bolts('thread'), class: bolts('class'), 'torque-state': bolts('torque-state'),
  'stage-1': stage(0), 'stage-2': stage(1),
  // One bolt has no shape: it is a ring of one.
  pattern: ({ group }) => group && { text: group.pattern === 'single' ? 'ring' : group.pattern, state: group.torque.state },
  ratio: ({ one }) => fact(one.ratio), 'ring-teeth': ({ one }) => fact(one.ring_teeth), 'pinion-teeth': ({ one }) => fact(one.pinion_teeth),
  'hole-offset': ({ one }) => fact(one.fill_hole_offset), surface: ({ one }) => fact(one.oil_surface),
  'level-low': ({ one: { level } }) => (level ? { text: level.low, state: level.state } : null),
  'level-high': ({ one: { level } }) => (level ? { text: level.high, state: level.state } : null),
  tyre: tyre(-1, 'size'), 'tyre-width': tyre(-1, 'width'), 'tyre-aspect': tyre(-1, 'aspect'), 'tyre-rim': tyre(-1, 'rim'),
  'old-tyre': tyre(0, 'size'), 'old-tyre-width': tyre(0, 'width'), 'old-tyre-aspect': tyre(0, 'aspect'), 'old-tyre-rim': tyre(0, 'rim'),
  'tyre-factor': ({ sheet }) => ({ text: String(sheet.tyre_eras.at(-1)?.factor ?? 1), state: sheet.tyre_eras.at(-1)?.state ?? 'unverified' }),
  'kerb-mass': ({ sheet }) => fact(sheet.kerb_mass), 'rear-share': ({ sheet }) => fact(sheet.rear_share), wheelbase: ({ sheet }) => fact(sheet.wheelbase),
  coldest: ({ sheet }) => ({ text: sheet.coldest_start }), odometer: ({ sheet }) => ({ text: sheet.odometer.reading }),
}

/**
 * @param {(TypedInput | PickedInput)[]} inputs of a calculator; those without `take` are left alone
 * @param {{sheet: Sheet, unit: string, group?: string}} from `unit` by its id, `group` by the role of its bolts
 * @returns {Prefilled}
 */
export function prefill(inputs, { sheet, unit, group: role = '' }) {
  const one = sheet.units[unit]
  if (!one) throw new Error(`${sheet.name} has no unit ‘${unit}’.`)
  const asks = inputs.filter(({ take }) => take)
  const ofGroup = asks.some(({ take = '' }) => OF_GROUP.includes(take))
  const all = one.fasteners ?? {}
  const roles = Object.keys(all)
  const chosen = Object.hasOwn(all, role) ? role : roles.length === 1 ? roles[0] ?? '' : ''
  const from = { sheet, one, group: all[chosen] ?? null }
  /** @type {Prefilled} */
  const out = {
    fields: {}, gone: [], group: ofGroup ? from.group?.name ?? '' : '',
    groups: ofGroup && roles.length > 1 ? roles.map((name) => ({ role: name, name: all[name]?.name ?? name })) : [],
  }
  for (const input of asks) {
    const { id, label, take = '' } = input
    const found = TAKES[take]?.(from) ?? null
    const open = OF_GROUP.includes(take) && !from.group && roles.length > 1
    const text = found && (input.kind === 'picked' ? pick(input, take, found.text) : typed(input, take, found.text))
    if (text) out.fields[id] = { text, state: found.state ?? '', note: found.note ?? '' }
    else out.gone.push({ id, label, says: open ? 'pick the bolts' : found ? misfit(take, found.text, input.kind) : 'not recorded' })
  }
  return out
}

/** @param {string} take @param {string} text @param {string} kind @returns {string} */
function misfit(take, text, kind) {
  if (take === 'torque-state' && text === 'unknown') return 'not known for these bolts'
  return kind === 'picked' ? `‘${text}’ is none of the choices` : `‘${text}’ cannot be read as a number`
}

/** @typedef {{metric: boolean, diameter: number, pitch: number | null, perInch: number | null}} Thread lengths in mm; pitch null where it is not said */

/** @param {string} text `M8×1.25`, `M8`, `1/2-20` @returns {Thread | null} */
export function threadOf(text) {
  const metric = /^M(\d+(?:\.\d+)?)(?:\s*[×x*]\s*(\d+(?:\.\d+)?))?$/i.exec(text.trim())
  if (metric) {
    const [, diameter = '', pitch] = metric
    return { metric: true, diameter: Number(diameter), pitch: pitch ? Number(pitch) : COARSE[Number(diameter)] ?? null, perInch: null }
  }
  const inch = /^(?:(\d+)\s+)?(\d+)(?:\/(\d+))?\s*-\s*(\d+)(?:\s*UN[CFE]{1,2})?$/i.exec(text.trim())
  if (!inch) return null
  const [, whole = '0', over = '', under = '1', turns = ''] = inch
  const diameter = Number(whole) + Number(over) / Number(under)
  return { metric: false, diameter: diameter * 25.4, pitch: 25.4 / Number(turns), perInch: Number(turns) }
}

/** @param {TypedInput} input @param {string} take @param {string} text @returns {string} for its field, '' where it cannot be used */
function typed(input, take, text) {
  if (take !== 'thread' && take !== 'pitch') return text
  const thread = threadOf(text)
  if (!thread) return ''
  if (take === 'thread') return thread.metric ? `${thread.diameter} mm` : `${thread.diameter / 25.4} in`
  if (input.unit !== '1') return thread.pitch ? `${Number(thread.pitch.toPrecision(6))} mm` : ''
  // A plain number is the pitch in millimetres of a metric thread, and the turns per inch of an inch thread.
  return thread.metric ? String(thread.pitch ?? '') : String(thread.perInch)
}

/** @param {string} text @returns {string} */
const plain = (text) => text.toLowerCase().replace(/[×*]/g, 'x').replace(/\bun[cfe]+\b/g, '').replace(/\s+/g, '')

/** @param {PickedInput} input @param {string} take @param {string} text @returns {string} the id of the one option that fits, else '' */
function pick({ options }, take, text) {
  // An option that is called just so is the one, whatever else begins like it.
  const exact = take === 'torque-state' && (THREADS[text] ?? []).find((word) => Object.hasOwn(options, word))
  if (exact) return exact
  const fits = FITS[take] ?? ((id, label) => plain(id) === plain(text) || plain(label) === plain(text))
  const found = Object.entries(options).filter(([id, { label, gives }]) => fits(id, label, text, gives))
  return found.length === 1 ? found[0]?.[0] ?? '' : ''
}

/** @type {Record<string, (id: string, label: string, text: string, gives: Record<string, number>) => boolean>} */
const FITS = {
  thread(id, label, text, gives) {
    const thread = threadOf(text)
    if (!thread) return false
    if (id === 'metric' || id === 'inch') return thread.metric === (id === 'metric')
    const other = threadOf(label)
    if (other) return near(other.diameter, thread.diameter) && near(other.pitch ?? 0, thread.pitch ?? 0)
    const carries = (/** @type {number} */ length) => Object.values(gives).some((value) => near(value * 1000, length))
    return carries(thread.diameter) && carries(thread.pitch ?? 0)
  },
  class(_id, label, text) {
    const grade = text.toLowerCase().replace('grade', '').trim()
    return label.toLowerCase().split(/[\s,:]+/).includes(grade)
  },
  'torque-state': (_id, label, text) => (THREADS[text] ?? []).some((word) => label.toLowerCase().startsWith(word)),
}

/** @param {number} a @param {number} b */
const near = (a, b) => Math.abs(a - b) < 1e-3 * Math.max(Math.abs(a), Math.abs(b))
