// The page of the buy list: how much oil is needed, and the cheapest bottles that hold it. Rows of bottles are added as wanted;
// an address may give them: `?need=2.31 L&size=1 L&price=12.40&shelf=0&size=0.5 L&price=7.10`.
import { cover } from '../lib/cover.js'
import { format, fromSi, withUnit } from '../lib/quantity.js'
import { h } from '../job/dom.js'
import { unitOf } from './field.js'
import { declared, gather, put, told, unitIn, workForm } from '../reckon/form.js'

/** @typedef {import('../reckon/form.js').Input} Input */
/** @typedef {import('../lib/cover.js').Bottle} Bottle */
/** @typedef {import('../reckon/form.js').Answer} Answer */

/** What the example has; without a price the page asks for none. */
const EXAMPLE = [{ size: '1 L', price: '12.40', shelf: '' }, { size: '0.5 L', price: '7.10', shelf: '' }]
const MOST = 8
const RESULTS = ['buy', 'cost', 'over', 'need']
const INSTEAD = ['refill', 'additive', 'flush', 'spill']

/** @param {HTMLElement} root */
export function start(root) {
  const parts = declared(root, 'made')
  const list = /** @type {HTMLElement} */ (root.querySelector('[data-bottles]'))
  const add = /** @type {HTMLButtonElement} */ (root.querySelector('[data-add]'))
  let made = 0

  /** @param {{size: string, price: string, shelf: string}} given @returns {HTMLElement} */
  function row(given) {
    const key = (made += 1)
    const away = h('button', { type: 'button', class: 'btn line', onclick: () => {
      const next = element.nextElementSibling ?? element.previousElementSibling
      element.remove()
      number()
      ;(next?.querySelector('input') ?? add).focus()
      root.dispatchEvent(new Event('input'))
    } }, 'Take this size away')
    const element = h('fieldset', { class: 'bottle' }, h('legend', {}), parts.map((input) => fieldFor(input, key)), away)
    for (const input of parts) put(element, input, given[/** @type {keyof typeof given} */ (input.id)] ?? '')
    return element
  }
  function number() {
    ;[...list.children].forEach((one, i) => {
      const legend = one.querySelector('legend')
      if (legend) legend.textContent = `Bottle ${i + 1}`
    })
    add.hidden = list.children.length >= MOST
  }
  add.addEventListener('click', () => {
    const one = row({ size: '', price: '', shelf: '' })
    list.append(one)
    number()
    one.querySelector('input')?.focus()
    root.dispatchEvent(new Event('input'))
  })

  /** @returns {{bottles: (Bottle & {shown: string})[], given: string[], wrong: boolean}} the rows that have a size */
  function rows() {
    const read = [...list.children].map((element) => ({ element, ...gather(element, parts) }))
    const priced = read.some(({ values }) => values.price !== undefined)
    let wrong = false
    const bottles = read.flatMap(({ element, values, missing }) => {
      const empty = [...element.querySelectorAll('input')].every(({ value }) => !value.trim())
      if (empty) told(element, 'size', '', false)
      else if (missing.size) wrong = true
      if (empty || values.size === undefined) return []
      const { size, price, shelf: stock = 0 } = values
      if (priced && price === undefined && !missing.has('price')) {
        told(element, 'price', stock ? 'No price: taken from the shelf only.' : 'Type its price, or leave all prices out. It is not counted now.', !stock)
      }
      const unit = unitIn(element, 'size')
      return [{ size, price: price ?? null, stock, shown: withUnit(trimmed(fromSi(size, unitOf(unit))), unit) }]
    })
    const given = bottles.map(({ shown, price, stock }) =>
      `bottle ${shown}${price === null ? '' : ` at ${price?.toFixed(2)}`}${stock ? `, ${stock} on the shelf` : ''}`)
    return { bottles, given, wrong }
  }

  return workForm(root, {
    title: 'Buy list',
    fill(asked) {
      const sizes = asked.getAll('size')
      const [prices, shelves] = [asked.getAll('price'), asked.getAll('shelf')]
      const rows = sizes.map((size, i) => ({ size, price: prices[i] ?? '', shelf: shelves[i] ?? '' })).slice(0, MOST)
      // Beside an amount of one's own the prices of an example would be taken for one's own too.
      const example = asked.size ? EXAMPLE.map((one) => ({ ...one, price: '' })) : EXAMPLE
      list.append(...(rows.length ? rows : example).map(row))
      number()
    },
    // The figures of the need are not counted where it is given whole.
    rest: (given) => !given('size') || !(given('need') || (given('refill') && given('spill'))),
    work(figures) {
      const { values, missing } = figures
      const known = values.need !== undefined
      for (const id of INSTEAD) if (known && !missing.has(id)) told(root, id, 'Not counted: the amount needed is given above.', false)
      const waits = [...missing].filter(([id]) => !(known && INSTEAD.includes(id))).map(([, label]) => label)
      const { refill = 0, additive = 0, flush = 0, spill = 0, open = 0 } = values
      const whole = values.need ?? (refill - additive + flush) * (1 + spill)
      const need = Math.max(0, whole - open)
      if (waits.length) return none(`Needs: ${waits.join(', ')}`)
      if (!known && additive > refill) return none('Refused, see above.', 'The additive is more than the refill. Check both, and their units.')
      if (known) figures.given = figures.given.filter((one) => !INSTEAD.some((id) => one.startsWith(`${labelOf(root, id)} `)))

      const { bottles, given, wrong } = rows()
      /** @type {Record<string, Answer>} */
      const answers = { need: amounts(need, open ? `${litres(whole)} less ${litres(Math.min(open, whole))} in opened bottles` : '') }
      const found = wrong || !bottles.length ? null : cover(need, bottles)
      if (found) {
        const times = (/** @type {number} */ n, /** @type {number} */ i) => n && `${n} × ${bottles[i]?.shown}`.replaceAll(' ', '\u00a0')
        const buy = found.bottles.map(({ count }, i) => times(count, i)).filter(Boolean)
        const shelf = found.bottles.map((one, i) => times(one.shelf, i)).filter(Boolean)
        answers.buy = {
          main: buy.join(' + ') || 'nothing',
          also: [shelf.length && `from the shelf ${shelf.join(' + ')}`, !found.proven && 'a good choice, not proved the best: give fewer sizes'].filter(Boolean).join('; '),
        }
        answers.cost = found.cost === null ? 'No prices typed: the least is bought.' : { main: found.cost.toFixed(2) }
        answers.over = amounts(found.over, '')
      } else {
        const why = wrong ? 'Needs: a bottle above put right' : bottles.length ? 'Nothing to buy has a price, and the shelf does not hold enough.' : 'Needs: the size of a bottle'
        for (const id of ['buy', 'cost', 'over']) answers[id] = why
      }
      const ordered = Object.fromEntries(RESULTS.map((id) => [id, answers[id] ?? '']))
      return { answers: ordered, given, source: 'Common practice, no source', state: 'unverified' }
    },
  })
}

/** @param {string} why @param {string} [refused] @returns {import('../reckon/form.js').Worked} */
const none = (why, refused = '') => ({ answers: Object.fromEntries(RESULTS.map((id) => [id, why])), refused, source: '', state: '' })

/** @param {number} value @returns {string} as short as it is exact */
const trimmed = (value) => String(Number(value.toPrecision(6)))

/** @param {number} si m³ @returns {string} */
const litres = (si) => withUnit(format(fromSi(si, unitOf('L')), 3), 'L')

/** @param {number} si m³ @param {string} says @returns {Answer} */
function amounts(si, says) {
  const others = ['US qt', 'imp pt'].map((unit) => withUnit(format(fromSi(si, unitOf(unit)), 3), unit))
  return { main: litres(si), also: [...(si > 0 ? [others.join(' · ')] : []), says].filter(Boolean).join('; ') }
}

/** @param {HTMLElement} root @param {string} id @returns {string} */
const labelOf = (root, id) => declared(root).find((input) => input.id === id)?.label ?? ''

/** @param {Input} input @param {number} key @returns {HTMLElement} as the build makes the others */
function fieldFor(input, key) {
  const id = `in-${input.id}-${key}`
  const unit = unitOf(input.unit)
  const symbols = unit.dimension === 'volume' ? VOLUMES : []
  return h('div', { class: 'field', 'data-input': input.id },
    h('label', { for: id }, input.label),
    h('div', { class: 'pair' },
      h('input', { class: 'q', id, type: 'text', inputmode: 'decimal', autocomplete: 'off', spellcheck: 'false', 'aria-describedby': `say-${id}` }),
      symbols.length > 0 && h('select', { class: 'q', 'aria-label': `Unit of: ${input.label}` }, symbols.map((symbol) => h('option', {}, symbol)))),
    h('p', { class: 'say', id: `say-${id}`, 'data-say': true }))
}
const VOLUMES = ['L', 'mL', 'US qt', 'US pt', 'US gal', 'US fl oz', 'imp pt', 'imp qt', 'imp gal', 'imp fl oz']
