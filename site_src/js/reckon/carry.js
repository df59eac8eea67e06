// An answer carried on with one tap: litres to the buy list, the whole line as a note into an open job.
import { h } from '../job/dom.js'
import { base } from '../own/where.js'
import { fromSi } from '../lib/quantity.js'
import * as store from '../store.js'
import { unitOf } from '../ui/field.js'

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../store.js').Summary} Summary */

/**
 * @param {HTMLElement} root @param {Calculator} calculator @param {string} unit `vehicle/unit` that the page is for, or ''
 * @param {() => string} line the answer in one line; '' where there is none
 * @returns {Promise<(results: Record<string, number>) => void>} to be called with every new answer
 */
export async function carrying(root, calculator, unit, line) {
  const outputs = calculator.outputs.filter(({ id }) => calculator.carry[id] === 'buy-list')
  const links = outputs.map((output) => {
    const link = h('a', { class: 'row', hidden: true }, 'Put it on the buy list')
    root.querySelector(`[data-output="${output.id}"]`)?.append(link)
    return { output, link }
  })
  const jobs = Object.values(calculator.carry).includes('job') ? await openJobs(unit) : []
  const buttons = jobs.map((job) => button(job, line))
  root.querySelector('[data-jobs]')?.replaceChildren(...buttons.map(({ element }) => element))
  return (results) => {
    for (const { output, link } of links) {
      const value = fromSi(results[output.id] ?? NaN, unitOf(output.unit))
      link.hidden = !(value > 0)
      const need = `${Number(value.toPrecision(6))} ${output.unit}`
      link.href = `${base}work-out/buy-list/?${new URLSearchParams({ need, ...(unit ? { for: unit } : {}) })}`
    }
    for (const { show } of buttons) show()
  }
}

/** @param {string} unit `vehicle/unit`, or '' for any @returns {Promise<Summary[]>} open ones, the last touched first */
async function openJobs(unit) {
  const open = (await store.jobs()).filter(({ state }) => state === 'open' || state === 'resting')
  const [vehicle, id] = unit.split('/')
  /** @type {Summary[]} */
  const found = []
  for (const job of open.sort((a, b) => b.last - a.last)) {
    if (unit && job.unit !== id) continue
    // The summary has the vehicle's name only, and two may have the same.
    const [first] = unit ? await store.events(job.id) : []
    if (!unit || (first?.kind === 'begin' && first.data.copy.vehicle.id === vehicle)) found.push(job)
  }
  return found
}

/** @param {Summary} job @param {() => string} line @returns {{element: HTMLElement, show(): void}} */
function button(job, line) {
  const told = h('p', { class: 'say', role: 'status' })
  const tap = h('button', { type: 'button', class: 'btn line' }, `Put into the open job ${job.card}, ${job.unitTitle}`)
  let put = ''
  tap.addEventListener('click', async () => {
    const text = line()
    if (!text || text === put) return
    tap.disabled = true
    told.textContent = 'Saving…'
    try {
      told.textContent = await note(job.id, text)
      put = text
    } catch (error) {
      told.textContent = `NOT saved. ${error instanceof Error ? error.message : String(error)}`
    }
    tap.disabled = false
    show()
  })
  const show = () => {
    const same = line() !== '' && line() === put
    tap.disabled = same || !line()
    if (!same && put) told.textContent = ''
  }
  return { element: h('div', {}, tap, told), show }
}

/** @param {string} id @param {string} text @returns {Promise<string>} what to say once it is stored; rejects where it is not */
async function note(id, text) {
  const [{ Session }, { wall }] = await Promise.all([import('../job/session.js'), import('../job/words.js')])
  const held = await store.claim(id, () => {})
  if (!held.mine) throw new Error('The job is open in another tab. Close it there, or copy the line.')
  try {
    const events = await store.events(id)
    if (!events.length) throw new Error('The job is no longer kept in this browser.')
    const session = new Session(id, events)
    const why = session.act('note', { step: 0, text })
    if (why) throw new Error(why)
    await session.writing
    if (session.saved.kind !== 'saved') throw new Error(session.saved.says)
    return `In the job as a note. Saved ${wall(session.saved.at)}.`
  } finally {
    held.release()
  }
}
