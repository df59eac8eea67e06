// What a unit begins with when it is added: its name, the words it is found by, the level rule where the trade has one,
// and what to ask for. Never a capacity and never a torque: those are the owner's to type, with where they come from.

/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {{name: string, count?: number, pattern: 'ring' | 'rail' | 'inline' | 'single', stages: boolean, then?: string}} Bolts */
/**
 * @typedef {{id: string, name: string, code: string, unit: Omit<UnitSheet, 'code'>, asks: string[], bolts: string[]}} Template
 *   asks: fills worth typing; bolts: fastener groups worth typing, by role
 */

const AXLE = ['diff', 'differential', 'final drive', 'diff oil']
/** @type {UnitSheet['level']} */
const TO_HOLE = { low: '0 mm', high: '10 mm', below: 'fill hole', source: 'common-practice', state: 'unverified' }
const PLUGS = ['fill-plug', 'drain-plug']

/** @param {string} id @param {string} name @param {string} code @param {Omit<UnitSheet, 'code' | 'label'>} unit @param {string[]} asks @param {string[]} bolts @returns {Template} */
const of = (id, name, code, unit, asks, bolts) => ({ id, name, code, unit: { ...unit, label: unit.place.charAt(0).toUpperCase() + unit.place.slice(1) }, asks, bolts })

/** @type {Template[]} */
export const TEMPLATES = [
  of('rear-axle', 'Rear axle with a cover', 'RA', { kind: 'axle-cover', place: 'rear axle', opens_by: 'cover', words: [...AXLE, 'rear diff', 'back axle'], level: TO_HOLE },
    ['refill', 'dry', 'additive'], ['cover', 'fill-plug']),
  of('rear-axle', 'Rear axle, drain and fill plugs', 'RA', { kind: 'axle-dropout', place: 'rear axle', opens_by: 'plugs', words: [...AXLE, 'rear diff', 'back axle', 'carrier'], level: TO_HOLE },
    ['refill', 'dry', 'additive'], PLUGS),
  of('front-axle', 'Front axle with a cover', 'FA', { kind: 'front-axle', place: 'front axle', opens_by: 'cover', words: [...AXLE, 'front diff'], level: TO_HOLE },
    ['refill', 'dry'], ['cover', 'fill-plug']),
  of('front-axle', 'Front axle, drain and fill plugs', 'FA', { kind: 'front-axle', place: 'front axle', opens_by: 'plugs', words: [...AXLE, 'front diff'], level: TO_HOLE },
    ['refill', 'dry'], PLUGS),
  of('front-axle', 'Front axle with swivels', 'FA', { kind: 'swivel', place: 'front axle and swivels', words: [...AXLE, 'front diff', 'swivel', 'free-wheel hub'], level: TO_HOLE },
    ['refill', 'swivel-each'], [...PLUGS, 'swivel-plug', 'hub-bolts', 'hub-seat', 'hub-lock']),
  of('transfer', 'Transfer case', 'TC', { kind: 'transfer', place: 'transfer case', opens_by: 'plugs', words: ['transfer box', 't-case', 'low range'], level: TO_HOLE }, ['refill'], PLUGS),
  of('gearbox', 'Manual gearbox', 'MT', { kind: 'manual-box', place: 'gearbox', opens_by: 'plugs', words: ['transmission', 'manual'], level: TO_HOLE }, ['refill'], PLUGS),
  of('auto-box', 'Automatic gearbox', 'AT', { kind: 'auto-box', place: 'automatic gearbox', opens_by: 'pan', words: ['transmission', 'auto', 'pan'] }, ['refill', 'dry'], ['pan']),
  of('engine', 'Engine', 'EN', { kind: 'engine', place: 'engine', words: ['motor', 'sump', 'engine oil', 'oil filter'] }, ['refill'], ['drain-plug']),
  of('cooling', 'Cooling system', 'CO', { kind: 'cooling', place: 'cooling system', words: ['coolant', 'antifreeze', 'glycol', 'radiator'] }, ['refill', 'dry'], []),
  of('brakes', 'Brakes', 'BR', { kind: 'brakes', place: 'brakes', words: ['brake fluid', 'bleed', 'master cylinder'] }, ['refill'], ['bleed-screw']),
  of('steering', 'Power steering', 'ST', { kind: 'steering', place: 'power steering', words: ['steering box', 'steering pump', 'rack'] }, ['refill'], []),
  of('hubs', 'Wheel hubs', 'HB', { kind: 'hub', place: 'wheel hubs', words: ['wheel bearing', 'hub nut', 'grease'] }, [], ['hub-seat', 'hub-lock']),
  of('propshafts', 'Propshafts', 'PS', { kind: 'propshaft', place: 'propshafts', words: ['universal joint', 'driveshaft', 'slip yoke', 'grease'] }, [], ['flange']),
  of('wheels', 'Wheels', 'WH', { kind: 'wheels', place: 'wheels', words: ['wheel nuts', 'lug nuts', 'tyres', 'tires'] }, [], ['wheel']),
  of('battery', 'Battery', 'BT', { kind: 'battery', place: 'battery', words: ['charge', 'volts', 'terminals', 'acid'] }, [], ['clamp']),
  of('belt', 'Belts', 'BL', { kind: 'belt', place: 'belts', words: ['drive belt', 'tension', 'squeal'] }, [], ['tensioner']),
]

/** Every vehicle has it: for lifting, and for what touches every unit. */
export const WHOLE = of('whole', 'Whole vehicle', 'ALL', { kind: 'vehicle', place: 'whole vehicle', words: ['jack', 'lift', 'stands', 'crossing', 'wading'], note: 'For lifting, and for events that touch every unit.' }, [], ['joint'])

/** What is usual for a group of fasteners; count, thread, class and torque are typed. @type {Record<string, Bolts>} */
export const BOLTS = {
  cover: { name: 'Cover', pattern: 'ring', stages: true, then: 'one lap at full torque' },
  pan: { name: 'Pan', pattern: 'rail', stages: true, then: 'one lap at full torque' },
  wheel: { name: 'Wheel nuts', pattern: 'ring', stages: true, then: 'a second lap at full torque' },
  'fill-plug': { name: 'Fill plug', count: 1, pattern: 'single', stages: false },
  'drain-plug': { name: 'Drain plug', count: 1, pattern: 'single', stages: false },
  'hub-seat': { name: 'Hub nut, seating', count: 1, pattern: 'single', stages: false },
  'hub-lock': { name: 'Hub lock nut', count: 1, pattern: 'single', stages: false },
  'hub-bolts': { name: 'Hub flange bolts', pattern: 'ring', stages: true },
  'swivel-plug': { name: 'Swivel level plug', count: 1, pattern: 'single', stages: false },
  'bleed-screw': { name: 'Bleed screw', count: 1, pattern: 'single', stages: false },
  flange: { name: 'Flange or strap bolts', pattern: 'ring', stages: true },
  tensioner: { name: 'Tensioner', count: 1, pattern: 'single', stages: false },
  joint: { name: 'Joint or bush bolt', count: 1, pattern: 'single', stages: false },
  clamp: { name: 'Battery clamp', pattern: 'single', stages: false },
}
export const STAGES = ['50 %', '75 %', '100 %']

/** @param {UnitSheet} unit @returns {Template} what is worth asking for a unit of this kind */
export const templateOf = (unit) => [...TEMPLATES, WHOLE].find((one) => one.unit.kind === unit.kind && (one.unit.opens_by ?? '') === (unit.opens_by ?? ''))
  ?? TEMPLATES.find((one) => one.unit.kind === unit.kind) ?? WHOLE

/**
 * @param {Record<string, UnitSheet>} units those there are @param {Template[]} picked @param {string} prefix of their codes
 * @returns {Record<string, UnitSheet>} with those picked; a second one of its kind gets a number
 */
export function withUnits(units, picked, prefix) {
  const out = { ...units }
  for (const { id, code, unit } of picked) {
    const free = (/** @type {number} */ turn) => (turn > 1 ? `${id}-${turn}` : id)
    let turn = 1
    const taken = new Set(Object.values(out).map((one) => one.code))
    const coded = () => `${prefix}-${code}${turn > 1 ? turn : ''}`
    while (Object.hasOwn(out, free(turn)) || taken.has(coded())) turn += 1
    out[free(turn)] = { code: coded(), ...structuredClone(unit), ...(turn > 1 ? { label: `${unit.label} ${turn}` } : {}) }
  }
  return out
}
