// Buttons of the pages of one's own vehicles.
import { h } from '../job/dom.js'

/** @param {string} words @param {() => void} act @param {string} [about] for a reader of the screen @returns {HTMLElement} */
export const small = (words, act, about = '') => h('button', { type: 'button', class: 'btn line', onclick: act }, words, about && h('span', { class: 'sr' }, ` ${about}`))

/** @param {string} words @param {() => void} act @param {string} about for a reader of the screen @returns {HTMLElement} */
export const link = (words, act, about) => h('button', { type: 'button', class: 'link', onclick: act }, words, h('span', { class: 'sr' }, ` ${about}`))

/** @param {string} words @param {string} again @param {() => void} act @returns {HTMLElement} two taps, the second within reach of second thoughts */
export function twice(words, again, act) {
  const button = h('button', { type: 'button', class: 'btn line', onclick: () => {
    if (button.textContent === again) return act()
    button.textContent = again
  }, onblur: () => {
    button.textContent = words
  } }, words)
  return button
}
