// Which oil: turn by turn, the category before the grade, by the rules of the key and, before all of them, by what the
// vehicle's own record says. Where a record and a page that was read disagree, nothing is bought.

/** @typedef {import('../types').Key} Key */
/** @typedef {import('../types').KeyTurn} Turn */
/** @typedef {import('../types').KeyRule} Rule */
/** @typedef {Record<string, string>} Answers by question; a temperature as `-18 °C`, `?` cannot tell */
/** @typedef {{grade: string, category: string, additive: string, state: string}} OnRecord of the unit; additive '' where nothing is said */
/**
 * @typedef {object} Decided
 * @property {string} id @property {string} title
 * @property {Rule['verdict'] | 'record' | 'conflict' | 'refused' | 'grade'} verdict
 * @property {string} main what to buy or do, in a few words; '' where nothing is settled
 * @property {string[]} says @property {string} source '' where it is the record @property {string} state
 * @property {Rule[]} notes
 * @property {string} differs what the rules say against the record; '' where they agree or say nothing
 * @property {{grade: string, why: string}[]} passes @property {{grade: string, why: string}[]} fails grades of the table, and why
 */

const UNKNOWN = 'unknown'
const AXLES = ['hypoid', 'spiral', 'axle']
const J306 = 'sae-j306-2019'
const SLIPS = ['clutch-ls', 'cone-ls']
// An 80W-90 of 140 and 14.5 mm²/s at 40 and 100 °C: its slope stands for a mineral gear oil (ASTM D341).
const [KV40, KV100, KELVIN] = [140, 14.5, 273.15]
const LIFT = 0.7
const double = (/** @type {number} */ kv) => Math.log10(Math.log10(kv + LIFT))
const SLOPE = (double(KV40) - double(KV100)) / Math.log10((100 + KELVIN) / (40 + KELVIN))

/** @param {number} kv100 mm²/s @param {number} celsius @returns {number} mm²/s, an estimate */
export const thinAt = (kv100, celsius) => 10 ** 10 ** (double(kv100) - SLOPE * Math.log10((celsius + KELVIN) / (100 + KELVIN))) - LIFT

/** @param {string | undefined} text @returns {number | null} °C */
export function celsius(text) {
  const got = /^([-−]?\d+(?:\.\d+)?) °([CF])$/.exec(text ?? '')
  if (!got) return null
  const value = Number((got[1] ?? '').replace('−', '-'))
  return got[2] === 'F' ? (value - 32) / 1.8 : value
}

/** @param {string | undefined} text @returns {{cold: string, hot: string} | null} `75W-90` is 75W and 90 */
export function gradeOf(text) {
  const got = /^(?:SAE\s*)?(?:(\d{2}W)[\s-]*)?(\d{2,3})?$/i.exec((text ?? '').trim())
  return got && (got[1] || got[2]) ? { cold: (got[1] ?? '').toUpperCase(), hot: got[2] ?? '' } : null
}

/** @param {Answers} answers @param {string} question @returns {string} */
const answerOf = (answers, question) => (!answers[question] || answers[question] === '?' ? UNKNOWN : answers[question] ?? UNKNOWN)
/** @param {Answers} answers @returns {(rule: Rule) => boolean} */
const fits = (answers) => ({ when }) => Object.entries(when).every(([question, values]) => values.includes(answerOf(answers, question)))

/** @param {string} text @returns {string[]} the categories in it, such as GL-5 */
const categories = (text) => [...text.toUpperCase().matchAll(/\b(GL|MT)[-\s]?(\d)|J2360/g)].map(([all, family, number]) => (family ? `${family}-${number}` : all))

/** @param {number} value @returns {string} */
const degrees = (value) => `${String(Math.round(value * 10) / 10).replace('-', '−')} °C`

/**
 * @param {Key} key @param {Answers} answers
 * @param {{record?: OnRecord | null, fills?: {refill: number, additive: number} | null}} [unit] what is on record; fills in m³
 * @returns {Decided[]} the turns in their order
 */
export function decide(key, answers, { record = null, fills = null } = {}) {
  /** @type {Decided[]} */
  const out = []
  for (const turn of key.turns) {
    const base = { id: turn.id, title: turn.title, main: '', differs: '', notes: turn.notes.filter(fits(answers)), passes: [], fails: [], source: '', state: '' }
    if (turn.least.length) out.push({ ...base, ...grade(key, turn, answers, record, out[0]) })
    else if (turn.id === 'category') out.push({ ...base, ...category(turn, answers, record) })
    else if (turn.id === 'additive') out.push({ ...base, ...additive(turn, answers, record, fills) })
    else out.push({ ...base, ...byRule(turn, answers) })
  }
  return out
}

/** @typedef {Partial<Decided> & Pick<Decided, 'verdict' | 'says'>} Part */

/** @param {Turn} turn @param {Answers} answers @returns {Part & {main: string}} by the first rule that fits; the last one always does */
function byRule(turn, answers) {
  const rule = turn.rules.find(fits(answers))
  if (!rule) throw new Error(`The turn ‘${turn.id}’ has no rule for these answers.`)
  const main = { buy: rule.gives, approval: 'By its approval', manual: 'The manual decides', none: 'None', 'part-of-fill': 'Part of the fill', fits: 'Fits', stop: 'Stop', note: '', open: '' }[rule.verdict]
  return { verdict: rule.verdict, main, says: [rule.says], source: rule.source, state: rule.state }
}

/** @param {Turn} turn @param {Answers} answers @param {OnRecord | null} record @returns {Part} */
function category(turn, answers, record) {
  const ruled = byRule(turn, answers)
  if (!record) return ruled
  const [there, rule] = [categories(record.category), categories(ruled.main)]
  const settles = ruled.verdict === 'buy' || ruled.verdict === 'approval'
  const apart = settles && (ruled.verdict === 'approval' ? there.length > 0 : !rule.some((one) => there.includes(one)))
  const named = !['silent', 'old', UNKNOWN].includes(answerOf(answers, 'names'))
  // A manual page outranks what somebody wrote down; against another page that was seen, nobody can say which is right.
  if (apart && named && record.state !== 'verified') return { ...ruled, differs: `Your record says ${record.category}, ${record.state}. The manual page outranks it, so change the record.` }
  if (apart && named) {
    return { verdict: 'conflict', main: 'Buy nothing yet', says: [`Your record says ${record.category}. The page that you read says ${ruled.verdict === 'approval' ? 'an approval by its text' : ruled.main}. Settle which of them is of this unit, and change the record if it is wrong.`] }
  }
  return { verdict: 'record', main: record.category, state: record.state, differs: apart ? `By rule it would be ${ruled.main}. ${ruled.says.join(' ')}` : '',
    says: [record.state === 'verified' ? 'Your record says so, and it wins over the rules.' : `Your record says so and wins over the rules, but it is ${record.state}. Read the manual page before you buy.`] }
}

const WAITS = {
  open: 'No grade without a category. Say first what the unit is, or what its manual names.',
  manual: 'No grade without a category. The manual decides the category, and names the grade with it.',
  approval: 'The approval that the manual names settles the thickness too. No gear oil grade stands in for it.',
  conflict: 'No grade without a category. Settle the category first.',
}

/** @param {Key} key @param {Turn} turn @param {Answers} answers @param {OnRecord | null} onRecord @param {Decided | undefined} before the category @returns {Part} */
function grade(key, turn, answers, onRecord, before) {
  const verdict = before?.verdict ?? 'open'
  if (verdict !== 'buy' && verdict !== 'record') return { verdict: 'refused', main: 'No grade yet', says: [WAITS[/** @type {'open'} */ (verdict)] ?? WAITS.open] }
  const cold = celsius(answers.cold)
  const named = answers.grade && answers.grade !== '?' ? answers.grade : ''
  const record = verdict === 'record' ? onRecord : null
  if (record && !named) return { verdict: 'record', main: record.grade, state: record.state, ...inTheCold(key, record.grade, cold, 'Your record says so, and it wins over the rules.') }
  if (record && named) {
    const [a, b] = [gradeOf(record.grade), gradeOf(named)]
    if (record.state === 'verified' && (a?.cold !== b?.cold || a?.hot !== b?.hot)) return { verdict: 'conflict', main: 'Buy nothing yet', says: [`Your record says ${record.grade}, the page that you read says ${named}. Settle which of them is of this unit.`] }
  }
  if (named) return { verdict: 'manual', main: named.toUpperCase(), source: 'service-manual-page', ...inTheCold(key, named, cold, 'The manual names it, and that stands.') }
  const { passes, fails } = coldGrades(key, cold)
  const listed = { passes, fails, source: J306, state: 'plausible' }
  if (!AXLES.includes(answerOf(answers, 'unit'))) {
    return { ...listed, verdict: 'manual', main: 'The manual decides', says: ['How thick it must be when hot, the manual says. In a gearbox thicker is not safer.', ...(cold === null ? [] : ['For the cold these W grades pass or fail.'])] }
  }
  const load = answerOf(answers, 'load')
  const hot = celsius(answers.hot)
  const least = turn.least.find((one) => one.load === load && (one.upto === null || hot === null || hot <= one.upto))
  const needs = [...(cold === null ? ['the coldest start'] : []), ...(least ? [] : ['the load'])]
  if (!least || cold === null) return { ...listed, verdict: 'open', says: [`Needs ${needs.join(' and ')}, or the grade that the manual names.`] }
  const floor = key.grades.find((one) => one.grade === least.grade)?.thin ?? 0
  for (const one of key.grades) {
    if (one.cold !== null || one.thin === null) continue
    if (one.thin >= floor) passes.push({ grade: one.grade, why: `at least ${one.thin} mm²/s at 100 °C` })
    else fails.push({ grade: one.grade, why: `thinner than a ${least.grade} when hot` })
  }
  const says = [least.says, `The W numbers are those that flow at ${degrees(cold)}, by SAE J306.`, hot === null ? 'The hottest oil is not measured, so it is taken as no hotter than the first step of the rule.'
    : `At ${degrees(hot)} the thinnest SAE ${least.grade} is down to about ${thinAt(floor, hot).toFixed(1)} mm²/s, by the slope of a mineral oil. An estimate.`]
  const flows = passes.filter((one) => one.grade.endsWith('W'))
  if (!flows.length) return { ...listed, verdict: 'stop', main: 'No grade of the table', says: [`None flows at ${degrees(cold)}. Ask the maker, or start it warm.`] }
  return { ...listed, verdict: 'grade', main: flows.map((one) => `${one.grade}-${least.grade}`).join(' or '), says, source: least.source, state: least.state }
}

/** @param {Key} key @param {number | null} cold @returns {{passes: {grade: string, why: string}[], fails: {grade: string, why: string}[]}} the W grades */
export function coldGrades({ grades }, cold) {
  const flowing = cold === null ? [] : grades.flatMap((one) => (one.cold === null ? [] : [{ grade: one.grade, why: `good down to ${degrees(one.cold)}`, ok: one.cold <= cold + 1e-9 }]))
  const bare = (/** @type {boolean} */ ok) => flowing.filter((one) => one.ok === ok).map(({ grade: name, why }) => ({ grade: name, why }))
  return { passes: bare(true), fails: bare(false) }
}

/** @param {Key} key @param {string} text a grade as it is named @param {number | null} cold @param {string} says @returns {Pick<Decided, 'says' | 'differs'>} */
function inTheCold({ grades }, text, cold, says) {
  const got = gradeOf(text)
  const limit = grades.find((one) => one.grade === got?.cold)?.cold ?? null
  if (!got) return { says: [says], differs: '' }
  if (!got.cold) return { says: [says, `‘${text}’ has no W number, so it says nothing of the cold.`], differs: '' }
  if (limit === null || cold === null) return { says: [says], differs: '' }
  if (limit <= cold + 1e-9) return { says: [says, `${got.cold} is good down to ${degrees(limit)}, and your coldest start is ${degrees(cold)}.`], differs: '' }
  return { says: [says], differs: `${got.cold} is good down to ${degrees(limit)} only, and your coldest start is ${degrees(cold)}. Look in the manual for the grade of colder places.` }
}

/** @param {Turn} turn @param {Answers} answers @param {OnRecord | null} record @param {{refill: number, additive: number} | null} fills @returns {Part} */
function additive(turn, answers, record, fills) {
  const ruled = byRule(turn, answers)
  const slips = SLIPS.includes(answerOf(answers, 'diff'))
  const litres = (/** @type {number} */ si) => `${(si * 1000).toFixed(2)} L`
  const poured = fills && ruled.verdict !== 'none' && fills.refill > fills.additive ? [`Of ${litres(fills.refill)} refill, ${Math.round(fills.additive * 1e6)} mL are additive: pour ${litres(fills.refill - fills.additive)} of oil.`] : []
  const told = { verdict: /** @type {const} */ ('record'), state: record?.state ?? '' }
  switch (record?.additive) {
    case 'separate': return { ...told, main: 'Part of the fill', says: ['Your record says that it is added separately. It goes in first, then oil to the level.', ...poured],
      differs: ruled.verdict === 'none' ? `By rule: ${ruled.says.join(' ')}` : '' }
    case 'included': return { ...told, main: 'In the oil', says: ['Your record says that the oil has it in. Pour none at first.'], differs: '' }
    case 'none': return { ...told, main: 'None', says: ['Your record says none.'], differs: slips ? 'It also says that the differential has clutches or cones. Read the manual before you leave the additive out.' : '' }
    default: return { ...ruled, says: [...ruled.says, ...(ruled.verdict === 'part-of-fill' ? poured : [])] }
  }
}
