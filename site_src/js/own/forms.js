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
    ...vehicleFields(sheet).filter(({ id }) => id !== 'unit' && id !== 'use'),
    { id: 'rollovers', label: 'Times it has rolled over', kind: 'whole', value: String(sheet.odometer.rollovers ?? 0) },
    { id: 'year', label: 'Model year', kind: 'whole', value: sheet.model_year ? String(sheet.model_year) : '' },
    { id: 'wheelbase', label: 'Wheelbase', kind: 'amount', units: ['mm', 'in'], value: sheet.wheelbase },
    { id: 'mass', label: 'Kerb mass', kind: 'amount', units: ['kg', 'lb'], value: sheet.kerb_mass },
    { id: 'rear', label: 'Share on the rear axle', kind: 'amount', units: ['%'], value: sheet.rear_share },
    { id: 'note', label: 'Note', kind: 'area', value: sheet.note },
  ],
  edit(draft, values) {
    putVehicle(draft, { ...values, unit: sheet.odometer.unit, use: sheet.severity }, values.short || values.name || '')
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
  const first = sheet.tyre_eras[0]?.size ?? ''
  const factorOf = (/** @type {Values} */ { size = '', measured = '' }) => (measured ? Number(measured) : tyreFactor(first, size))
  return {
    title: 'Other tyres, from an odometer reading on', lead: `Until now: ${sheet.tyre_eras.at(-1)?.size}. Distances before stay as they were.`,
    fields: [
      { id: 'size', label: 'Size on the sidewall', kind: 'text', must: true, hint: 'Such as 265/75R16.' },
      { id: 'since', label: 'Fitted at', kind: 'whole', must: true, hint: `Odometer in ${unit}, rollovers counted in.` },
      { id: 'on', label: 'Fitted on', kind: 'date', value: today() },
      { id: 'measured', label: 'True distance for 1 indicated, if you measured it', kind: 'number', hint: 'Empty: worked out from the two size codes.' },
      { id: 'method', label: 'Measured by', kind: 'pick', options: [['roll-out', 'roll-out on chalk marks'], ['GPS-track', 'a satellite track']], when: ({ measured }) => Boolean(measured) },
    ],
    edit(draft, values) {
      const factor = factorOf(values)
      if (!factor) throw new Words(`No factor from ‘${first}’ and ‘${values.size}’. Measure the roll-out and type true distance for 1 indicated.`)
      draft.tyre_eras.push({ since: `${values.since} ${unit}`, since_date: values.on, size: values.size ?? '', factor, method: values.measured ? values.method ?? '' : 'size-code',
        source: values.measured ? 'owner-measured' : 'tyre-size-code', state: values.measured ? 'unverified' : 'plausible', date: values.measured ? values.on : '' })
    },
    why: (values) => `Tyres ${values.size} from ${values.since} ${unit}.`,
    verdict: (values) => {
      const [from, to] = [outside(first), outside(values.size ?? '')]
      if (!values.size || values.measured) return ''
      return from && to ? `Outside ${(from * 1000).toFixed(1)} → ${(to * 1000).toFixed(1)} mm: factor ${tyreFactor(first, values.size)?.toFixed(4)}` : 'These sizes do not tell the diameter.'
    },
  }
}

/** @param {Sheet} sheet @returns {Change} */
export const useChange = (sheet) => ({
  title: 'Used otherwise, from an odometer reading on', lead: 'Severe use brings the next service nearer, from then on.',
  fields: [
    { id: 'use', label: 'Use', kind: 'pick', options: USE, value: (sheet.severity_eras?.at(-1)?.use ?? sheet.severity) === 'severe' ? 'normal' : 'severe' },
    { id: 'since', label: 'From', kind: 'whole', must: true, hint: `Odometer in ${sheet.odometer.unit}, rollovers counted in.` },
    { id: 'on', label: 'Since', kind: 'date', must: true, value: today() },
  ],
  edit(draft, { use, since, on = '' }) {
    draft.severity_eras = [...(draft.severity_eras ?? []), { since: `${since} ${draft.odometer.unit}`, since_date: on, use: /** @type {'normal'} */ (use) }]
  },
  why: ({ use, since }) => `Use ${use} from ${since} ${sheet.odometer.unit}.`,
})

/** @param {Sheet} sheet @param {SiteData} site @returns {Change} */
export const serviceChange = (sheet, site) => ({
  title: 'An interval of its own', lead: 'Stands in place of the rule for these units.',
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
    // A unit has one interval: the new one takes its place.
    const others = (draft.service ?? []).map((one) => ({ ...one, units: one.units.filter((id) => !units.includes(id)) })).filter((one) => one.units.length)
    draft.service = [...others, { units, ...(values.distance && { distance: values.distance }), ...(values.months && { months: Number(values.months) }),
      severe_factor: Number(values.factor) || 0.5, ...originOf(values) }]
  },
  why: (values) => `Own interval: ${[values.distance, values.months && `${values.months} months`].filter(Boolean).join(' or ')}.`,
})
