// The clamp load that one torque gives in each thread state: a range, not a number, against the proof load.
import { ticks } from '../lib/quantity.js'
import { amount, bare, inUnit, outputOf, paper, paragraph, plain, waits, WIDE } from './paper.js'

const TOP = 62
const ROW = 46

/** @type {import('./paper.js').Draw} */
export function draw(place, facts) {
  const { calculator, values } = facts
  const [mean, share, choice] = [outputOf(calculator, 'mean'), outputOf(calculator, 'share'), calculator.inputs.find((one) => one.id === 'state')]
  if (!mean || choice?.kind !== 'picked' || waits(place, facts, (share ?? mean).needs.filter((id) => id !== choice.id))) return
  const unit = mean.unit
  const rows = Object.values(choice.options).map(({ label, gives }) => {
    const { lowest: low = NaN, mean: middle = NaN, highest: high = NaN, proof_load: proof = NaN } = calculator.work({ ...values, ...gives })
    return { label, low, middle, high, proof, picked: Object.entries(gives).every(([name, si]) => values[name] === si) }
  })
  const proof = rows[0]?.proof ?? NaN
  if (!rows.every(({ high }) => high > 0) || !(proof > 0)) {
    place.replaceChildren(paragraph('No drawing for these figures.'))
    return
  }
  const sheet = paper(place, TOP + ROW * rows.length + 48)
  const most = inUnit(Math.max(proof, ...rows.map(({ high }) => high)) * 1.04, unit)
  const px = (/** @type {number} */ si) => 8 + (inUnit(si, unit) / most) * (WIDE - 16)
  const bottom = TOP + ROW * rows.length
  sheet.say('Share of proof load', [0, 9, 'start'])
  const hatch = sheet.hatch()
  rows.forEach(({ label, low, middle, high, picked }, index) => {
    const top = TOP + ROW * index
    const how = { x: px(low).toFixed(2), y: top + 22, width: (px(high) - px(low)).toFixed(2), height: 16 }
    sheet.shape('rect', { ...how, fill: picked ? hatch : 'var(--paper)', 'stroke-width': picked ? 3 : 1.5, 'data-row': index })
    sheet.path(`M${px(middle).toFixed(2)} ${top + 19}v22`, { class: 'run', 'data-mean': index })
    sheet[picked ? 'stress' : 'say'](fitting(sheet, label), [8, top + 11, 'start'])
  })
  for (const part of [1, 0.75]) {
    const across = px(proof * part)
    sheet.path(`M${across.toFixed(2)} ${TOP - 6}v6${rows.map((_, index) => `M${across.toFixed(2)} ${TOP + ROW * index + 20}v20`).join('')}`,
      { 'data-proof': part, 'stroke-width': part < 1 ? 1.5 : 3, ...(part < 1 ? { 'stroke-dasharray': '4 2' } : {}) })
    sheet.say(`${part * 100} %`, [across, TOP - 15], [across, TOP - 33])
  }
  for (const tick of ticks(0, most, 5)) {
    const across = 8 + (tick / most) * (WIDE - 16)
    if (sheet.say(plain(tick), [across, bottom + 14])) sheet.path(`M${across.toFixed(2)} ${bottom}v4`)
  }
  sheet.path(`M8 ${bottom}H${WIDE - 8}`)
  sheet.say(`Clamp load, ${unit}`, [WIDE, bottom + 36, 'end'])
  const one = rows.find(({ picked }) => picked)
  const shown = (/** @type {number} */ si) => bare(si, unit)
  sheet.tell(one ? `${one.label}: ${shown(one.low)} to ${amount(one.high, unit)}, proof load ${amount(proof, unit)}.` : '',
    [choice.label, 'Least', 'Mean', 'Most'], [
      ...rows.map(({ label, low, middle, high }) => [label, shown(low), shown(middle), shown(high)]),
      ['75 % of proof load', '', shown(proof * 0.75), ''], ['Proof load', '', shown(proof), ''],
    ], [], unit)
}

/** A label that is too long ends at a word. @param {import('./paper.js').Paper} sheet @param {string} label */
function fitting(sheet, label) {
  let text = label
  while (sheet.width(text) > 0.92 * WIDE && text.includes(' ')) text = `${text.replace(/[ …]+$/, '').split(' ').slice(0, -1).join(' ')} …`
  return text
}
