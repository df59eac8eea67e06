// The page of the job clock: a card planned from the time it begins, every step and every wait by the clock on the wall.
import { plain, span } from '../job/words.js'
import { h } from '../job/dom.js'
import { earliest, onTheClock, schedule, tasksOf } from '../lib/schedule.js'
import { way } from '../lib/graph.js'
import { unitOf } from './field.js'
import { fromSi } from '../lib/quantity.js'
import { declared, fieldOf, gather, picked, put, workForm } from '../reckon/form.js'

/** @typedef {import('../types.js').Card} Card */
/** @typedef {import('../lib/schedule.js').Row} Row */

const RESULTS = ['done', 'label', 'work', 'bound']
/** A wait as long as that is slept over: the card is done in two sittings. */
const LONG = 8 * 60
/** @type {Record<string, string>} */
const WAITS = { drain: 'draining', cool: 'cooling', 'flash-off': 'drying off', set: 'setting', settle: 'settling', charge: 'charging', drive: 'driving' }

/** @param {HTMLElement} root */
export function start(root) {
  const [label] = declared(root, 'made')
  const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (root.querySelector(selector))
  const [labels, more] = [find('[data-labels]'), find('[data-more]')]
  /** @type {Card | null} */
  let card = null
  let trouble = ''
  /** What the label fields were made for. */
  let madeFor = ''

  /** The card that is picked, its options and the fields of its labels; at once where nothing has changed. */
  async function fetched() {
    const no = picked(root, 'card')
    if (card?.no.toLowerCase() === no) return
    card = null
    trouble = ''
    try {
      const had = await fetch(new URL(`data/cards/${no}.json`, new URL(document.documentElement.dataset.base ?? './', location.href)))
      if (!had.ok) throw new Error(String(had.status))
      const read = await had.json()
      if (picked(root, 'card') === no) card = read
    } catch {
      trouble = `Card ${no.toUpperCase()} cannot be read. Open the page once more while there is a network, so that it is saved.`
    }
    const options = Object.entries(card?.choice?.options ?? {})
    const field = fieldOf(root, 'option')
    const select = field?.querySelector('select')
    if (!field || !select) return
    field.hidden = !options.length
    select.replaceChildren(...options.map(([value, words]) => h('option', { value }, words)))
  }
  function asked() {
    const option = picked(root, 'option')
    const made = `${card?.no} ${option}`
    if (made === madeFor || !label) return
    madeFor = made
    const steps = card?.steps.filter((step) => way(step, option).label) ?? []
    labels.replaceChildren(...steps.map((step) => {
      const { wait, waitKind } = way(step, option)
      const id = `in-label-${step.no}`
      const box = h('div', { 'data-label': step.no }, h('div', { class: 'field', 'data-input': 'label' },
        h('label', { for: id }, `After step ${step.no}, ${WAITS[waitKind] ?? waitKind}: time on the label`),
        h('div', { class: 'pair' },
          h('input', { class: 'q', id, type: 'text', inputmode: 'decimal', autocomplete: 'off', 'aria-describedby': `say-${id} lim-${id}` }),
          h('select', { class: 'q', 'aria-label': `Unit of: time on the label after step ${step.no}` }, ['min', 'h', 'd'].map((unit) => h('option', {}, unit)))),
        h('p', { class: 'say', id: `say-${id}`, 'data-say': true }),
        h('p', { class: 'of', id: `lim-${id}` }, `The card plans with ${wait} min. ${label.why}`)))
      put(box, label, `${wait} min`)
      return box
    }))
  }

  const form = workForm(root, {
    title: 'Job clock',
    picks: ['card', 'option', 'start', 'hands'],
    async fill(given) {
      await fetched()
      const option = given.get('option') ?? given.get('joint')
      const select = fieldOf(root, 'option')?.querySelector('select')
      if (option && select && [...select.options].some(({ value }) => value === option)) select.value = option
    },
    rest: (given) => !given('card') || !given('start'),
    work() {
      more.replaceChildren()
      const none = (/** @type {string} */ why, /** @type {string} */ refused = '') =>
        ({ answers: Object.fromEntries(RESULTS.map((id) => [id, why])), refused, source: '', state: '' })
      if (!card) return trouble ? none('Refused, see above.', trouble) : none('Needs: Job card')
      asked()
      const [begin, option, pairs] = [minutesOf(picked(root, 'start')), picked(root, 'option'), Number(picked(root, 'hands'))]
      /** @type {Record<number, number>} */
      const typed = {}
      const needs = [...(begin === null ? ['Begin at'] : []), ...(pairs ? [] : ['Pairs of hands'])]
      const given = [`card ${card.no}`, ...(card.choice ? [card.choice.options[option] ?? ''] : []), `begun at ${picked(root, 'start')}`, `${pairs === 2 ? 'two pairs' : 'one pair'} of hands`]
      for (const box of labels.querySelectorAll('[data-label]')) {
        const { values, given: read } = gather(box, label ? [label] : [])
        const no = Number(box.getAttribute('data-label'))
        if (values.label === undefined) needs.push(`label after step ${no}`)
        else typed[no] = fromSi(values.label, unitOf('min'))
        given.push(...read.map((text) => `step ${no}: ${text.toLowerCase()}`))
      }
      if (begin === null || needs.length) return none(`Needs: ${needs.join(', ')}`)

      const tasks = tasksOf(card, option, typed)
      const plan = schedule(tasks, pairs)
      const free = earliest(tasks)
      const at = (/** @type {number} */ minutes) => shown(onTheClock(begin, minutes))
      const hands = tasks.reduce((sum, task) => sum + task.hands, 0)
      const second = tasks.some(({ wait }) => wait >= LONG)
      const marked = plan.rows.filter(({ no }) => no in typed)
      more.append(table(card, option, plan.rows, free.critical, at, pairs))
      return {
        answers: {
          done: { main: at(plan.end), also: `${span(plan.end * 60_000)} from the start. ${plan.proven ? 'No order is shorter.' : 'A good order, not proved the shortest.'}${second ? ' A wait is slept over: plan two sittings.' : ''}` },
          label: marked.length ? { main: at(Math.max(...marked.map(({ ready }) => ready))), also: marked.map(({ no, ready }) => `step ${no} at ${at(ready)}`).join(', ') }
            : 'No label time on this card.',
          work: { main: span(hands * 60_000), also: pairs === 1 ? `${span((plan.end - hands) * 60_000)} of waiting with nothing to do` : 'of both pairs together' },
          bound: { main: at(Math.max(free.end, plan.bound)), also: `with hands to spare ${at(free.end)}` },
        },
        given, source: 'minutes of the card, common practice', state: 'unverified',
      }
    },
  })
  // A card is read while the page stands: what was shown of the one before goes at once.
  root.addEventListener('change', async (event) => {
    if (!(event.target instanceof HTMLElement) || event.target.id !== 'in-card') return
    await fetched()
    ;(await form).update()
  })
  return form
}

/** @param {string} time `13:00` @returns {number | null} minutes since midnight */
function minutesOf(time) {
  const [, hour, minute] = time.match(/^(\d\d):(\d\d)/) ?? []
  return hour && minute ? Number(hour) * 60 + Number(minute) : null
}

/** @param {{time: string, days: number}} at @returns {string} */
const shown = ({ time, days }) => (days === 0 ? time : days === 1 ? `${time} next day` : `${time} ${days} days on`)

/**
 * @param {Card} card @param {string} option @param {Row[]} rows @param {number[]} critical
 * @param {(minutes: number) => string} at @param {number} pairs
 * @returns {HTMLElement}
 */
function table(card, option, rows, critical, at, pairs) {
  const lines = rows.map(({ no, start, end, ready, pair }) => {
    const step = card.steps.find((one) => one.no === no)
    if (!step) return null
    const { do: says, waitKind } = way(step, option)
    return h('tr', { 'data-step': no },
      h('th', { scope: 'row' }, at(start), end > start && h('small', {}, `to ${at(end)}`)),
      h('td', {}, h('b', {}, `${no}.`), ` ${plain(says, {}).split(/(?<=\.) /)[0]}`,
        critical.includes(no) && h('small', {}, 'longest way'),
        pairs > 1 && h('small', {}, pair === 2 ? 'Second pair of hands' : 'First pair of hands')),
      h('td', {}, ready > end && h('b', {}, at(ready)), ready > end && h('small', {}, `${WAITS[waitKind] ?? 'waiting'} over`)))
  })
  return h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Steps by the clock' }, h('table', { class: 'data' },
    h('caption', { class: 'sr' }, 'Steps by the clock'),
    h('thead', {}, h('tr', {}, h('th', { scope: 'col' }, 'Begin'), h('th', { scope: 'col' }, 'Step'), h('th', { scope: 'col' }, 'Ready at'))),
    h('tbody', {}, lines)), h('p', { class: 'of' }, 'Longest way: with hands to spare, a delay there delays the end.'))
}
