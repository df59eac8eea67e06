// Where pages get vehicles and log entries from: the phone's own first, then those that come with the site.
import { vehicleOf } from './lib/sheet.js'
import * as store from './store.js'
import { glance } from './store/early.js'

/** @typedef {import('./types.js').SiteData} SiteData */
/** @typedef {import('./types.js').Sheet} Sheet */
/** @typedef {import('./types.js').Vehicle} Vehicle */
/** @typedef {import('./types.js').LogRecord} LogRecord */

const BASE = new URL(document.documentElement.dataset.base ?? './', location.href)
const HIDDEN = 'demo-hidden'
const LOG = 'demo-log'
const CHOSEN = 'chosen' // vehicles of a site with many, by id; due/digest.js looks for a change of it too

/** @type {Map<string, Promise<any>>} */
const had = new Map()

/** @param {string} path @returns {Promise<any>} a data file of the site, read once; a plain sentence where it cannot be had */
function data(path) {
  const known = had.get(path)
  if (known) return known
  const asked = fetch(new URL(path, BASE)).catch(() => null).then((answer) => {
    if (!answer?.ok) throw new Error(`${path} is not on this phone. Open the site once with signal.`)
    return answer.json()
  })
  had.set(path, asked)
  asked.catch(() => had.delete(path)) // the next try may have signal
  return asked
}

const sheetOf = (/** @type {string} */ id) => /** @type {Promise<Sheet>} */ (data(`data/vehicles/${id}.json`))

/** @returns {Promise<SiteData>} its vehicles are those that stand on the pages: where they are many, the chosen ones */
export async function site() {
  /** @type {SiteData} */
  const all = await data('data/site.json')
  if (!all.chosenFrom) return all
  const vehicles = (await chosen()).map(async (id) => {
    const { name, short, invented, units } = await sheetOf(id)
    return { id, name, short, invented: invented === true, units: Object.keys(units).length }
  })
  return { ...all, vehicles: await Promise.all(vehicles) }
}

/** @returns {Promise<import('./types.js').VehicleRow[]>} all that a person chooses from, where they are many */
export const choice = () => data('data/choice.json')

/** @returns {Promise<string[]>} the vehicles chosen on this phone, by id */
export const chosen = async () => /** @type {any} */ (await store.noted(CHOSEN)) ?? []

/** @param {string[]} ids @returns {Promise<unknown>} kept; rejects with NotSaved */
export const choose = (ids) => changed(CHOSEN, ids)

/** @param {string} no @returns {Promise<import('./types.js').Card>} a card by its number */
export const card = (no) => data(`data/cards/${no.toLowerCase()}.json`)

/** @returns {Promise<import('./types.js').TableData[]>} the reference tables */
export const tables = () => data('data/tables.json')

/** @param {string} page @returns {Promise<import('./types.js').Key>} a key by its page */
export const key = (page) => data(`data/keys/${page}.json`)

/** @returns {Promise<{hidden: boolean, log: boolean}>} whether the demo vehicles are hidden, and the demo log is loaded */
export async function demo() {
  const [hidden, log] = await Promise.all([store.noted(HIDDEN), store.noted(LOG)])
  return { hidden: hidden === true, log: log === true }
}

/** @param {string} key @param {unknown} value @returns {Promise<unknown>} */
function changed(key, value) {
  glance.forget()
  return store.note(key, value)
}

/** @param {boolean} on @returns {Promise<unknown>} kept; rejects with NotSaved */
export const showDemo = (on) => changed(HIDDEN, !on)

/** @param {boolean} on @returns {Promise<unknown>} kept; rejects with NotSaved */
export const loadDemoLog = (on) => changed(LOG, on)

/** @returns {Promise<{id: string, at: number, sheet: Sheet}[]>} one's own, in the order added */
export async function own() {
  const since = (/** @type {{sheet: Sheet, at: number}} */ { sheet: { changed }, at }) => changed?.[0]?.date ?? new Date(at).toISOString()
  return (await store.vehicles()).flatMap(({ id, at, sheet }) => (sheet ? [{ id, at, sheet }] : []))
    .sort((a, b) => since(a).localeCompare(since(b)) || a.at - b.at)
}

/** @returns {Promise<{id: string, sheet: Sheet, own: boolean}[]>} own first; demo ones only if shown */
export async function sheets() {
  const [{ vehicles }, kept, { hidden }] = await Promise.all([site(), own(), demo()])
  const listed = vehicles.filter(({ id, invented }) => !(invented && hidden) && !kept.some((one) => one.id === id))
  const theirs = await Promise.all(listed.map(async ({ id }) => ({ id, sheet: await sheetOf(id), own: false })))
  return [...kept.map(({ id, sheet }) => ({ id, sheet, own: true })), ...theirs]
}

/** @returns {Promise<{id: string, sheet: Sheet}[]>} what no page of the site shows by itself: own ones, and chosen ones */
export const added = async () => ((await site()).chosenFrom ? sheets() : own())

/** @param {string} id @returns {Promise<{sheet: Sheet, own: boolean} | null>} also of a demo vehicle that is hidden */
export async function sheet(id) {
  const own = await store.vehicleRecord(id)
  if (own?.sheet) return { sheet: own.sheet, own: true }
  const { vehicles, chosenFrom } = await site()
  const there = vehicles.some((one) => one.id === id) || (chosenFrom && (await choice()).some((one) => one.id === id))
  return there ? { sheet: await sheetOf(id), own: false } : null
}

/** @param {string} id @returns {Promise<Vehicle | null>} rejects with SheetError where its sheet cannot be read */
export async function vehicle(id) {
  const found = await sheet(id)
  return found && vehicleOf(id, found.sheet, await site())
}

/** @returns {Promise<LogRecord[]>} what is kept, and the demo log while it is loaded and its vehicles are shown */
export async function records() {
  const [kept, { log, hidden }] = await Promise.all([store.log(), demo()])
  if (!log || hidden) return kept
  /** @type {LogRecord[]} */
  const shown = await data('data/logs/demo.json')
  return [...kept, ...shown]
}
