// A key with no fixed order: answers in, candidates left out. An answer rules a candidate out only where its record says
// otherwise; what a record does not say never does. No page and no storage: an answer is a text, so that a link holds it.
import { bare } from './facts.js'

/** @typedef {import('../types').Key} Key */
/** @typedef {import('../types').KeyQuestion} Question */
/** @typedef {import('./facts.js').Facts} Facts */
/** @typedef {{id: string, own: boolean, facts: Facts}} Candidate own: a unit of the garage, else a kind */
/** @typedef {Record<string, string>} Answers by question: an option's id, `10`, `37.3/20/one`, `41/11`, `?` cannot tell */
/** @typedef {'yes' | 'no' | 'silent'} Fit silent: its record does not say */
/** @typedef {{kind: 'word', fits: string[]} | {kind: 'count', count: number} | {kind: 'text', words: string[]} | {kind: 'ratio', ratio: number, off: number} | {kind: 'teeth', ring: number, pinion: number}} Read */

export const CANNOT = '?'
/** A ratio within 1 % agrees; a count of turns is read to a quarter of a turn. Both common practice, no source. */
export const AGREES = 0.01
export const QUARTER = 0.25

/** @param {Key['kinds'][number]} kind @returns {Candidate} */
export const kindCandidate = ({ id, facts }) => ({ id, own: false, facts: { words: facts, bolts: null, ratio: null, teeth: null, texts: {} } })

/**
 * @param {Question} question @param {string} answer @param {Answers} [all] the others, since one can make another impossible
 * @returns {{ok: true, read: Read} | {ok: false, says: string}}
 */
export function read(question, answer, all = {}) {
  const refuse = (/** @type {string} */ says) => /** @type {const} */ ({ ok: false, says })
  const numbers = answer.split('/').slice(0, 2).map(Number)
  const [first = NaN, second = NaN] = numbers
  switch (question.entry) {
    case 'pick': {
      const option = question.options.find(({ id }) => id === answer)
      return option ? { ok: true, read: { kind: 'word', fits: option.fits } } : refuse('Pick one of the answers.')
    }
    case 'count':
      return Number.isInteger(first) && first >= 3 && first <= 48 ? { ok: true, read: { kind: 'count', count: first } } : refuse('Type a whole number from 3 to 48.')
    case 'text': {
      const words = answer.toUpperCase().split(/[^\p{L}\p{N}]+/u).filter(Boolean)
      return words.length ? { ok: true, read: { kind: 'text', words } } : refuse('Type the letters and figures that you can read.')
    }
    case 'turns': {
      const held = answer.split('/')[2]
      if (!(first > 0 && second > 0 && Number.isFinite(first / second))) return refuse('Type the turns of the propshaft and of the wheels.')
      if (held !== 'one' && held !== 'both') return refuse('Say first whether one wheel turned with the other held, or both together. One wheel alone goes twice as far.')
      if (held === 'one' && all.turn === 'same') return refuse('The wheels of this axle turn together, so one alone is no count. Turn both and count again.')
      return { ok: true, read: { kind: 'ratio', ratio: (held === 'one' ? 2 : 1) * first / second, off: Math.max(AGREES, QUARTER / first) } }
    }
    case 'teeth':
      if (!numbers.every(Number.isInteger) || !(second >= 5 && first > second && first <= 200)) return refuse('Type both, the ring gear first, such as 41 and 11.')
      return { ok: true, read: { kind: 'teeth', ring: first, pinion: second } }
    default:
      return refuse('This question leads to no unit.')
  }
}

/** @param {Read} answer @param {string} question its id @param {Facts} facts @returns {Fit} */
export function fit(answer, question, facts) {
  const say = (/** @type {boolean} */ fits) => (fits ? 'yes' : 'no')
  switch (answer.kind) {
    case 'word': {
      const known = facts.words[question]
      return known ? say(known.some((word) => answer.fits.includes(word))) : 'silent'
    }
    case 'count':
      return facts.bolts === null ? 'silent' : say(facts.bolts === answer.count)
    case 'text': {
      const written = facts.texts[question]
      return written === undefined ? 'silent' : say(answer.words.every((word) => bare(written).includes(word)))
    }
    case 'ratio':
      return facts.ratio === null ? 'silent' : say(Math.abs(answer.ratio - facts.ratio) <= answer.off * facts.ratio)
    case 'teeth':
      if (facts.teeth) return say(facts.teeth.ring === answer.ring && facts.teeth.pinion === answer.pinion)
      return facts.ratio === null ? 'silent' : say(Math.abs(answer.ring / answer.pinion - facts.ratio) <= AGREES * facts.ratio)
  }
}

/** @param {Key} key @param {Answers} answers @returns {{question: Question, read: Read}[]} those that say something */
export function given({ questions }, answers) {
  return questions.flatMap((question) => {
    const answer = answers[question.id]
    if (!answer || answer === CANNOT) return []
    const got = read(question, answer, answers)
    return got.ok ? [{ question, read: got.read }] : []
  })
}

/** @typedef {{candidate: Candidate, agrees: string[], silent: string[], against: string[]}} Held by the ids of questions answered */

/** @param {Key} key @param {Candidate[]} candidates @param {Answers} answers @returns {Held[]} all of them, in their order */
export function hold(key, candidates, answers) {
  const asked = given(key, answers)
  return candidates.map((candidate) => {
    const by = (/** @type {Fit} */ wanted) => asked.filter((one) => fit(one.read, one.question.id, candidate.facts) === wanted).map(({ question }) => question.id)
    return { candidate, agrees: by('yes'), silent: by('silent'), against: by('no') }
  })
}

/** What a true answer may be, as far as a record says; none where it does not. @param {Question} question @param {Facts} facts @returns {Read[]} */
export function truths(question, facts) {
  const { bolts, ratio, teeth, texts } = facts
  switch (question.entry) {
    case 'pick': {
      const known = facts.words[question.id]
      return known ? question.options.filter(({ fits }) => fits.some((word) => known.includes(word))).map(({ fits }) => ({ kind: 'word', fits })) : []
    }
    case 'count': return bolts === null ? [] : [{ kind: 'count', count: bolts }]
    case 'text': {
      const written = texts[question.id]
      return written === undefined || bare(written) === 'NONE' ? [] : [{ kind: 'text', words: [bare(written)] }]
    }
    case 'turns': return ratio === null ? [] : [{ kind: 'ratio', ratio, off: AGREES }]
    case 'teeth': return teeth ? [{ kind: 'teeth', ...teeth }] : []
    default: return []
  }
}

/** @param {Question} question @param {Candidate[]} left @returns {number} how many candidates a true answer sets aside, summed over which one is the true one */
export function splits(question, left) {
  let sum = 0
  for (const one of left) {
    const possible = truths(question, one.facts)
    const aside = possible.flatMap((answer) => left.filter((other) => other !== one && fit(answer, question.id, other.facts) === 'no'))
    if (possible.length) sum += aside.length / possible.length
  }
  return sum
}

/**
 * @typedef {object} Verdict
 * @property {'found' | 'open' | 'none' | 'start'} state start: nothing that tells is answered yet
 * @property {Held[]} left of the own units, or of the kinds where no unit is asked for or there is none
 * @property {Held[]} kinds that fit, where the left are units
 * @property {string} next the question that splits what is left best, '' where none does
 * @property {string[]} splitting all open questions that split what is left, the best first
 * @property {string[]} confirm open questions whose answer would settle the one that is left
 * @property {string[]} doubtful answers without any one of which something would be left
 */

/** @param {Key} key @param {Candidate[]} candidates @param {Answers} answers @returns {Verdict} */
export function judge(key, candidates, answers) {
  const all = hold(key, candidates, answers)
  const standing = all.filter(({ against }) => !against.length)
  const units = all.some(({ candidate }) => candidate.own)
  const left = standing.filter(({ candidate }) => candidate.own === units)
  const kinds = units ? standing.filter(({ candidate }) => !candidate.own) : []
  const open = key.questions.filter(({ id }) => !answers[id])
  const order = (/** @type {Held[]} */ held) => {
    const those = held.map(({ candidate }) => candidate)
    return open.map((question) => ({ id: question.id, score: splits(question, those) })).filter(({ score }) => score > 0)
      .sort((a, b) => b.score - a.score).map(({ id }) => id)
  }
  const splitting = order(left)
  const one = left.length === 1 ? left[0] : undefined
  const proof = (/** @type {string} */ id) => key.questions.find((question) => question.id === id)?.proof
  const settled = one?.agrees.some((id) => proof(id) === 'settles')
  const seen = one?.agrees.filter((id) => proof(id) !== 'place').length ?? 0
  const answered = given(key, answers).length > 0
  const confirm = one ? open.filter((question) => question.proof === 'settles').map(({ id }) => id) : []
  const doubtful = left.length ? [] : given(key, answers).map(({ question }) => question.id).filter((id) => {
    const { [id]: _, ...others } = answers
    return hold(key, candidates, others).some(({ candidate, against }) => candidate.own === units && !against.length)
  })
  // With nothing left of one's own the kinds are told apart; with one left it is confirmed by what its record can say.
  const tells = (/** @type {string} */ id) => one && key.questions.some((question) => question.id === id && truths(question, one.candidate.facts).length)
  const next = splitting[0] ?? (one ? confirm.find(tells) ?? open.find(({ id }) => proof(id) !== 'place' && tells(id))?.id : left.length ? undefined : order(kinds)[0]) ?? ''
  const enough = units ? settled || seen >= 2 : seen >= 1
  return {
    state: !answered ? 'start' : !left.length ? 'none' : one && enough ? 'found' : 'open',
    left, kinds, next, splitting, confirm, doubtful,
  }
}
