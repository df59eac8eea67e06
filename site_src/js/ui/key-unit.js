// A key with no fixed order: answers in any order, each can be taken back; what is left is drawn, the page asks next what
// splits it best, and says what would settle it. The answers stand in the address, so that the link holds them.
import * as garage from '../garage.js'
import { fill, h, say } from '../job/dom.js'
import { factsOf } from '../lib/facts.js'
import { CANNOT, judge, kindCandidate, read } from '../lib/key.js'
import { cardsFor, DRIVES } from '../lib/match.js'
import { brokenLine } from '../own/all.js'
import { base, cardAddress } from '../own/where.js'
import { answers as answerForm, cautions, inWords, tap } from './key-ask.js'
import { drawing } from './key-draw.js'

/** @typedef {import('../lib/key.js').Candidate} Candidate */
/** @typedef {import('../lib/key.js').Held} Held */
/** @typedef {import('../lib/key.js').Verdict} Verdict */
/** @typedef {import('../types.js').Outline} Outline */
/** @typedef {import('../types.js').Child} Child */
/**
 * @typedef {{title: string, from: string, says: string, outline: Outline | null, links: [string, string][]}} Shown a candidate
 *   on the page; `from` is the vehicle that its record stands under
 */

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
  const key = await garage.key(root.dataset.key ?? '')
  const site = await garage.site()
  /** @type {Map<Candidate, Shown>} */
  const shown = new Map()
  /** @type {HTMLElement[]} */
  const broken = []
  if (key.units) {
    for (const { id, sheet, own } of await garage.sheets()) {
      try {
        for (const [unitId, unit] of Object.entries(sheet.units)) {
          if (!DRIVES.includes(unit.kind)) continue
          const cards = cardsFor({ kind: unit.kind, opensBy: unit.opens_by ?? '', diff: unit.diff ?? '' }, site.cards)
          shown.set({ id: `${id}/${unitId}`, own: true, facts: factsOf(unit) }, {
            title: unit.label.toLowerCase().includes(unit.place.toLowerCase()) ? unit.label : `${unit.label} ${unit.place}`,
            from: sheet.short, says: [unit.cover && unit.cover.charAt(0).toUpperCase() + unit.cover.slice(1), sheet.invented && 'Invented'].filter(Boolean).join('. '), outline: drawn(unit),
            links: [
              [own ? `${base}garage/vehicle/?id=${encodeURIComponent(id)}#${unitId}` : `${base}vehicles/${id}/#${id}-${unitId}`, 'Its record, with all its numbers'],
              [`${base}keys/which-fluid/?for=${id}/${unitId}`, 'Which oil goes in'],
              ...cards.map((card) => /** @type {[string, string]} */ ([cardAddress(base, card.no, id, unitId), `${card.no} ${card.title}`])),
            ],
          })
        }
      } catch (error) {
        broken.push(brokenLine(id, sheet, error))
      }
    }
  }
  for (const kind of key.kinds) {
    const card = site.cards.find(({ no }) => no === kind.card)
    shown.set(kindCandidate(kind), { title: kind.title, from: '', says: kind.says, outline: kind.outline,
      links: card ? [[`${base}cards/${card.no.toLowerCase()}/`, `${card.no} ${card.title}`]] : [] })
  }
  const candidates = [...shown.keys()]
  const total = candidates.filter(({ own }) => own).length
  const questionOf = (/** @type {string} */ id) => key.questions.find((one) => one.id === id)
  const short = (/** @type {string} */ id) => questionOf(id)?.short ?? id
  const asked = new URLSearchParams(location.search)
  /** @type {Record<string, string>} */
  const answers = Object.fromEntries(key.questions.flatMap(({ id }) => (asked.get(id) ? [[id, asked.get(id) ?? '']] : [])))
  /** The question picked by hand, '' for the one that splits best. */
  let picked = ''

  const told = h('p', { class: 'sr', role: 'status' })
  const place = h('div', { class: 'own' })
  fill(root, told, broken, place)

  /** @param {string} id @param {string} answer '' takes it back @returns {string} what is wrong with it, '' where it was taken */
  function put(id, answer) {
    const question = questionOf(id)
    if (!question) return ''
    const { [id]: _, ...others } = answers
    if (answer && answer !== CANNOT) {
      const got = read(question, answer, others)
      if (!got.ok) return got.says
    }
    if (answer) answers[id] = answer
    else delete answers[id]
    picked = ''
    history.replaceState(history.state, '', `${location.pathname}${Object.keys(answers).length ? `?${new URLSearchParams(answers)}` : ''}`)
    draw()
    place.querySelector('h2')?.focus({ preventScroll: true })
    place.scrollIntoView({ block: 'start' })
    return ''
  }

  function draw() {
    const verdict = judge(key, candidates, answers)
    const words = verdictWords(verdict)
    say(told, words.join(' '))
    const question = questionOf(picked) ?? questionOf(verdict.next)
    fill(place,
      h('div', { class: 'results' }, h('div', { class: 'result' }, h('p', { class: 'name' }, words[0]), h('p', { class: 'v' }, words[1]), h('p', { class: 'also' }, words.slice(2).join(' ')))),
      question && ask(question, verdict),
      another(question?.id ?? ''),
      settle(verdict),
      verdict.left.length > 0 && verdict.state !== 'start' && list(total ? 'Left of yours' : 'What fits', verdict.left, verdict.state === 'found'),
      total > 0 && verdict.state !== 'start' && list('Kinds that fit', verdict.kinds, verdict.state === 'none'),
      given())
  }

  /** @param {Verdict} verdict @returns {string[]} how many are left, the verdict, and what it rests on */
  function verdictWords({ state, left, kinds }) {
    const all = total || key.kinds.length
    const names = left.map(({ candidate }) => titleOf(candidate))
    const count = `${left.length} of ${all} ${total ? 'of yours' : 'kinds'} left`
    const one = left[0]
    switch (state) {
      case 'start': return [count, 'Nothing answered yet', total ? 'Your own final drives are what is looked for, and the kinds besides.' : key.units ? 'No final drive of yours is written down, so only kinds are looked for.' : '']
      case 'found': return [count, `It is ${names[0]}`, `As far as these answers go. ${agrees(one)}`]
      case 'none': return [count, total ? 'None of yours' : 'None of these kinds', total
        ? `No unit that you wrote down fits all answers. One of the answers is off, or a unit was swapped in that has no record${kinds.length ? '' : ', and no kind fits either'}.` : 'No kind fits all answers. One of them is off.']
      default: return [count, 'Not enough to tell', left.length === 1 ? `Only ${names[0]} is left, but too little was seen on it. ${agrees(one)}`
        : left.length > 3 ? 'All that are left stand below.' : `Either ${names.join(', or ')}.`]
    }
  }

  /** @param {Candidate} candidate @returns {string} */
  function titleOf(candidate) {
    const { title = '', from = '' } = shown.get(candidate) ?? {}
    return from ? `${from} ${title}` : title
  }

  /** @param {Held | undefined} held @returns {string} */
  function agrees(held) {
    if (!held) return ''
    const names = (/** @type {string[]} */ ids) => ids.map(short).join(', ').toLowerCase()
    return [held.agrees.length && `Agrees: ${names(held.agrees)}.`, held.silent.length && `Its record does not say: ${names(held.silent)}.`].filter(Boolean).join(' ')
  }

  /** @param {import('../types.js').KeyQuestion} question @param {Verdict} verdict */
  function ask(question, { next, splitting, left }) {
    const why = picked || question.id !== next ? '' : splitting.includes(next) ? 'This splits what is left best.' : left.length ? 'This would confirm it.' : 'This tells the kinds apart.'
    return h('section', {}, h('h2', { tabindex: -1 }, question.ask), why && h('p', { class: 'of' }, why), cautions(question.cautions),
      question.how && h('p', {}, question.how), answerForm(question, answers[question.id] ?? '', (answer) => put(question.id, answer)),
      tap('I cannot tell', () => put(question.id, CANNOT)))
  }

  /** Any other question, in any order. @param {string} now */
  function another(now) {
    const box = h('select', { class: 'q', id: 'another', onchange: () => {
      picked = box.value
      draw()
      place.querySelector('h2')?.focus()
    } }, h('option', { value: '' }, 'Pick one'), key.questions.filter(({ id }) => id !== now).map((one) =>
      h('option', { value: one.id }, `${one.short}${answers[one.id] ? ', answered' : ''}`)))
    return h('div', { class: 'field' }, h('label', { for: 'another' }, 'Another question, in any order'), box)
  }

  /** @param {Verdict} verdict what would settle it @returns {HTMLElement} */
  function settle({ state, left, splitting, confirm, doubtful }) {
    const one = left.length === 1 ? left[0]?.candidate : undefined
    const item = (/** @type {string} */ id, /** @type {string} */ more) => h('li', {}, h('b', {}, `${short(id)}. `), questionOf(id)?.check || questionOf(id)?.ask || '', ` ${more}`)
    /** @type {Child[]} */
    const lines = one ? confirm.map((id) => item(id, recorded(one, id)))
      : state === 'none' ? doubtful.map((id) => h('li', { class: 'picked' }, `Without “${short(id)}: ${inWords(questionOf(id), answers[id] ?? '')}” something would be left.`, takeBack(id)))
        : telling(splitting).slice(0, 4).map((id) => item(id, ''))
    const says = one && !lines.length ? 'Every count and tag that settles it is answered.'
      : state === 'none' ? (lines.length ? 'Look again at one of these:' : 'No single answer is the odd one out. Start again, or write the unit down.')
        : left.length > 1 && !lines.length ? (total ? 'Nothing in the records tells these apart. Write down on each its bolts, teeth, tag and casting marks.' : 'No open question tells these apart from outside. The manual, or a look inside, does.') : ''
    return h('section', {}, h('h2', {}, 'What would settle it'), says && h('p', {}, says), lines.length > 0 && h('ul', { class: 'plain' }, lines),
      state === 'none' && total > 0 && h('a', { class: 'row', href: `${base}garage/` }, 'Write the unit down in your own vehicles'))
  }

  /** What settles it before what helps; where it sits only if nothing on the unit tells. @param {string[]} ids @returns {string[]} */
  function telling(ids) {
    const of = (/** @type {string} */ proof) => ids.filter((id) => questionOf(id)?.proof === proof)
    const seen = [...of('settles'), ...of('helps')]
    return seen.length ? seen : ids
  }

  /** @param {Candidate} candidate @param {string} id @returns {string} what its record says to a question that settles */
  function recorded({ own, facts }, id) {
    if (!own) return ''
    const says = { bolts: facts.bolts, teeth: facts.teeth && `${facts.teeth.ring} on ${facts.teeth.pinion}`, ...facts.texts }[id]
    return says ? `The record says ${says}.` : 'The record does not say. Write it down.'
  }

  /** @param {string} head @param {Held[]} held @param {boolean} open whether their links are shown */
  function list(head, held, open) {
    const kinds = held.some(({ candidate }) => !candidate.own && shown.get(candidate)?.outline)
    return h('section', {}, h('h2', {}, `${head}: ${held.length}`), kinds && h('p', { class: 'of' }, 'Drawn as examples. Shape, bolts and holes differ from make to make.'), held.map((one) => {
      const it = shown.get(one.candidate)
      return it && h('div', { class: 'cand', 'data-candidate': one.candidate.id }, it.outline && drawing(it.outline), h('div', {},
        h('b', {}, titleOf(one.candidate)), it.says && h('p', {}, it.says), one.candidate.own && h('p', { class: 'of' }, agrees(one)),
        open && it.links.map(([href, words]) => h('a', { class: 'row', href }, words))))
    }), !held.length && h('p', {}, 'None.'))
  }

  /** @param {string} id @returns {HTMLElement} */
  const takeBack = (id) => h('button', { type: 'button', class: 'link', onclick: () => put(id, '') }, 'Take back', h('span', { class: 'sr' }, ` ${short(id)}`))

  /** @returns {Child} */
  function given() {
    const ids = key.questions.filter(({ id }) => answers[id]).map(({ id }) => id)
    return ids.length > 0 && h('section', {}, h('h2', {}, `Answered: ${ids.length}`), h('ul', { class: 'plain' }, ids.map((id) => {
      const question = questionOf(id)
      const answer = answers[id] ?? ''
      const got = question && answer !== CANNOT ? read(question, answer, answers) : null
      return h('li', { class: 'picked' }, h('span', {}, h('b', {}, `${short(id)}: `), inWords(question, answer), got && !got.ok && h('span', { class: 'odd' }, ` Not used. ${got.says}`)), takeBack(id))
    })), tap('Start again', () => {
      for (const id of ids) delete answers[id]
      put(ids[0] ?? '', '')
    }))
  }

  draw()
}

/** What can be drawn of a unit, with what its kind and its plugs say where the outline is silent. @param {import('../types.js').UnitSheet} unit @returns {Outline} */
function drawn(unit) {
  const { words, bolts } = factsOf(unit)
  const first = (/** @type {string} */ name) => words[name]?.[0]
  const known = { face: first('face'), housing: first('housing'), ends: first('ends'), drain: first('drain'), plug: first('plug'), bolts: bolts ?? undefined }
  return /** @type {Outline} */ ({ ...known, ...unit.outline })
}
