// Chooses vehicles of a site with many: found by a word, and ticked when their files are on this phone.
import { fill, h, say } from '../job/dom.js'
import * as garage from '../garage.js'
import { index, search } from '../lib/lookup.js'
import { base } from '../own/where.js'
import { choose } from '../phone/choice.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').VehicleRow} VehicleRow */

const MOST = 30 // rows at once

/** @param {HTMLElement} root */
export async function start(root) {
  try {
    const [all, first] = await Promise.all([garage.choice(), garage.chosen()])
    draw(root, all, first)
  } catch (error) {
    fill(root, h('p', { class: 'odd', role: 'alert' }, `The vehicles could not be read. ${words(error)}`))
  }
}

/** @param {HTMLElement} root @param {VehicleRow[]} all @param {string[]} first chosen before */
function draw(root, all, first) {
  // One that the site no longer has goes with the next tick: pages could not read it any more.
  const chosen = new Set(first.filter((id) => all.some((one) => one.id === id)))
  const table = index(all.map(({ name, short }) => `${name} ${short}`))
  const box = h('input', { class: 'q', id: 'find-vehicle', type: 'search', autocomplete: 'off', autocapitalize: 'none', spellcheck: 'false', enterkeyhint: 'search' })
  const count = h('p', { class: 'count', role: 'status' })
  const wrong = h('p', { class: 'odd', role: 'alert' })
  const list = h('div', { class: 'choices one' })
  let busy = false

  const show = () => {
    const query = box.value.trim()
    const found = query ? search(table, query).map(({ id }) => /** @type {VehicleRow} */ (all[id])) : all.filter(({ id }) => chosen.has(id))
    fill(list, found.slice(0, MOST).map(row))
    const more = found.length > MOST ? `, the first ${MOST} of them here. Type one word more` : ''
    say(count, query ? (found.length ? `${found.length} found${more}` : `No vehicle has “${query}”. Try one word less.`)
      : chosen.size ? `${chosen.size} kept on this phone` : 'None is kept on this phone yet. Type a name.')
  }

  /** @param {VehicleRow} one */
  const row = (one) => h('label', {}, h('input', { type: 'checkbox', checked: chosen.has(one.id), disabled: busy, onchange: () => void turn(one, !chosen.has(one.id)) }),
    h('span', {}, h('a', { href: `${base}vehicles/${one.id}/` }, one.name), ` ${one.units} units${one.invented ? ', invented' : ''}`))

  /** Ticked is what is on the phone: while it is fetched nothing else can be ticked. @param {VehicleRow} one @param {boolean} on */
  const turn = async (one, on) => {
    const next = new Set(chosen)
    if (on) next.add(one.id)
    else next.delete(one.id)
    busy = true
    wrong.textContent = ''
    show()
    say(count, on ? `Fetching ${one.name}…` : `Taking ${one.name} off…`)
    try {
      // What pages list must be there: its files come first, and go last.
      if (on) await choose([...next])
      await garage.choose([...next])
      chosen[on ? 'add' : 'delete'](one.id)
      if (!on) await choose([...next])
    } catch (error) {
      wrong.textContent = `${one.name} is ${on ? 'NOT kept' : 'not taken off'}: ${words(error)}.`
    }
    busy = false
    show()
  }

  box.addEventListener('input', show)
  fill(root, h('label', { class: 'k', for: 'find-vehicle' }, 'Vehicle'), box, count, wrong, list)
  show()
}

/** @param {unknown} error @returns {string} */
const words = (error) => (error instanceof store.NotSaved ? error.says : error instanceof Error ? error.message : String(error)).replace(/\.$/, '')
