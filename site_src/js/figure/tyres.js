// Two tyres on the same ground, to the same scale, with their rims.
import { amount, bare, near, paper, paragraph, typed, waits, WIDE } from './paper.js'

const GROUND = 190
const MARGIN = 8
const GAP = 14
const TALL = 165

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { values, results } = facts
  if (waits(place, facts, [])) return
  const tyres = ['old', 'new'].map((when) => ({ when, od: results[`${when}_od`] ?? NaN, rim: values[`${when}_rim`] ?? NaN }))
  if (!tyres.every(({ od }) => od > 0)) {
    const needs = [...facts.missing.values()]
    place.replaceChildren(paragraph(needs.length ? `Needs: ${needs.join(', ')}` : 'No drawing for these figures.'))
    return
  }
  const [before = 0, after = 0] = tyres.map(({ od }) => od)
  const scale = Math.min((WIDE - 2 * MARGIN - GAP) / (before + after), TALL / Math.max(before, after))
  const sheet = paper(place, 262)
  sheet.path(`M0 ${GROUND}H${WIDE}`, { 'stroke-width': 3 })
  const hatch = sheet.hatch()
  const all = (before + after) * scale + GAP
  let left = (WIDE - all) / 2
  for (const { when, od, rim } of tyres) {
    const radius = (od * scale) / 2
    const [cx, cy] = [left + radius, GROUND - radius]
    const spot = { cx: cx.toFixed(2), cy: cy.toFixed(2) }
    sheet.shape('circle', { ...spot, r: radius.toFixed(2), fill: hatch, 'data-tyre': when })
    if (rim > 0 && rim < od) sheet.shape('circle', { ...spot, r: ((rim * scale) / 2).toFixed(2), fill: 'var(--paper)', 'data-rim': when })
    sheet.stress(when, [cx, GROUND + 16])
    sheet.say(amount(od, 'mm', 4), [cx, GROUND + 34])
    if (rim * scale > sheet.width(typed(rim, 'in')) + 8 && sheet.say(typed(rim, 'in'), [cx, cy + 9])) sheet.say('rim', [cx, cy - 9])
    left += od * scale + GAP
  }
  const differ = after - before
  const words = `${near(Math.abs(differ), 'mm', 1)} mm ${differ < 0 ? 'lower' : 'higher'}`
  // From the top of the lower one across to the other, which stands over that line or as high.
  const top = GROUND - Math.min(before, after) * scale
  sheet.path(`M${((WIDE - all) / 2).toFixed(1)} ${top.toFixed(1)}H${((WIDE + all) / 2).toFixed(1)}`, { 'stroke-dasharray': '6 3' })
  sheet.say(`the new one is ${words}`, [WIDE / 2, GROUND + 58])
  sheet.tell(`The new tyre is ${words}.`, ['Tyre', 'Old', 'New'], [
    ['Height, mm', ...tyres.map(({ od }) => bare(od, 'mm', 4))],
    ['Once round, mm', ...tyres.map(({ od }) => bare(od * Math.PI, 'mm', 4))],
    ...(tyres.every(({ rim }) => rim > 0) ? [['Rim, in', ...tyres.map(({ rim }) => bare(rim, 'in', 3))]] : []),
  ])
}
