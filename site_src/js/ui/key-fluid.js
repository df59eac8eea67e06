// Which oil, turn by turn: what is asked, what follows, by which rule and whose. Opened for a unit (`?for=vehicle/unit`) it
// begins with what that unit's record says, and the record wins. The answers stand in the address.
import * as garage from '../garage.js'
import { fill, h, say, show } from '../job/dom.js'
import { celsius, decide, gradeOf } from '../lib/fluidkey.js'
import { amountText } from '../lib/amounts.js'
import { DRIVES } from '../lib/match.js'
import { vehicleOf } from '../lib/sheet.js'
import { stateWord } from '../own/unitview.js'
import { base } from '../own/where.js'

/** @typedef {import('../types.js').Key} Key */
/** @typedef {import('../types.js').KeyQuestion} Question */
/** @typedef {import('../lib/fluidkey.js').Decided} Decided */
/** @typedef {import('../types.js').Child} Child */
/** @typedef {{record: import('../lib/fluidkey.js').OnRecord | null, fills: {refill: number, additive: number} | null, origin: string, answers: Record<string, string>, line: Child, links: [string, string][]}} From a unit */

/** @param {HTMLElement} root */
export async function start(root) {
  try {
    await begin(root)
  } catch (error) {
    fill(root, h('p', { class: 'odd', role: 'alert' }, `The key could not be opened: ${error instanceof Error ? error.message : String(error)}`))
  }
}

/** @param {HTMLElement} root */
async function begin(root) {
  const [key, site] = await Promise.all([garage.key(root.dataset.key ?? ''), garage.site()])
  const asked = new URLSearchParams(location.search)
  const wanted = asked.get('for') ?? ''
  /** @type {From | null} */
  let from = null
  let lost = ''
  if (wanted) {
    try {
      from = await unitOf(wanted, site)
    } catch (error) {
      lost = error instanceof Error ? error.message : String(error)
    }
  }
  /** @type {Record<string, string>} */
  const answers = { ...from?.answers }
  for (const { id } of key.questions) if (asked.has(id)) answers[id] = asked.get(id) ?? ''

  const told = h('p', { class: 'sr', role: 'status' })
  const top = h('div', { class: 'results' })
  const parts = key.turns.map((turn, at) => {
    const boxes = h('div', {}, turn.asks.flatMap((id) => key.questions.find((one) => one.id === id) ?? []).map((one) => field(one, answers[one.id] ?? '', (answer) => put(one.id, answer))))
    const verdict = h('div')
    return { turn, boxes, verdict, element: h('section', { 'data-turn': turn.id }, h('h2', {}, `${at + 1}. ${turn.title}`), boxes, verdict) }
  })
  fill(root, told, from && h('p', {}, from.line), lost && h('p', { class: 'odd', role: 'alert' }, `${lost} The key is open without it.`), top, parts.map(({ element }) => element),
    h('a', { class: 'row', href: `${base}tables/gear-oil-categories/` }, 'Gear oil categories'), h('a', { class: 'row', href: `${base}tables/gear-oil-grades/` }, 'Gear oil grades'),
    from?.links.map(([href, words]) => h('a', { class: 'row', href }, words)))

  /** @param {string} id @param {string} answer */
  function put(id, answer) {
    if (answer) answers[id] = answer
    else delete answers[id]
    // An answer of the unit that was emptied stays empty when the link is opened again.
    const kept = key.questions.filter((one) => (answers[one.id] ?? '') !== (from?.answers[one.id] ?? '')).map((one) => [one.id, answers[one.id] ?? ''])
    history.replaceState(history.state, '', `${location.pathname}?${new URLSearchParams([...(wanted ? [['for', wanted]] : []), ...kept])}`)
    draw()
  }

  function draw() {
    const decided = decide(key, answers, from ?? {})
    const [category, grade] = decided
    const both = category && grade && ['grade', 'record', 'manual'].includes(grade.verdict) && gradeOf(grade.main.split(' ')[0]) ? `${grade.main}, ${category.main}` : ''
    const main = both || (category?.main && !['open'].includes(category.verdict) ? category.main : 'Not settled yet')
    const also = decided.filter(({ id }) => id === 'additive').map((one) => `Additive: ${one.main.toLowerCase() || 'not settled'}.`)
    const note = both ? '' : grade?.says[0] ?? ''
    fill(top, h('div', { class: 'result' }, h('p', { class: 'name' }, 'To buy'), h('p', { class: 'v' }, main), h('p', { class: 'also' }, [note, ...also].filter(Boolean).join(' '))))
    say(told, `${main}. ${note}`)
    decided.forEach((one, at) => {
      const part = parts[at]
      if (!part) return
      show(part.boxes, one.verdict !== 'refused')
      fill(part.verdict, shown(one, site, from))
    })
  }
  draw()
}

const HEADS = { record: 'On record', conflict: 'In conflict', refused: 'Not yet', manual: 'The manual', approval: 'The manual', buy: 'By rule', grade: 'By rule', open: 'Open' }

/** @param {Decided} one @param {import('../types.js').SiteData} site @param {From | null} from @returns {Child[]} */
function shown(one, site, from) {
  const origin = one.verdict === 'record' ? from?.origin : site.sources[one.source]
  const grades = (/** @type {string} */ word, /** @type {Decided['passes']} */ list) => list.map(({ grade, why }) => h('tr', {}, h('th', { scope: 'row' }, grade), h('td', {}, word), h('td', {}, why)))
  const [stops, notes] = [true, false].map((stop) => one.notes.filter(({ verdict }) => (verdict === 'stop') === stop))
  const bad = one.verdict === 'conflict' || one.verdict === 'stop'
  return [
    h('div', { class: 'results' }, h('div', { class: 'result', 'data-verdict': one.verdict }, h('p', { class: 'name' }, HEADS[/** @type {keyof typeof HEADS} */ (one.verdict)] ?? 'By rule'),
      h('p', { class: 'v' }, one.main || 'Not settled'), one.says.map((line) => h('p', {}, line)),
      origin && h('p', { class: 'of' }, stateWord(one.state), ` ${origin}`))),
    bad && h('p', { class: 'to-level' }, 'Stop here until this is settled.'),
    one.differs && h('div', { class: 'warn caution' }, h('p', {}, h('b', {}, 'CAUTION'), ` ${one.differs}`)),
    stops?.map((note) => h('div', { class: 'warn caution' }, h('p', {}, h('b', {}, 'CAUTION'), ` ${note.says} `, h('span', { class: 'of' }, stateWord(note.state), ` ${site.sources[note.source]}`)))),
    one.passes.length + one.fails.length > 0 && h('details', { class: 'more' }, h('summary', {}, 'Grades that pass, and that fail'), h('table', { class: 'data' }, h('tbody', {}, grades('passes', one.passes), grades('fails', one.fails)))),
    one.verdict !== 'refused' && notes && notes.length > 0 && h('ul', { class: 'plain' }, notes.map((note) => h('li', {}, `${note.says} `, h('span', { class: 'of' }, stateWord(note.state), ` ${site.sources[note.source]}`)))),
  ]
}

/** @param {Question} question @param {string} answer @param {(answer: string) => void} put @returns {HTMLElement} */
function field(question, answer, put) {
  const id = `key-${question.id}`
  const says = h('p', { class: 'say', id: `say-${id}` })
  const common = { class: 'q', id, 'aria-describedby': `say-${id}` }
  const label = h('label', { for: id }, question.ask)
  const how = question.how && h('p', { class: 'of' }, question.how)
  if (question.entry === 'pick') {
    const options = [['', 'Not answered'], ...question.options.map((one) => [one.id, one.label]), ['?', 'I cannot tell']]
    const box = h('select', { ...common, onchange: () => put(box.value) }, options.map(([value, words]) => h('option', { value, selected: value === answer }, words)))
    return h('div', { class: 'field' }, label, how, box, says)
  }
  const warm = question.entry === 'temperature'
  const [number = '', unit = '°C'] = warm && celsius(answer) !== null ? answer.split(/ (?=°)/) : [warm ? '' : answer]
  const box = h('input', { ...common, type: 'text', autocomplete: 'off', autocapitalize: 'characters', maxlength: 20, value: number.replace('-', '−') })
  const scale = h('select', { class: 'q', 'aria-label': `Unit: ${question.short}` }, ['°C', '°F'].map((one) => h('option', { value: one, selected: one === unit }, one)))
  const element = h('div', { class: 'field' }, label, how, warm ? h('div', { class: 'pair' }, box, scale) : box, says)
  const changed = () => {
    const typed = box.value.trim()
    const got = warm ? amountText(typed, scale.value, true) : { ok: gradeOf(typed) !== null, text: typed.toUpperCase(), says: 'Type a gear oil grade, such as 75W-90. A thickness of another kind is no grade of this table.' }
    const cold = got.ok && warm ? celsius(got.text) : null
    const wrong = !typed ? '' : !got.ok ? got.says : cold !== null && (cold < -60 || cold > 200) ? 'No oil gets so cold or so hot. Check the unit.' : ''
    say(says, wrong)
    element.classList.toggle('wrong', Boolean(wrong))
    box.setAttribute('aria-invalid', String(Boolean(wrong)))
    put(typed && !wrong && got.ok ? got.text : '')
  }
  box.addEventListener('input', changed)
  scale.addEventListener('change', changed)
  return element
}

const KINDS = { 'auto-box': 'automatic', 'manual-box': 'synchro', ...Object.fromEntries(DRIVES.map((kind) => [kind, 'axle'])) }

/** @param {string} wanted vehicle and unit @param {import('../types.js').SiteData} site @returns {Promise<From>} rejects with a sentence for people */
async function unitOf(wanted, site) {
  const [id = '', unitId = ''] = wanted.split('/')
  const found = await garage.sheet(id)
  if (!found) throw new Error(`There is no vehicle ‘${id}’ on this phone.`)
  const vehicle = vehicleOf(id, found.sheet, site)
  const unit = Object.hasOwn(vehicle.units, unitId) ? vehicle.units[unitId] : undefined
  const one = found.sheet.units[unitId]
  if (!unit || !one) throw new Error(`${vehicle.name} has no unit ‘${unitId}’.`)
  const { fluid, diff, yellow_metal: metal } = one
  const told = [...(one.words ?? []), one.note, one.label].join(' ')
  const kind = unit.kind === 'transfer' ? (/\bchain/i.test(told) ? 'chain-transfer' : /\bgear/i.test(told) ? 'gear-transfer' : 'transfer') : KINDS[/** @type {keyof typeof KINDS} */ (unit.kind)] ?? 'other'
  const axle = DRIVES.includes(unit.kind)
  const [refill, additive] = [unit.fills.refill?.si ?? 0, unit.fills.additive?.si ?? 0]
  return {
    record: fluid ? { grade: fluid.grade, category: fluid.category, additive: fluid.additive ?? '', state: fluid.state } : null,
    fills: refill && additive ? { refill, additive } : null,
    origin: fluid ? unit.slots['fluid.name']?.origin ?? '' : '',
    answers: {
      unit: kind, cold: found.sheet.coldest_start, ...(axle ? { load: found.sheet.severity === 'severe' ? 'heavy' : 'normal' } : {}),
      ...(axle && diff && diff !== 'unknown' ? { diff } : {}), ...(metal && metal !== 'unknown' ? { metal } : {}),
    },
    line: [h('b', {}, 'For '), h('a', { href: found.own ? `${base}garage/vehicle/?id=${encodeURIComponent(id)}#${unitId}` : `${base}vehicles/${id}/#${id}-${unitId}` }, `${vehicle.name}, ${unit.title}`),
      `${vehicle.invented ? '. A demo vehicle, invented.' : '.'} ${fluid ? 'Its record stands before every rule.' : 'Its record names no oil.'}`],
    links: [[`${base}work-out/buy-list/?for=${wanted}`, 'Buy list for this unit'], ...(additive ? /** @type {[string, string][]} */ ([[`${base}work-out/ls-additive/?for=${wanted}`, 'Limited-slip additive for this unit']]) : []),
      ...(axle ? /** @type {[string, string][]} */ ([[`${base}keys/which-diff/`, 'Open, limited-slip or locked']]) : [])],
  }
}
