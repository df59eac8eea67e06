// A number of the owner's, typed with where it comes from: a capacity or a torque, beside what is there or to settle it.
import { beside, merged, settled, sure, TO_LEVEL } from '../lib/amounts.js'
import { today } from './where.js'

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').Stated} Stated */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {import('./form.js').Field} Field */
/** @typedef {import('./form.js').Values} Values */
/** @typedef {import('../lib/amounts.js').What} What */
/**
 * @typedef {{title: string, lead?: string, fields: Field[], save?: string, edit(draft: Sheet, values: Values): void,
 *   why(values: Values): string, verdict?: (values: Values) => string}} Change a form and what it does to a sheet; `edit` throws words
 */

export const VOLUMES = ['L', 'mL', 'US qt', 'US pt', 'US fl oz', 'imp pt', 'imp qt', 'imp fl oz']
export const TORQUES = ['N·m', 'lb·ft', 'lb·in', 'kgf·m']
const SOURCES = ['service-manual-page', 'unit-tag-or-casting', 'owner-measured', 'supplier-data-sheet', 'previous-owner-note', 'common-practice', 'unknown']

/** What stands in the way of a change, for the person. */
export class Words extends Error {
  name = 'Words'
}

/** @param {SiteData} site @param {string[]} [ids] @returns {[string, string][]} */
export const sourceOptions = (site, ids = SOURCES) => [['', 'Choose one'], ...ids.map((id) => /** @type {[string, string]} */ ([id, site.sources[id] ?? id]))]

/** @param {SiteData} site @param {{what?: What, ids?: string[], from?: Partial<Stated>}} [options] @returns {Field[]} where a value comes from */
export const originFields = (site, { what, ids, from = {} } = {}) => [
  { id: 'source', label: 'Where it comes from', kind: 'pick', options: sourceOptions(site, ids), must: true, value: from.source },
  { id: 'page', label: 'Page, as printed', kind: 'text', value: from.page, hint: 'You have the page before you: with its number the value is verified.', when: ({ source }) => source === 'service-manual-page' },
  ...(what === 'volume' ? [/** @type {Field} */ ({ id: 'level', label: 'Vehicle level both ways, on level ground, filled until it ran from the hole', kind: 'tick', when: ({ source }) => source === 'owner-measured' })] : []),
  { id: 'date', label: 'Read or measured on', kind: 'date', value: from.date ?? today() },
  { id: 'note', label: 'Note', kind: 'text', value: from.note },
]

/** @param {Values} values @returns {Omit<Stated, 'value'>} a lone value's origin, with the state that it has by itself */
export function originOf({ source = '', page = '', date = '', note = '', level = '' }) {
  const told = [level ? TO_LEVEL : '', note].filter(Boolean).join(' ')
  const one = { value: '', source, state: /** @type {const} */ ('unverified'), ...(date && { date }), ...(page && { page }), ...(told && { note: told }) }
  const { value: _, ...origin } = { ...one, state: sure(one, 'volume') ? /** @type {const} */ ('verified') : one.state }
  return origin
}

/** @param {Values} values @returns {Stated} */
const statedOf = (values) => ({ value: values.value ?? '', ...originOf(values), state: 'unverified' })

const SAYS = {
  verified: 'Stands as verified.', plausible: 'Stands as plausible: two independent sources within 5 %.',
  unverified: 'Stands as unverified: shown with that word until the manual page or a second source says the same.',
  conflict: 'Differs by more than 5 % from what is there: both are kept and shown as a conflict.', superseded: '',
}

/**
 * @param {SiteData} site @param {What} what @param {string} label @param {Stated | undefined} there
 * @param {(draft: Sheet, value: Stated) => void} put @returns {Change}
 */
export function valueChange(site, what, label, there, put) {
  const all = there ? [there, ...(there.other ?? [])] : []
  const result = (/** @type {Values} */ values) => {
    const added = statedOf(values)
    const slip = all[Number(values.instead) - 1]
    if (!slip) return beside(there, added, what, site.units)
    return merged([...all.filter((one) => one !== slip), added], what, site.units)
  }
  const live = all.flatMap((one, index) => (one.state === 'superseded' ? [] : [/** @type {[string, string]} */ ([String(index + 1), `In place of ${one.value}: that was a slip of mine`])]))
  return {
    title: there ? `${label}: another value` : label,
    fields: [
      { id: 'value', label, kind: 'amount', units: what === 'volume' ? VOLUMES : TORQUES, must: true, hint: 'As it is written there, in its own unit.' },
      ...(live.length ? [/** @type {Field} */ ({ id: 'instead', label: 'What is there', kind: 'pick', options: [['', 'Keep it: two values side by side'], ...live] })] : []),
      ...originFields(site, { what }),
    ],
    edit: (draft, values) => put(draft, result(values)),
    why: (values) => {
      const slip = all[Number(values.instead) - 1]
      return `${label}: ${values.value}${slip ? ` in place of ${slip.value}, a slip` : there ? ` beside ${there.value}` : ''}.`
    },
    verdict: (values) => (values.value && values.source && /^\S+ \S/.test(values.value) ? SAYS[result(values).state] : ''),
  }
}

/**
 * @param {SiteData} site @param {What} what @param {string} label @param {Stated} there
 * @param {(draft: Sheet, value: Stated) => void} put @returns {Change} a conflict settled by recording
 */
export function settleChange(site, what, label, there, put) {
  const ids = what === 'volume' ? ['owner-measured', 'service-manual-page'] : ['service-manual-page']
  const must = what === 'volume' ? 'Fill it to the level rule on level ground and type what went in, or read the manual page.' : 'Read the manual page and type what it says.'
  return {
    title: `${label}: settle it`, lead: `${must} The other values stay, struck through.`,
    fields: [
      { id: 'value', label, kind: 'amount', units: what === 'volume' ? VOLUMES : TORQUES, must: true },
      ...originFields(site, { what, ids }),
    ],
    edit(draft, values) {
      const found = statedOf(values)
      if (!sure(found, what)) throw new Words(`Not settled. ${values.source === 'owner-measured' ? 'Tick that the vehicle stood level on level ground.' : 'Type the page, as printed.'}`)
      put(draft, settled(there, found, what))
    },
    why: (values) => `${label} settled: ${values.value}.`,
    verdict: (values) => (values.value && values.source ? sure(statedOf(values), what) ? 'Settles it: stands as verified.' : 'Not enough to settle it yet.' : ''),
  }
}
