// The casing on its tilt, in section: the hole, the oil as it stands, and what is too much or short when it is filled to
// the hole. One section along the vehicle, a second across it where the roll matters too.
import { make } from '../ui/diagram.js'
import { amount, near, outputOf, paper, paragraph, waits, WIDE } from './paper.js'

const HIGH = 196
const HALF = 132
/** In metres: a rise that no rule shows. */
const LEAST = 5e-5
/** Of the casing's half width. */
const DEEP = 0.5
const SIDES = [
  { angle: 'pitch', reach: 'along', words: 'From the side', ends: ['front', 'rear'] },
  { angle: 'roll', reach: 'across', words: 'From behind', ends: ['', "hole's side"] },
]

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values, results } = facts
  const [rise, volume] = [outputOf(calculator, 'rise'), outputOf(calculator, 'volume')]
  if (!rise || !volume || waits(place, facts, ['roll', 'along', 'across', 'surface'])) return
  const sections = SIDES.map((side) => {
    const [angle, reach] = [results[`${side.angle}_used`] ?? values[side.angle] ?? NaN, values[side.reach] ?? NaN]
    return { ...side, angle, reach, rise: reach * Math.tan(angle) }
  })
  if (!sections.every((section) => Number.isFinite(section.rise))) {
    // The pitch is typed, or comes from a lift over the wheelbase.
    const need = facts.missing.get(facts.missing.has('lifted') ? 'pitch' : 'wheelbase')
    place.replaceChildren(paragraph(need ? `Needs: ${need}` : 'No drawing for these figures.'))
    return
  }
  const telling = sections.filter(({ reach, angle }) => reach !== 0 && angle !== 0)
  const drawn = telling.length ? telling : sections.slice(0, 1)
  // The oil's surface is taken as square: only its area is known.
  const half = Math.sqrt(values.surface ?? NaN) / 2
  const sheet = paper(place, HIGH * drawn.length + 34)
  const [liquid, hatch] = [sheet.liquid(), sheet.hatch()]
  drawn.forEach(({ angle, reach, rise: up, words, ends }, index) => {
    const radius = 1.03 * Math.max(half, Math.abs(reach) / Math.cos(angle))
    const scale = HALF / radius
    const [cx, cy] = [WIDE / 2, HIGH * index + HIGH / 2 + 8]
    const [x, y] = [cx + reach * scale, cy - up * scale]
    const casing = { x: cx - HALF, y: cy - HALF * DEEP, width: 2 * HALF, height: 2 * HALF * DEEP, rx: 22,
      transform: `rotate(${((-angle * 180) / Math.PI).toFixed(3)} ${cx} ${cy})` }
    const inside = sheet.within(`casing-${index}`, make('rect', casing))
    const area = (/** @type {number} */ from, /** @type {number} */ to, /** @type {string} */ fill, /** @type {string} */ what) =>
      sheet.shape('rect', { x: 0, y: from.toFixed(2), width: WIDE, height: Math.max(0, to - from).toFixed(2), fill, stroke: 'none', 'data-area': what, ...inside })
    area(Math.max(cy, y), HIGH * (index + 1) + 8, liquid, 'oil')
    area(Math.min(cy, y), Math.max(cy, y), hatch, up < 0 ? 'short' : 'surplus')
    sheet.shape('rect', { ...casing, 'stroke-width': 3 })
    // The casing's own level line, and how the oil lies when the amount is right.
    const [dx, dy] = [HALF * Math.cos(angle), HALF * Math.sin(angle)]
    sheet.path(`M${(cx - dx).toFixed(2)} ${(cy + dy).toFixed(2)}L${(cx + dx).toFixed(2)} ${(cy - dy).toFixed(2)}`, { 'stroke-dasharray': '6 3', 'data-casing': '' })
    sheet.path(`M10 ${cy}H${WIDE - 10}`, { 'data-right': '' })
    sheet.path(`M10 ${y.toFixed(2)}H${WIDE - 10}`, { 'stroke-dasharray': '2 3', 'data-filled': '' })
    sheet.shape('circle', { class: 'here', cx: x.toFixed(2), cy: y.toFixed(2), r: 6 })
    sheet.say(`${words}, tilted ${near(angle, '°', 2)} °`, [0, HIGH * index + 9, 'start'])
    sheet.say('hole', [x, y - 16], [x, y + 18])
    const shown = Math.abs(up) < LEAST ? 'as on level ground' : `${amount(Math.abs(up), rise.unit)} ${up < 0 ? 'too low' : 'too high'}`
    const away = x > cx ? cx - 50 : cx + 50
    sheet.stress(shown, [away, Math.min(cy, y) - 12], [away, Math.max(cy, y) + 14])
    const foot = HIGH * (index + 1) - 2
    ends.forEach((text, last) => text && sheet.say(text, last ? [WIDE, foot, 'end'] : [0, foot, 'start']))
  })
  const [much, high] = [results.volume ?? NaN, results.rise ?? NaN]
  const told = much === 0 ? 'Filled to the hole, the amount is right.'
    : `Filled to the hole: ${amount(Math.abs(much), volume.unit, volume.digits)} ${much < 0 ? 'short' : 'too much'}`
  sheet.stress(told.replace(/\.$/, ''), [WIDE / 2, HIGH * drawn.length + 23])
  sheet.tell(told.endsWith('.') ? told : `${told}.`, ['Section', 'Tilt, °', 'Hole off the middle, mm', 'Hole higher by, mm'], [
    ...sections.map(({ words, angle, reach, rise: up }) => [words, near(angle, '°', 2), near(reach, 'mm', 1), near(up, 'mm', 1)]),
    ['Together', '', '', near(high, 'mm', 1)],
  ], ['Full line: the right level. Dashed: the level of the casing. Slanted lines: too much where the hole is high, short where it is low.'])
}
