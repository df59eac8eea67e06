// One question of a key as a form for a gloved thumb: its cautions first, then how to look, then the answers.
import { h } from '../job/dom.js'
import { read as typedNumber } from '../lib/quantity.js'

/** @typedef {import('../types.js').KeyQuestion} Question */
/** @typedef {import('../types.js').Child} Child */

/** @param {string} words @param {() => void} act @param {boolean} [line] @returns {HTMLElement} */
export const tap = (words, act, line = true) => h('button', { type: 'button', class: line ? 'btn line' : 'btn', onclick: act }, words)

/** @param {Question['cautions']} cautions @returns {Child} */
export const cautions = (cautions) => cautions.map(({ severity, says }) =>
  h('div', { class: `warn ${severity}` }, h('p', {}, h('b', {}, severity.toUpperCase()), ` ${says}`)))

/** @param {string} id @param {string} label @param {HTMLElement} box @returns {HTMLElement} */
function field(id, label, box) {
  box.id = id
  return h('div', { class: 'read' }, h('label', { for: id }, label), box)
}

/** @param {'numeric' | 'decimal' | 'text'} inputmode @param {string} value */
const box = (inputmode, value) => h('input', { type: 'text', inputmode, autocomplete: 'off', autocapitalize: 'characters', spellcheck: 'false', maxlength: 60, value })

/**
 * @param {Question} question @param {string} answer as it stands, '' where it is not answered
 * @param {(answer: string) => string} put takes an answer, and says what is wrong with it or ''
 * @returns {HTMLElement} what is typed, with a button that uses it; or a button for each answer
 */
export function answers(question, answer, put) {
  if (question.entry === 'pick') return h('div', {}, question.options.map(({ id, label }) => tap(label, () => put(id))))
  const wrong = h('p', { class: 'odd', role: 'alert' })
  const number = (/** @type {HTMLInputElement} */ one) => {
    const got = typedNumber(one.value)
    return got.ok ? String(got.value) : ''
  }
  const [first = '', second = '', held = ''] = answer.split('/')
  const a = box(question.entry === 'text' ? 'text' : question.entry === 'turns' ? 'decimal' : 'numeric', question.entry === 'text' ? answer : first)
  const b = box(question.entry === 'turns' ? 'decimal' : 'numeric', second)
  const which = h('select', {}, [['', 'Say which'], ['one', 'One wheel, the other held'], ['both', 'Both wheels together']].map(([value, words]) => h('option', { value, selected: value === held }, words)))
  /** @type {Record<string, () => [Child[], () => string]>} */
  const ways = {
    count: () => [[field('key-a', question.short, a)], () => number(a)],
    text: () => [[field('key-a', question.short, a)], () => a.value.trim().replace(/\s+/g, ' ')],
    teeth: () => [[field('key-a', 'Teeth on the ring gear', a), field('key-b', 'Teeth on the pinion', b)], () => `${number(a)}/${number(b)}`],
    turns: () => [[field('key-c', 'What turned', which), field('key-a', 'Turns of the propshaft, P', a), field('key-b', 'Turns of the wheel or wheels, N', b)],
      () => `${number(a)}/${number(b)}/${which.value}`],
  }
  const way = ways[question.entry]
  if (!way) throw new Error(`no way to answer ‘${question.entry}’`)
  const [fields, now] = way()
  return h('form', { novalidate: true, onsubmit: (/** @type {SubmitEvent} */ event) => {
    event.preventDefault()
    wrong.textContent = put(now() || ' ') // nothing typed is no answer, and says so
  } }, fields, wrong, h('button', { type: 'submit', class: 'btn' }, 'Use it'))
}

/** @param {Question | undefined} question @param {string} answer @returns {string} the answer in words */
export function inWords(question, answer) {
  if (answer === '?') return 'cannot tell'
  const [first = '', second = '', held = ''] = answer.split('/')
  switch (question?.entry) {
    case 'pick': return (question.options.find(({ id }) => id === answer)?.label ?? answer).replace(/\.$/, '').split('. ')[0] ?? ''
    case 'turns': return `${first} of the propshaft for ${second} of ${held === 'one' ? 'one wheel, the other held' : 'both wheels'}`
    case 'teeth': return `${first} on ${second}`
    default: return answer
  }
}
