// What a final drive looks like, as a form: what the key of units tells them apart by, and draws them from.
import { DRAINS, ENDS, FACES, HOURS, HOUSINGS, KEYS, PLUGS, SHAPES } from '../lib/sheetshape.js'

/** @typedef {import('../types.js').UnitSheet} UnitSheet */
/** @typedef {import('../types.js').Outline} Outline */
/** @typedef {import('./form.js').Field} Field */

/** @type {[keyof Outline, string, string[], Record<string, string>][]} what may be picked, and its words where the word itself is too short */
const SEEN = [
  ['face', 'Face, the side away from the propshaft', FACES, { cover: 'a bolted cover', smooth: 'smooth, no cover' }],
  ['shape', 'Outline of the face', SHAPES, { 'flat-oval': 'oval, wider than high', 'tall-oval': 'oval, higher than wide', egg: 'egg-shaped', square: 'square, round corners', cornered: 'many straight sides' }],
  ['fill', 'Fill hole, as on a clock', HOURS, {}],
  ['plug', 'Fill plug', PLUGS, { straight: 'screwed, with a washer', taper: 'screwed, tapered', push: 'rubber, pushed in' }],
  ['key', 'What turns the fill plug', KEYS, { square: 'a square that goes in', hexagon: 'a hexagon that goes in', head: 'a spanner over it' }],
  ['drain', 'Drain plug', DRAINS, {}],
  ['housing', 'Housing', HOUSINGS, { beam: 'beam from wheel to wheel', independent: 'bolted to the frame' }],
  ['ends', 'Behind the wheels', ENDS, { swivels: 'swivels, a ball housing each', plain: 'no balls' }],
]

/** @param {string} id @param {UnitSheet} unit @returns {import('./values.js').Change} */
export function outlineChange(id, unit) {
  const there = unit.outline ?? {}
  return {
    title: 'What it looks like', lead: 'What you have not looked at, leave at not known.',
    fields: [
      ...SEEN.map(([key, label, words, said]) => /** @type {Field} */ ({ id: key, label, kind: 'pick', value: there[key],
        options: [['', 'not known'], ...words.map((one) => [one, said[one] ?? one.replace("'", '’')])] })),
      { id: 'bolts', label: 'Bolts of the cover, or nuts of the carrier', kind: 'whole', value: there.bolts ? String(there.bolts) : '' },
      { id: 'marks', label: 'Casting marks', kind: 'text', value: there.marks },
    ],
    edit(draft, { bolts, ...values }) {
      const one = draft.units[id]
      if (!one) throw new Error(`no unit ${id}`)
      one.outline = /** @type {Outline} */ ({ ...values, bolts: Number(bolts) || undefined })
    },
    why: () => `${unit.code}: what it looks like.`,
  }
}
