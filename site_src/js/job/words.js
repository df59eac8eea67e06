// A card's text with its slots filled from the job's own copy of the unit, times as on a wall clock, minutes in words.
import { units } from '../data/units.js'
import { format, fromSi } from '../lib/quantity.js'
import { h } from './dom.js'

const SLOT = /\{([^{}]*)\}/g

/**
 * @param {string} text @param {Record<string, import('../types.js').Slot>} slots
 * @returns {(string | Node)[]} a value that is not verified carries its state; an unknown one is a blank
 */
export function filled(text, slots) {
  /** @type {(string | Node)[]} */
  const out = []
  let last = 0
  for (const match of text.matchAll(SLOT)) {
    out.push(text.slice(last, match.index), ...one(match[1] ?? '', slots))
    last = match.index + match[0].length
  }
  out.push(text.slice(last))
  return out.filter((part) => part !== '')
}

/** @param {string} text @param {Record<string, import('../types.js').Slot>} slots @returns {string} */
export const plain = (text, slots) => text.replace(SLOT, (_, name) => value(name, slots) || '____')

/** @param {string} name @param {Record<string, import('../types.js').Slot>} slots @returns {string} */
function value(name, slots) {
  const slot = slots[name]
  if (!slot) return ''
  if (name === 'level.rule') return `${slot.main} ${slot.also}`
  return name.startsWith('torque.') && slot.also ? `${slot.main} / ${slot.also}` : slot.main
}

/** @param {string} name @param {Record<string, import('../types.js').Slot>} slots @returns {Node[]} */
function one(name, slots) {
  const slot = slots[name]
  if (!slot) return [h('span', { class: 'blank', 'data-slot': name }, h('span', { class: 'sr' }, 'not known'))]
  const number = /^(fill|torque)\./.test(name)
  const shown = h('b', { class: number ? 'slot num' : 'slot', 'data-slot': name }, value(name, slots))
  if (slot.state === 'conflict') {
    const rivals = slot.rivals.map((rival) => rival.main).join(' or ')
    return [shown, h('span', { class: 'state un' }, `conflict, other value ${rivals}: fill to level`)].flatMap(spaced)
  }
  if (!slot.state || slot.state === 'verified') return [shown]
  return [shown, h('span', { class: 'state un' }, slot.state)].flatMap(spaced)
}

/** @param {Node} node @param {number} index @returns {Node[]} */
const spaced = (node, index) => (index ? [document.createTextNode(' '), node] : [node])

/** @param {number} epoch @param {number} [now] @returns {string} `14:52`, with the day where it is not today's */
export function wall(epoch, now = Date.now()) {
  const at = new Date(epoch)
  const time = at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })
  if (at.toDateString() === new Date(now).toDateString()) return time
  return `${at.toLocaleDateString('en-GB', { weekday: 'short', day: 'numeric', month: 'short' })} ${time}`
}

/** @param {number} ms @returns {string} `4 min`, `2 h 5 min`, `1 day 3 h`; under a minute in seconds */
export function span(ms) {
  if (ms < 60_000) return `${Math.max(0, Math.round(ms / 1000))} s`
  const minutes = Math.floor(ms / 60_000)
  if (minutes < 60) return `${minutes} min`
  const hours = Math.floor(minutes / 60)
  if (hours < 24) return minutes % 60 ? `${hours} h ${minutes % 60} min` : `${hours} h`
  const days = Math.floor(hours / 24)
  return `${days} day${days > 1 ? 's' : ''}${hours % 24 ? ` ${hours % 24} h` : ''}`
}

/** @param {number} epoch @returns {string} the day as ISO writes it, in the phone's own zone */
export const day = (epoch) => new Date(epoch).toLocaleDateString('en-CA')

/** @param {number} epoch @returns {string} `2026-06-10 14:52` */
export const stamp = (epoch) => `${day(epoch)} ${wall(epoch, epoch)}`

/** @param {import('../types.js').Reading | null | undefined} reading @returns {string} as it was typed */
export const asTyped = (reading) => (reading ? `${reading.typed}${reading.unit ? ` ${reading.unit}` : ''}` : '')

/** @param {import('../types.js').FollowUp} one @returns {string} `leak, 2026-04-19`, `re-torque from 91 368 to 91 385 mi, not past 91 431 mi` */
export function due(one) {
  const mile = (/** @type {number} */ value) => `${Math.round(value).toLocaleString('en').replace(/,/g, ' ')} ${one.odometerUnit}`
  const parts = [one.due]
  if (one.from !== null && one.to !== null) parts.push(`from ${mile(one.from)} to ${mile(one.to)}`)
  else if (one.to !== null) parts.push(`by ${mile(one.to)}`)
  if (one.hardStop !== null) parts.push(`hard stop ${mile(one.hardStop)}`)
  return parts.filter(Boolean).join(', ')
}

/** @param {number} nm @returns {string} the torque in both scales */
export function both(nm) {
  const other = nm < 14 ? 'lb·in' : 'lb·ft'
  const unit = units[other] ?? { factor: 1, offset: 0 }
  return `${format(nm, 3)} N·m / ${format(fromSi(nm, unit), nm < 14 ? 3 : 2)} ${other}`
}
