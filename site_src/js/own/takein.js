// A vehicle file taken in: read, checked in words, and kept only after a tap that says as what.
import { fill, h } from '../job/dom.js'
import { fromFile } from '../lib/sheetfile.js'
import { idOf } from './change.js'
import { inWords, keep, tail } from './keep.js'
import { small } from './parts.js'
import { addressOf, today } from './where.js'
import * as garage from '../garage.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Sheet} Sheet */

/** @returns {HTMLElement} */
export function takeIn() {
  const out = h('div', { class: 'slot' })
  const box = h('textarea', { id: 'own-paste', rows: 4, spellcheck: false, autocomplete: 'off' })
  // No accept: some phones grey out a file whose kind they do not know.
  const file = h('input', { type: 'file', id: 'own-file', onchange: async () => {
    const one = file.files?.[0]
    if (!one) return
    try {
      await show(one.size > 4_000_000 ? 'x'.repeat(1_000_001) : await one.text(), one.name)
    } catch {
      fill(out, h('p', { class: 'odd', role: 'alert' }, 'The file could not be read. Try again, or paste its text.'))
    }
  } })

  /** @param {string} text @param {string} [name] of the file */
  async function show(text, name = '') {
    const site = await garage.site()
    const got = fromFile(text, { units: site.units, sources: site.sources })
    if (!got.ok) {
      fill(out, h('p', { class: 'odd', role: 'alert' }, got.says), got.problems.length > 0 && h('ul', { class: 'plain' }, got.problems.slice(0, 12).map((one) => h('li', {}, inWords(one)))),
        got.problems.length > 12 && h('p', {}, `And ${got.problems.length - 12} more.`))
      return
    }
    const { sheet } = got
    const named = got.id || /^([a-z][a-z0-9-]*)\.(?:ya?ml|json|txt)/.exec(name)?.[1] || idOf(sheet.short, tail())
    // The site's own vehicle of that name keeps its name: this one is kept beside it.
    const taken = site.vehicles.some((one) => one.id === named) && !await store.vehicleRecord(named)
    await offer(taken ? idOf(sheet.short, tail()) : named, sheet)
  }

  /** @param {string} id @param {Sheet} sheet */
  async function offer(id, sheet) {
    const there = await store.vehicleRecord(id)
    const known = there?.sheet ?? null
    const units = Object.keys(sheet.units).length
    const what = `${sheet.name}, revision ${sheet.rev}, ${units} unit${units > 1 ? 's' : ''}${sheet.invented ? ', invented' : ''}.`
    const same = known && JSON.stringify(known) === JSON.stringify(sheet)
    const wrong = h('p', { class: 'odd', role: 'alert' })
    const save = async (/** @type {string} */ to, /** @type {Sheet} */ one, /** @type {boolean} */ fresh) => {
      const says = await keep(to, one, fresh)
      if (says) wrong.textContent = says
      else location.assign(addressOf(to))
    }
    /** On top of what is stored: the next revision, and the history says so. */
    const over = () => {
      const rev = (there?.rev ?? 0) + 1
      const { changed = [], units: all, ...head } = sheet
      return { ...head, rev, changed: [...changed.filter((one) => one.rev < rev), { rev, date: today(), why: `Taken in from a file, revision ${sheet.rev} there.` }], units: all }
    }
    fill(out, h('p', { role: 'status' }, h('b', {}, 'In the file: '), what),
      same ? [h('p', {}, 'It is here already, the same to the letter. Nothing to take in.'), h('a', { class: 'row', href: addressOf(id) }, sheet.short)]
        : known ? [h('p', {}, `${known.name} is here with revision ${known.rev}, and differs.`),
          small(`Put it in place of revision ${known.rev}`, () => void save(id, over(), false)),
          small('Keep both: take it in as another vehicle', () => void save(idOf(sheet.short, tail()), { ...sheet }, true))]
          : small('Take it in', () => void save(id, there ? over() : sheet, !there)), wrong)
  }

  return h('section', {}, h('h2', { tabindex: -1 }, 'Take in a vehicle file'),
    h('div', { class: 'read' }, h('label', { for: 'own-file' }, 'A file that a phone gave out'), file),
    h('div', { class: 'read' }, h('label', { for: 'own-paste' }, 'Or its text, pasted'), box), small('Read the text', () => void show(box.value)), out)
}
