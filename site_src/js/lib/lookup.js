// Finds records by words: every word typed must meet a word of the record, exactly, as its beginning, or with one
// typing error. No library: at this size a scan over the distinct words is quicker than an index that must load.

/** @typedef {{id: number, score: number}} Hit */
/** @typedef {{words: string[], records: number[][], total: number}} Index */

/**
 * @param {string} text
 * @returns {string} lower case, accents and typographic marks off
 */
export function fold(text) {
  return text.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '').replace(/[·×]/g, ' ')
}

/**
 * @param {string} text
 * @returns {string[]} the distinct words; `75w-110` counts whole and in its parts
 */
export function words(text) {
  const whole = fold(text).split(/[^\p{L}\p{N}.-]+/u).filter(Boolean)
  return [...new Set(whole.flatMap((word) => [word, ...(word.includes('-') ? word.split('-') : [])]))].filter(Boolean)
}

/**
 * @param {string[]} texts one text per record
 * @returns {Index}
 */
export function index(texts) {
  /** @type {Map<string, number[]>} */
  const found = new Map()
  texts.forEach((text, id) => {
    for (const word of words(text)) {
      const list = found.get(word)
      if (list) list.push(id)
      else found.set(word, [id])
    }
  })
  return { words: [...found.keys()], records: [...found.values()], total: texts.length }
}

/**
 * @param {Index} index
 * @param {string} query
 * @returns {Hit[]} best first; an empty query finds everything in order
 */
export function search(index, query) {
  const asked = fold(query).split(/[^\p{L}\p{N}.-]+/u).filter(Boolean)
  if (!asked.length) return Array.from({ length: index.total }, (_, id) => ({ id, score: 0 }))
  const scores = new Float64Array(index.total)
  const met = new Uint16Array(index.total)
  asked.forEach((word, turn) => {
    const best = new Map()
    index.words.forEach((known, place) => {
      const score = match(word, known)
      if (!score) return
      for (const id of /** @type {number[]} */ (index.records[place])) {
        if (score > (best.get(id) ?? 0)) best.set(id, score)
      }
    })
    for (const [id, score] of best) {
      if (met[id] !== turn) continue // an earlier word found nothing here
      met[id] = turn + 1
      scores[id] = (scores[id] ?? 0) + score
    }
  })
  /** @type {Hit[]} */
  const hits = []
  for (let id = 0; id < index.total; id += 1) if (met[id] === asked.length) hits.push({ id, score: scores[id] ?? 0 })
  return hits.sort((a, b) => b.score - a.score || a.id - b.id)
}

/**
 * @param {string} word as typed
 * @param {string} known
 * @returns {number} 4 exact, 3 beginning, 2 one error, 1 beginning with one error, 0 no match
 */
export function match(word, known) {
  if (word === known) return 4
  if (known.startsWith(word)) return 3
  // Short words and figures are taken at their word: `75w` is not `85w`.
  if (word.length < 4 || /\d/.test(word)) return 0
  if (oneError(word, known)) return 2
  if (known.length > word.length) {
    for (const length of [word.length, word.length - 1, word.length + 1]) {
      if (oneError(word, known.slice(0, length))) return 1
    }
  }
  return 0
}

/**
 * @param {string} a
 * @param {string} b
 * @returns {boolean} whether one letter added, lost, changed, or two neighbours swapped, makes the words equal
 */
export function oneError(a, b) {
  const gap = a.length - b.length
  if (gap > 1 || gap < -1) return false
  let head = 0
  while (head < a.length && head < b.length && a[head] === b[head]) head += 1
  let tail = 0
  while (tail < a.length - head && tail < b.length - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail += 1
  const left = a.length - head - tail
  const right = b.length - head - tail
  if (left <= 1 && right <= 1) return true
  return left === 2 && right === 2 && a[head] === b[head + 1] && a[head + 1] === b[head]
}
