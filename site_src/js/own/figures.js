// A stated value as it is shown: as typed, the other unit, source and state in words, its rivals beside it.
import { also, amountOf, bestFirst, shown } from '../lib/sheet.js'

/** @typedef {import('../types.js').Stated} Stated */
/** @typedef {import('../types.js').Origin} Origin */
/** @typedef {import('../types.js').SiteData} SiteData */
/** @typedef {{main: string, also: string, origin: string, note: string, lost: boolean, gone: boolean}} Rival gone: superseded */
/** @typedef {{label: string, main: string, also: string, state: string, origin: string, note: string, rivals: Rival[]}} Figure */

/** @param {Origin} origin @param {SiteData} site @returns {string} `Service manual page 4-12, 2020-05-16` */
export function originWords({ source, page, date }, site) {
  const title = Object.hasOwn(site.sources, source) ? site.sources[source] : source
  return [page ? `${title} ${page}` : title, date].filter(Boolean).join(', ')
}

/**
 * @param {string} label @param {Stated} value @param {'volume' | 'torque'} what @param {SiteData} site
 * @returns {Figure} the winner first; what lost or was superseded is struck through
 */
export function figure(label, value, what, site) {
  const { first, rest } = bestFirst(value, what)
  const of = (/** @type {Stated} */ one) => {
    const amount = amountOf(one.value, site.units, label)
    return { main: shown(amount), also: also(amount, site.units), origin: originWords(one, site), note: one.note ?? '' }
  }
  const rivals = rest.map(({ one, lost }) => ({ ...of(one), lost: lost || one.state === 'superseded', gone: one.state === 'superseded' }))
  return { label, ...of(first), state: value.state, rivals }
}
