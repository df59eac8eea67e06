// One pick after the other with large buttons; what is picked folds to one line that opens again.
import { fill, h } from '../job/dom.js'

/**
 * @param {string} label @param {() => {value: string, words: string, also?: string}[]} options read anew when it opens
 * @param {(value: string) => void} picked is to show it here
 * @returns {{element: HTMLElement, show(value: string | null): void}} null: to be picked
 */
export function pick(label, options, picked) {
  const element = h('div', { class: 'pick' })
  /** @param {string | null} value @param {boolean} focus */
  const lay = (value, focus) => {
    const every = options()
    const chosen = every.find((one) => one.value === value)
    if (chosen) {
      return fill(element, h('p', { class: 'picked' }, h('span', {}, `${label} `, h('b', {}, chosen.words)),
        h('button', { type: 'button', class: 'link', 'aria-label': `Change ${label.toLowerCase()}: ${chosen.words}`, onclick: () => lay(null, true) }, 'Change')))
    }
    const [first, rest] = [every.filter((one) => !one.also), every.filter((one) => one.also)]
    const button = (/** @type {{value: string, words: string}} */ one) => h('button', { type: 'button', class: 'btn line', 'data-pick': one.value, onclick: () => picked(one.value) }, one.words)
    fill(element, h('h2', {}, label), first.map(button), rest.length > 0 && h('details', { class: 'more' }, h('summary', {}, rest[0]?.also ?? ''), rest.map(button)))
    if (focus) element.querySelector('button')?.focus()
  }
  return { element, show: (value) => lay(value, false) }
}
