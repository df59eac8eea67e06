// What a unit still lacks for its cards. The build says it of the site's vehicles; this is for one's own.
import { cardsFor } from './match.js'

/** @typedef {import('../types').SiteData} SiteData */
/** @typedef {{no: string, missing: string[], open: string[]}} Lack by card: what is missing, and what is not verified */

const SLIPPING = ['clutch-ls', 'cone-ls']

/** @param {string} name a slot @param {SiteData['slots']} slots @returns {string} as it is asked for: `pan torque` */
export function words(name, slots) {
  const label = slots[name] ?? name
  return `${label.charAt(0).toLowerCase()}${label.slice(1)}${name.startsWith('torque.') ? ' torque' : ''}`
}

/**
 * @param {import('../types').Unit} unit @param {SiteData} site
 * @returns {Lack[]} of every card that is for it
 */
export function lacks(unit, site) {
  const need = unit.fluid?.additive ?? 'unknown'
  const additive = need === 'separate' || (need === 'unknown' && SLIPPING.includes(unit.diff))
  return cardsFor(unit, site.cards).map(({ no, needs }) => {
    const wanted = needs.filter((name) => name !== 'fill.additive' || additive)
    const known = (/** @type {string} */ name) => (Object.hasOwn(unit.slots, name) ? unit.slots[name] : undefined)
    return {
      no, missing: wanted.filter((name) => !known(name)).map((name) => words(name, site.slots)),
      open: wanted.filter((name) => !['', 'verified', undefined].includes(known(name)?.state)).map((name) => words(name, site.slots)),
    }
  })
}
