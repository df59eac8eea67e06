// What the record of a unit says to the questions of a key. What it does not say is left out, and never is a no.

/** @typedef {import('../types').UnitSheet} UnitSheet */
/**
 * @typedef {object} Facts by question; `words` may be several, any of which can be seen
 * @property {Record<string, string[]>} words
 * @property {number | null} bolts @property {number | null} ratio
 * @property {{ring: number, pinion: number} | null} teeth
 * @property {Record<string, string>} texts letters and figures by question, as they are written down
 */

/** An hour of the clock may be called by either side that it lies between. @param {string} fill @returns {string[]} */
export function sides(fill) {
  const hour = parseInt(fill, 10)
  if (!hour) return ['middle']
  const around = ['above', 'right', 'below', 'left']
  const [side, past] = [Math.floor((hour % 12) / 3), hour % 3]
  return past ? [side, (side + 1) % 4].map((at) => around[at] ?? '') : [around[side] ?? '']
}

/** @param {UnitSheet} unit @returns {Facts} */
export function factsOf(unit) {
  const { kind, place, outline = {}, tag, plugs = {}, fasteners = {}, opens_by: opens, diff } = unit
  const thread = plugs.fill?.thread ?? fasteners['fill-plug']?.thread ?? ''
  const drains = fasteners['drain-plug'] || plugs.drain || opens === 'plugs'
  /** @type {Record<string, string | undefined | false>} */
  const said = {
    face: outline.face ?? (opens === 'cover' || kind === 'axle-cover' ? 'cover' : kind === 'axle-dropout' && 'smooth'),
    drain: outline.drain ?? (drains ? 'present' : opens === 'cover' && 'none'),
    shape: outline.shape,
    ends: outline.ends ?? (kind === 'swivel' ? 'swivels' : 'plain'),
    housing: outline.housing ?? (kind === 'swivel' && 'beam'),
    plug: outline.plug ?? (/taper/i.test(thread) ? 'taper' : /^M?\d/i.test(thread) && 'straight'),
    key: outline.key,
    tag: tag && (bare(tag) === 'NONE' ? 'none' : 'there'),
    seat: kind === 'front-axle' || kind === 'swivel' || /\bfront\b/i.test(place) ? 'front' : /\b(rear|back)\b/i.test(place) && 'rear',
    turn: diff !== 'unknown' && diff,
  }
  const words = Object.fromEntries(Object.entries(said).flatMap(([name, word]) => (word ? [[name, [word]]] : [])))
  if (outline.fill) words.fill = sides(outline.fill)
  const { ring_teeth: ring, pinion_teeth: pinion } = unit
  const teeth = ring && pinion ? { ring, pinion } : null
  /** @type {Record<string, string>} */
  const texts = {}
  if (tag) texts['tag-text'] = tag
  if (outline.marks) texts.marks = outline.marks
  return {
    words, bolts: outline.bolts ?? fasteners.cover?.count ?? null, teeth, texts,
    ratio: unit.ratio ?? (teeth ? teeth.ring / teeth.pinion : null),
  }
}

/** @param {string} text @returns {string} its letters and figures alone, in capitals */
export const bare = (text) => text.toUpperCase().replace(/[^\p{L}\p{N}]/gu, '')
