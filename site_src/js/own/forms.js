// Every change of a vehicle as a form: its fields, and what it does to the sheet. What is left empty is left out.
import { outside, tyreFactor } from '../lib/tyre.js'
import { today } from './where.js'
import { originFields, originOf, Words } from './values.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('./form.js').Field} Field */
/** @typedef {import('./form.js').Values} Values */
/** @typedef {import('./values.js').Change} Change */

const DISTANCE = (/** @type {string} */ unit) => [unit, unit === 'mi' ? 'km' : 'mi']
/** @type {[string, string][]} */
const USE = [['normal', 'Normal'], ['severe', 'Severe: short trips, towing, mud, wading, dust']]

/** @param {Partial<Sheet>} sheet @returns {Field[]} what every vehicle needs */
export const vehicleFields = (sheet) => [
  { id: 'name', label: 'Name', kind: 'text', value: sheet.name, must: true, hint: 'As you call it, such as make, model and colour.' },
  { id: 'short', label: 'Short name', kind: 'text', value: sheet.short, hint: 'Empty: the last word of the name.' },
  { id: 'unit', label: 'Odometer counts', kind: 'pick', options: [['mi', 'miles'], ['km', 'kilometres']], value: sheet.odometer?.unit ?? 'km' },
  { id: 'digits', label: 'Digits, tenths left out', kind: 'pick', options: [['6', '6 digits'], ['5', '5 digits'], ['7', '7 digits']], value: String(sheet.odometer?.digits ?? 6) },
  { id: 'reading', label: 'Odometer shows', kind: 'whole', must: true, value: sheet.odometer?.reading.split(' ')[0] },
  { id: 'asOf', label: 'Read on', kind: 'date', must: true, value: sheet.odometer?.as_of ?? today() },
  { id: 'coldest', label: 'Coldest start', kind: 'amount', units: ['°C', '°F'], minus: true, must: true, value: sheet.coldest_start, hint: 'The coldest morning it must start on.' },
  { id: 'use', label: 'Use', kind: 'pick', options: USE, value: sheet.severity ?? 'normal' },
]

/** @param {Sheet} draft @param {Values} values @param {string} short */
export function putVehicle(draft, { name = '', unit, digits, reading, asOf = '', coldest = '', use }, short) {
  const clock = /** @type {'mi' | 'km'} */ (unit)
  Object.assign(draft, { name, short, coldest_start: coldest, severity: use })
  draft.odometer = { ...draft.odometer, unit: clock, digits: Number(digits), reading: `${reading} ${clock}`, as_of: asOf }
}

/** @param {Sheet} sheet @returns {Change} */
export const headChange = (sheet) => ({
  title: 'Vehicle and odometer',
  fields: [
    ...vehicleFields(sheet).filter(({ id }) => id !== 'unit'),
    { id: 'rollovers', label: 'Times it has rolled over', kind: 'whole', value: String(sheet.odometer.rollovers ?? 0) },
    { id: 'year', label: 'Model year', kind: 'whole', value: sheet.model_year ? String(sheet.model_year) : '' },
    { id: 'wheelbase', label: 'Wheelbase', kind: 'amount', units: ['mm', 'in'], value: sheet.wheelbase },
    { id: 'mass', label: 'Kerb mass', kind: 'amount', units: ['kg', 'lb'], value: sheet.kerb_mass },
    { id: 'rear', label: 'Share on the rear axle', kind: 'amount', units: ['%'], value: sheet.rear_share },
    { id: 'note', label: 'Note', kind: 'area', value: sheet.note },
  ],
  edit(draft, values) {
    putVehicle(draft, { ...values, unit: sheet.odometer.unit }, values.short || values.name || '')
    draft.odometer.rollovers = Number(values.rollovers) || undefined
    Object.assign(draft, { model_year: Number(values.year) || undefined, wheelbase: values.wheelbase, kerb_mass: values.mass, rear_share: values.rear, note: values.note })
  },
  why: () => 'Vehicle and odometer.',
})

/** @param {string} since @param {string} size @returns {Sheet['tyre_eras'][number]} the size that the odometer is taken to be geared for */
export const firstTyres = (since, size) => ({ since, size, factor: 1, method: 'size-code', source: 'tyre-size-code', state: 'unverified',
  note: 'Taken as the size that the odometer was geared for, so its factor is one.' })

/** @param {Sheet} sheet @returns {Change} */
export function tyreChange(sheet) {
  const { unit } = sheet.odometer
  const eras = sheet.tyre_eras
  const geared = eras[0]?.size ?? ''
  const slip = (/** @type {Values} */ { instead }) => (instead ? Number(instead) - 1 : -1)
  const factorOf = (/** @type {Values} */ values) => (values.measured ? Number(values.measured) : slip(values) === 0 ? 1 : tyreFactor(geared, values.size ?? ''))
  return {
    title: 'Tyres', lead: `Now: ${eras.at(-1)?.size}. New ones count from their odometer reading on; distances before stay as they were.`,
    fields: [
      { id: 'size', label: 'Size on the sidewall', kind: 'text', must: true, hint: 'Such as 265/75R16.' },
      { id: 'instead', label: 'What is there', kind: 'pick', options: [['', 'Keep it: other tyres were fitted'], ...eras.map((one, index) => /** @type {[string, string]} */ ([String(index + 1), `In place of ${one.size} from ${one.since}: a slip of mine`]))] },
      { id: 'since', label: 'Fitted at', kind: 'whole', must: true, hint: `Odometer in ${unit}, rollovers counted in.`, when: ({ instead }) => !instead },
      { id: 'on', label: 'Fitted on', kind: 'date', value: today(), when: ({ instead }) => !instead },
      { id: 'measured', label: 'True distance for 1 indicated, if you measured it', kind: 'number', hint: 'Empty: worked out from the two size codes.', when: ({ instead }) => instead !== '1' },
      { id: 'method', label: 'Measured by', kind: 'pick', options: [['roll-out', 'roll-out on chalk marks'], ['GPS-track', 'a satellite track']], when: ({ measured }) => Boolean(measured) },
    ],
    edit(draft, values) {
      const at = slip(values)
      const { size = '', measured } = values
      const known = draft.tyre_eras[at]
      if (known && at === 0) {
        known.size = size
        // The others were worked out against it.
        for (const era of draft.tyre_eras.slice(1)) if (era.method === 'size-code') era.factor = factor(size, era.size)
        return
      }
      const era = { size, factor: factorOf(values) ?? factor(geared, size), method: measured ? values.method ?? '' : 'size-code', source: measured ? 'owner-measured' : 'tyre-size-code',
        state: /** @type {'plausible'} */ (measured ? 'unverified' : 'plausible') }
      if (known) draft.tyre_eras[at] = { since: known.since, since_date: known.since_date, ...era }
      else draft.tyre_eras.push({ since: `${values.since} ${unit}`, since_date: values.on, ...era })
    },
    why: (values) => (values.instead ? `Tyres ${values.size} in place of ${eras[slip(values)]?.size}, a slip.` : `Tyres ${values.size} from ${values.since} ${unit}.`),
    verdict: (values) => {
      const [from, to] = [outside(geared), outside(values.size ?? '')]
      if (!values.size || values.measured || values.instead === '1') return ''
      return from && to ? `Outside ${(from * 1000).toFixed(1)} → ${(to * 1000).toFixed(1)} mm: factor ${tyreFactor(geared, values.size)?.toFixed(4)}` : 'These sizes do not tell the diameter.'
    },
  }
}

/** @param {string} geared @param {string} now @returns {number} */
function factor(geared, now) {
  const got = tyreFactor(geared, now)
  if (!got) throw new Words(`No factor from ‘${geared}’ and ‘${now}’. Measure the roll-out and type true distance for 1 indicated.`)
  return got
}

/** @param {Sheet} sheet @returns {Change} */
export const useChange = (sheet) => ({
  title: 'Used otherwise, from an odometer reading on', lead: 'Severe use brings the next service nearer, from then on.',
  fields: [
    { id: 'use', label: 'Use', kind: 'pick', options: USE, value: (sheet.severity_eras?.at(-1)?.use ?? sheet.severity) === 'severe' ? 'normal' : 'severe' },
    { id: 'since', label: 'From', kind: 'whole', must: true, hint: `Odometer in ${sheet.odometer.unit}, rollovers counted in.` },
    { id: 'on', label: 'Since', kind: 'date', must: true, value: today() },
    ...(sheet.severity_eras?.length ? [/** @type {Field} */ ({ id: 'slip', label: `In place of the last change, at ${sheet.severity_eras.at(-1)?.since}: that was a slip of mine`, kind: 'tick' })] : []),
  ],
  edit(draft, { use, since, on = '', slip }) {
    const before = draft.severity_eras ?? []
    draft.severity_eras = [...(slip ? before.slice(0, -1) : before), { since: `${since} ${draft.odometer.unit}`, since_date: on, use: /** @type {'normal'} */ (use) }]
  },
  why: ({ use, since, slip }) => `Use ${use} from ${since} ${sheet.odometer.unit}${slip ? ', in place of a slip' : ''}.`,
})

/** @param {Sheet} sheet @param {SiteData} site @returns {Change} */
export const serviceChange = (sheet, site) => ({
  title: 'An interval of its own', lead: 'Stands in place of the rule for these units. Left empty, the rule stands again.',
  fields: [
    ...Object.entries(sheet.units).map(([id, unit]) => /** @type {Field} */ ({ id: `unit ${id}`, label: `${unit.label}, ${unit.place}`, kind: 'tick' })),
    { id: 'distance', label: 'Every', kind: 'amount', units: DISTANCE(sheet.odometer.unit) },
    { id: 'months', label: 'Or every so many months', kind: 'whole' },
    { id: 'factor', label: 'Severe use: times', kind: 'number', value: '0.5', hint: '0.5 halves it, 1 leaves it.' },
    ...originFields(site),
  ],
  edit(draft, values) {
    const units = Object.keys(draft.units).filter((id) => values[`unit ${id}`])
    if (!units.length) throw new Words('Tick the units that it is for.')
    // A unit has one interval: the new one takes its place, and an empty one leaves the rule for its kind.
    const others = (draft.service ?? []).map((one) => ({ ...one, units: one.units.filter((id) => !units.includes(id)) })).filter((one) => one.units.length)
    draft.service = others
    if (values.distance || values.months) draft.service.push({ units, ...(values.distance && { distance: values.distance }), ...(values.months && { months: Number(values.months) }),
      severe_factor: Number(values.factor) || 0.5, ...originOf(values) })
  },
  why: (values) => `Own interval: ${[values.distance, values.months && `${values.months} months`].filter(Boolean).join(' or ') || 'none'}.`,
})
