// One's own vehicles: listed, added, taken in from a file; the demo garage hidden and shown again.
import { fill, h } from '../job/dom.js'
import { small } from '../own/parts.js'
import { addressOf, base } from '../own/where.js'
import * as garage from '../garage.js'
import * as store from '../store.js'

/** @param {HTMLElement} root */
export async function start(root) {
  try {
    await draw(root)
  } catch (error) {
    fill(root, h('p', { role: 'alert' }, `The vehicles could not be read. ${error instanceof store.NotSaved ? error.says : error instanceof Error ? error.message : error}`))
  }
}

/** @param {HTMLElement} root */
async function draw(root) {
  const [site, all, { hidden }] = await Promise.all([garage.site(), garage.sheets(), garage.demo()])
  const own = all.filter((one) => one.own)
  const slot = h('div', { class: 'slot' })
  /** Open a form under the buttons; it is loaded when it is wanted. @param {() => Promise<HTMLElement>} load */
  const open = (load) => async () => {
    fill(slot, await load().catch((error) => h('p', { class: 'odd', role: 'alert' }, `This part is not on this phone. Open the site once with signal. (${error.message})`)))
    slot.scrollIntoView({ block: 'start' })
    slot.querySelector('h2')?.focus({ preventScroll: true })
  }
  const add = open(async () => (await import('../own/add.js')).addForm(() => fill(slot)))
  const take = open(async () => (await import('../own/takein.js')).takeIn())
  const toggled = h('p', { class: 'odd', role: 'alert' })
  const toggle = async () => {
    try {
      await garage.showDemo(hidden)
      await draw(root)
    } catch (error) {
      toggled.textContent = `NOT saved. ${error instanceof store.NotSaved ? error.says : error}`
    }
  }
  const row = (/** @type {string} */ href, /** @type {string} */ name, /** @type {string} */ beneath) => h('a', { class: 'row big', href }, h('b', {}, name), h('span', {}, beneath))
  fill(root,
    own.length ? own.map(({ id, sheet }) => {
      const units = Object.keys(sheet.units).length
      return row(addressOf(id), sheet.name, `${sheet.odometer.reading} on ${sheet.odometer.as_of}, ${units} unit${units > 1 ? 's' : ''}, revision ${sheet.rev}${sheet.invented ? ', invented' : ''}`)
    }) : h('p', {}, 'None yet. Name, odometer, tyre size and a few ticks: it takes some minutes and no signal.'),
    h('p', { class: 'of' }, 'Kept in this browser on this phone. ', h('a', { href: `${base}backup/` }, 'Backup'), ' keeps them safe.'),
    small('Add a vehicle', add), small('Take in a vehicle file', take), slot,
    h('section', {}, h('h2', {}, 'Vehicles that come with the site'), h('p', { class: 'demo' }, h('b', {}, 'Demo. '), site.demoNote),
      hidden ? h('p', {}, 'Hidden everywhere, with their log.') : [site.chosenFrom > 0 && row(`${base}vehicles/`, 'Choose vehicles', `${site.chosenFrom} come with this site, and the phone keeps those you choose`), ...site.vehicles.map((one) => row(addressOf(one.id), one.name, `${one.units} units${one.invented ? ', invented' : ''}`))],
      small(hidden ? 'Show the demo garage again' : 'Hide the demo garage', () => void toggle()), toggled))
}
