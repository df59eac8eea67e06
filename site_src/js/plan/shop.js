// The buy list: fluids with the cheapest bottles, part bottles of the shelf, what else is used up, tools to have, buy or
// borrow. Sizes, prices, shops and what one has are typed once and remembered.
import { h } from '../job/dom.js'
import { format, fromSi, withUnit } from '../lib/quantity.js'
import { lines, purchase, sizes, things } from '../lib/plan/buy.js'
import { today } from '../own/where.js'
import { units } from '../data/units.js'
import { choose, field, si, tickBox, volume } from './field.js'
import { worded } from './jobs.js'

/** @typedef {import('./kept.js').Job} Job */
/** @typedef {import('./kept.js').Plan} Plan */
/** @typedef {import('./kept.js').Known} Known */
/** @typedef {import('../lib/plan/buy.js').Line} Line */
/** @typedef {{text: string, shop: string, cost: number | null, key: string}} Bought a line of the list as it is shared */

const litres = (/** @type {number} */ value) => {
  const unit = value > 0 && value < 0.0005 ? 'mL' : 'L'
  return withUnit(format(fromSi(value, units[unit] ?? { factor: 1, offset: 0 }), 3), unit)
}

/** @param {Job[]} jobs @param {Plan} plan */
export function reckoned(jobs, plan) {
  const wanted = jobs.map(({ card, unit, vehicle }) => ({ card, unit, vehicle: vehicle.short }))
  return { fluids: lines(wanted, (si(plan.spill, '%') ?? 0.05), si(plan.flush, 'L') ?? 0), sizes: sizes(wanted), ...things(wanted, worded) }
}

/** @param {Line} line @param {Known} known @returns {{result: ReturnType<typeof purchase>, offers: import('./kept.js').Offer[], sizes: number[]}} */
function bottlesFor(line, known) {
  const offers = known.offers[line.key] ?? []
  const read = offers.flatMap((offer) => {
    const size = volume(offer.size)
    const price = si(offer.price, '')
    const stock = Math.max(0, Math.floor(si(offer.stock, '') ?? 0))
    return size === null ? [] : [{ offer, bottle: { size, price: offer.price ? price : null, stock } }]
  })
  const open = known.shelf.map((one) => ({ ...one, left: volume(one.left) ?? 0 }))
  return { result: purchase(line, open, read.map(({ bottle }) => bottle), today()), offers: read.map(({ offer }) => offer), sizes: read.map(({ bottle }) => bottle.size) }
}

/** @param {Line} line @param {Known} known @returns {Bought[]} */
function bought(line, known) {
  const { result, offers } = bottlesFor(line, known)
  const need = `${line.what}: ${litres(line.need)}${line.unknown.length ? ' and more' : ''}`
  if (!result.buy) return [{ text: `${need}, bottles not chosen`, shop: '', cost: null, key: line.key }]
  return result.buy.bottles.flatMap(({ count }, i) => {
    const offer = offers[i]
    return count && offer ? [{ text: `${count} × ${offer.size} ${line.what}`, shop: offer.shop, cost: offer.price ? count * (si(offer.price, '') ?? 0) : null, key: `${line.key}|${offer.size}` }] : []
  })
}

/** @param {ReturnType<typeof reckoned>} found @param {Known} known @returns {Bought[]} all that is bought, tools among it */
export function shopping(found, known) {
  return [
    ...found.fluids.flatMap((line) => bought(line, known)),
    ...found.parts.map(({ text, jobs }) => ({ text: `${text} (${jobs.join(', ')})`, shop: known.shops[text] ?? '', cost: null, key: text })),
    ...found.tools.filter(({ text }) => known.have[text] === 'buy' || known.have[text] === 'borrow').map(({ text }) => ({ text: `${known.have[text] === 'borrow' ? 'Borrow' : 'Tool'}: ${text}`, shop: known.shops[text] ?? '', cost: null, key: text })),
  ]
}

/** @param {Bought[]} all @returns {[string, Bought[]][]} by shop, the one without a name last */
export function byShop(all) {
  const shops = [...new Set(all.map(({ shop }) => shop))].sort((a, b) => Number(!a) - Number(!b) || a.localeCompare(b))
  return shops.map((shop) => [shop, all.filter((one) => one.shop === shop)])
}

/** @param {Bought[]} all @returns {string} */
export const sum = (all) => (all.some(({ cost }) => cost !== null) ? all.reduce((total, { cost }) => total + (cost ?? 0), 0).toFixed(2) : '')

/**
 * @param {ReturnType<typeof reckoned>} found @param {Plan} plan @param {Known} known @param {() => void} changed
 * @returns {HTMLElement[]}
 */
export function shop(found, plan, known, changed) {
  return [
    field('Spill and what stays in the pump', plan.spill, (typed) => (plan.spill = typed), changed, { unit: '%' }),
    field('Flush, for each housing that is opened', plan.flush, (typed) => (plan.flush = typed), changed, { unit: 'L' }),
    ...found.fluids.map((line) => fluid(line, known, changed)),
    h('h3', {}, 'Used up besides'), h('ul', { class: 'plain' }, found.parts.map(({ text, jobs }) => h('li', {}, text, h('span', { class: 'of' }, ` ${jobs.join(', ')}`)))),
    h('h3', {}, 'Tools'), ...found.tools.map(({ text, jobs }) => h('div', { class: 'plan-tool' },
      choose(`${text} (${jobs.join(', ')})`, known.have[text] ?? '', [['', 'to check'], ['have', 'have it'], ['buy', 'buy'], ['borrow', 'borrow']], (word) => {
        known.have[text] = word
        changed()
      }))),
    shelf(known, changed),
  ]
}

/** @param {Line} line @param {Known} known @param {() => void} changed */
function fluid(line, known, changed) {
  const { result, offers, sizes } = bottlesFor(line, known)
  const own = known.offers[line.key] ?? (known.offers[line.key] = [])
  const said = result.buy ? result.buy.bottles.flatMap(({ count, shelf: taken }, i) => [
    count && `${count} × ${offers[i]?.size}`, taken && `${taken} × ${offers[i]?.size} from the shelf`]).filter(Boolean).join(' + ') || 'nothing' : ''
  const rows = own.map((offer, index) => h('fieldset', { class: 'bottle' }, h('legend', {}, `Bottle ${index + 1}`),
    field('Size', offer.size, (typed) => (offer.size = typed), changed, { of: volume(offer.size) === null && offer.size ? 'Write a number and a unit, such as 1 L or 1 US qt.' : '' }),
    field('Price of one', offer.price, (typed) => (offer.price = typed), changed, { unit: ' ' }),
    field('Full ones on the shelf', offer.stock, (typed) => (offer.stock = typed), changed, { unit: ' ' }),
    field('Shop', offer.shop, (typed) => (offer.shop = typed), changed),
    h('button', { type: 'button', class: 'btn line', onclick: () => (own.splice(index, 1), changed()) }, 'Take this size away')))
  return h('section', { class: 'plan-fluid' }, h('h3', {}, line.what),
    h('p', {}, h('b', { class: 'slot num' }, litres(line.need)), line.state && h('span', { class: 'state un' }, line.state), line.sealed && ' Sealed bottles only.'),
    h('ul', { class: 'plain' }, line.from.map(({ job, amount, says }) => h('li', { class: 'of' }, `${job}: ${litres(amount)} (${says}).`))),
    line.unknown.map((what) => h('p', { class: 'odd' }, h('b', {}, 'Unknown. '), `${what}. The amount above is without it.`)),
    result.from > 0 && h('p', {}, `From part bottles on the shelf: ${litres(result.from)}.`),
    result.why.map((why, i) => why && known.shelf[i]?.category === line.category && h('p', { class: 'of' }, `${known.shelf[i]?.left} ${known.shelf[i]?.grade}: ${why}`)),
    said ? h('p', { class: 'result' }, h('b', {}, `Buy ${said}`), result.buy?.cost !== null && `, ${result.buy?.cost.toFixed(2)}`, `, ${litres(result.buy?.over ?? 0)} left over.`,
      result.buy && !result.buy.proven && ' A good choice, not proved the best.')
      : h('p', {}, sizes.length ? h('b', {}, 'Nothing to buy has a price, and the shelf does not hold enough.') : 'Add the sizes that your shop has, with their prices.'),
    h('details', { class: 'more screen', open: !own.length }, h('summary', {}, `Bottles${own.length ? `, ${own.length} known` : ''}`), rows,
      h('button', { type: 'button', class: 'btn line', onclick: () => (own.push({ size: '', price: '', stock: '', shop: '' }), changed()) }, 'Add a size')))
}

/** @param {Known} known @param {() => void} changed */
function shelf(known, changed) {
  return h('details', { class: 'more screen' }, h('summary', {}, `Part bottles on the shelf, ${known.shelf.length}`),
    known.shelf.map((one, index) => h('fieldset', { class: 'bottle' }, h('legend', {}, `Part bottle ${index + 1}`),
      field('Grade on the label', one.grade, (typed) => (one.grade = typed), changed),
      field('Category on the label', one.category, (typed) => (one.category = typed), changed),
      field('Left in it, such as 0.4 L', one.left, (typed) => (one.left = typed), changed),
      field('Opened on', one.opened, (typed) => (one.opened = typed), changed, { type: 'date' }),
      field('Best before', one.best, (typed) => (one.best = typed), changed, { type: 'date' }),
      h('button', { type: 'button', class: 'btn line', onclick: () => (known.shelf.splice(index, 1), changed()) }, 'Take it away'))),
    h('button', { type: 'button', class: 'btn line', onclick: () => (known.shelf.push({ grade: '', category: '', left: '', opened: '', best: '' }), changed()) }, 'Add a part bottle'))
}

/** @param {Bought[]} all @param {ReturnType<typeof reckoned>} found @param {Plan} plan @param {() => void} changed @returns {HTMLElement[]} ticked while shopping */
export function list(all, found, plan, changed) {
  const sized = found.sizes.length > 0 && h('section', {}, h('h3', {}, 'Sizes to take along'), h('ul', { class: 'plain' }, found.sizes.map((one) => h('li', {}, one))))
  return [...byShop(all).map(([name, mine]) => h('section', {}, h('h3', {}, name || 'Shop not named', sum(mine) && `, ${sum(mine)}`),
    mine.map((one) => tickBox(`${one.text}${one.cost === null ? '' : `, ${one.cost.toFixed(2)}`}`, plan.ticked.includes(one.key), (on) => {
      plan.ticked = plan.ticked.filter((key) => key !== one.key).concat(on ? [one.key] : [])
      changed()
    })))), ...(sized ? [sized] : [])]
}

/** What lies ready on the day; on the screen each is picked instead. @param {ReturnType<typeof reckoned>} found @param {Known} known @returns {HTMLElement[]} */
export const toolsOnPaper = (found, known) => [h('h3', {}, 'Tools to lay out'), h('ul', { class: 'plain' }, found.tools.map(({ text, jobs }) => h('li', {}, h('i', { class: 'pen paper' }), ` ${text} `,
  h('span', { class: 'of' }, [known.have[text], jobs.join(', ')].filter(Boolean).join(', ')))))]
