// A conflict in words: what it is about, and where its two sides differ.
import { sentence } from '../lib/backup.js'
import { canonical } from '../lib/canonical.js'

/** @typedef {import('../lib/merge.js').Clash} Clash */
/** @typedef {{where: string, ours: string, theirs: string}} Difference */

const SHOWN = 12 // differences of one conflict
const LONG = 200

/** @param {number} count @param {string} one @param {string} [more] */
export const many = (count, one, more = `${one}s`) => `${count} ${count === 1 ? one : more}`

/** @param {number} bytes @returns {string} `640 kB`, `3.2 MB`, `10.7 GB`, unbroken */
export const size = (bytes) => (bytes < 1e6 ? `${Math.ceil(bytes / 1000)}\u00a0kB` : bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)}\u00a0MB` : `${(bytes / 1e9).toFixed(1)}\u00a0GB`)

/** @param {unknown} error @returns {string} */
export const words = (error) => (error instanceof Error && 'says' in error ? String(error.says) : error instanceof Error ? error.message : String(error))

/** @param {Clash} clash @returns {string} */
export function about({ kind, id, ours, theirs }) {
  const one = ours ?? theirs
  if (kind === 'jobs') return `Job ${one.job.card} ${one.job.title}, ${one.job.vehicle}, ${one.job.unitTitle}`
  if (kind === 'log') return `Log entry of ${one.entry.date}, ${one.entry.procedure}, ${one.entry.vehicle} ${one.entry.unit}`.trim()
  if (kind === 'vehicles') return `Vehicle ${one.sheet?.name ?? id}, revision ${one.rev}`
  return `Photo of ${one.width} by ${one.height} points`
}

/** @param {Clash} clash @returns {string} which side stays */
export const stays = ({ wins }) => (wins === 'ours'
  ? 'What is on this phone stays. The other stays in the file.'
  : 'What is in the file takes its place. The other stays in the backup of what is here now.')

/** @param {Clash} clash @returns {Difference[]} */
export function differences({ kind, ours, theirs }) {
  if (kind === 'jobs') return chains(ours.events, theirs.events)
  if (kind === 'photos') return [{ where: 'Picture', ours: size(ours.blob.bytes), theirs: size(theirs.blob.bytes) }]
  /** @type {Difference[]} */
  const out = []
  apart(ours, theirs, '', out)
  // Log entry and vehicle both lie one level down in their record.
  return out.slice(0, SHOWN).map((one) => ({ ...one, where: one.where.replace(/^(entry|sheet), /, '').replace(/^says$/, 'words') }))
}

/** @param {any[]} ours @param {any[]} theirs @returns {Difference[]} */
function chains(ours, theirs) {
  const at = ours.findIndex((event, i) => canonical(event) !== canonical(theirs[i]))
  const event = (/** @type {any} */ one) => (one ? sentence(one) : 'nothing')
  return [
    { where: 'Length', ours: many(ours.length, 'event'), theirs: many(theirs.length, 'event') },
    { where: `They part at event ${at + 1}`, ours: event(ours[at]), theirs: event(theirs[at]) },
  ]
}

/** @param {any} ours @param {any} theirs @param {string} where @param {Difference[]} out */
function apart(ours, theirs, where, out) {
  if (out.length >= SHOWN || canonical(ours) === canonical(theirs)) return
  const flat = [ours, theirs].some((one) => typeof one !== 'object' || one === null)
  if (flat) return void out.push({ where: where || 'All of it', ours: shown(ours), theirs: shown(theirs) })
  for (const key of new Set([...Object.keys(ours), ...Object.keys(theirs)])) apart(ours[key], theirs[key], where ? `${where}, ${key}` : key, out)
}

/** @param {unknown} value */
function shown(value) {
  if (value === undefined || value === null || value === '') return 'nothing'
  const text = typeof value === 'string' ? value : JSON.stringify(value)
  return text.length > LONG ? `${text.slice(0, LONG)}…` : text
}
