// One thing that the log shows, with what it rests on and what would settle it.
import { h } from '../job/dom.js'

/**
 * @param {import('../types.js').Finding} one @param {{short: string}} vehicle @param {string} base
 * @returns {HTMLElement}
 */
export function finding(one, vehicle, base) {
  return h('section', { class: `entry finding ${one.severity}` },
    h('div', { class: `warn ${one.severity}` }, h('p', {}, h('b', {}, one.severity.toUpperCase()), ` ${vehicle.short}. ${one.says}`)),
    one.evidence.length > 0 && h('ul', { class: 'plain' }, one.evidence.map((text) => h('li', {}, text))),
    one.settle && h('p', {}, h('b', {}, 'To settle it: '), one.settle),
    one.entries.length > 0 && h('p', { class: 'of' }, 'Log: ', one.entries.flatMap((id, index) => [index > 0 && ', ',
      h('a', { class: 'inline', href: `${base}log/?entry=${encodeURIComponent(id)}` }, id.slice(0, 8))])))
}
