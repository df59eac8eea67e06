// A calculator backwards: where in its declared range must one input lie, so that an output comes to what is wanted.
// The range is scanned for changes of sign, and each is narrowed until no number lies between its ends.

/**
 * @typedef {{
 *   answers: number[],
 *   flats: [number, number][],
 *   worked: boolean,
 * }} Solved `answers` rise; `flats` are stretches on which every value gives what is wanted; `worked` is false where the
 *   function has no value anywhere in the range
 * @typedef {{x: number, g: number}} Point of the function less what is wanted
 */

const STEPS = 200
const WIDE = 100 // times; a range that reaches further is scanned by powers too
const DEEP = 1e-9 // of the range's far end: nearer to nothing than this nothing is looked for
const EXACT = 1e-12 // of what is wanted: a place of the scan that is nearer is an answer, since units turn with an error
const JUMP = 1e-6 // of the step at first: what is left of it after narrowing is a jump or a pole, and no answer

/**
 * @param {(x: number) => number} f NaN or infinite where it has no value
 * @param {number} low @param {number} high above low; both belong to the range
 * @param {number} want
 * @returns {Solved}
 */
export function solve(f, low, high, want) {
  const near = EXACT * Math.abs(want)
  /** @param {number} x @returns {Point} */
  const at = (x) => {
    const g = f(x) - want
    return { x, g: Math.abs(g) <= near ? 0 : g }
  }
  const points = edges(scan(low, high).map(at), at)
  const worked = points.some(({ g }) => Number.isFinite(g))
  /** @type {number[]} */
  const answers = []
  /** @type {[number, number][]} */
  const flats = []
  for (const run of runs(points)) {
    const fine = dips(run, at)
    for (let i = 0; i < fine.length; i += 1) {
      const [here, next] = [fine[i], fine[i + 1]]
      if (!here) continue
      if (here.g === 0) {
        let end = i
        while (fine[end + 1]?.g === 0) end += 1
        if (end > i + 1) flats.push(stretch(fine, i, end, at))
        else answers.push(here.x, ...(end > i ? [/** @type {Point} */ (fine[end]).x] : []))
        i = end
      } else if (next && next.g !== 0 && here.g > 0 !== next.g > 0) {
        const found = narrowed(here, next, (x) => f(x) - want)
        if (Number.isFinite(found)) answers.push(found)
      }
    }
  }
  return { answers: apart(answers, high - low), flats, worked }
}

/** @param {number} low @param {number} high @returns {number[]} where to look, rising, the ends among it */
function scan(low, high) {
  const found = [low, high]
  for (let i = 1; i < STEPS; i += 1) found.push(low + ((high - low) * i) / STEPS)
  const far = Math.max(Math.abs(low), Math.abs(high))
  // Both sides of nothing, each by powers from its own near end.
  for (const [near, end, sign] of /** @type {const} */ ([[low, high, 1], [-high, -low, -1]])) {
    const from = Math.max(near, far * DEEP)
    if (end / from < WIDE) continue
    const ratio = (end / from) ** (1 / STEPS)
    for (let i = 0, x = from; i < STEPS; i += 1, x *= ratio) found.push(sign * x)
  }
  const rising = [...Float64Array.from(found).sort()]
  return rising.filter((x, i) => x !== rising[i - 1] && x >= low && x <= high)
}

/**
 * Add the last place that has a value beside each that has none: an answer may lie right there.
 * @param {Point[]} points @param {(x: number) => Point} at @returns {Point[]}
 */
function edges(points, at) {
  return points.flatMap((here, i) => {
    const next = points[i + 1]
    if (!next || Number.isFinite(here.g) === Number.isFinite(next.g)) return [here]
    let [has, not] = Number.isFinite(here.g) ? [here, next] : [next, here]
    for (let mid = middle(has.x, not.x); !Number.isNaN(mid); mid = middle(has.x, not.x)) {
      const there = at(mid)
      if (Number.isFinite(there.g)) has = there
      else not = there
    }
    return [here, has]
  })
}

/** @param {Point[]} points @returns {Point[][]} stretches on which there is a value all along */
function runs(points) {
  /** @type {Point[][]} */
  const out = [[]]
  for (const point of points) {
    if (Number.isFinite(point.g)) out.at(-1)?.push(point)
    else if (out.at(-1)?.length) out.push([])
  }
  return out
}

/**
 * Where the function comes near what is wanted and turns back, look closer: it may touch it, or cross it twice between
 * two places of the scan.
 * @param {Point[]} run @param {(x: number) => Point} at @returns {Point[]}
 */
function dips(run, at) {
  /** @type {Point[]} */
  const out = []
  for (let i = 0; i < run.length; i += 1) {
    const [before, here, after] = [run[i - 1], /** @type {Point} */ (run[i]), run[i + 1]]
    const side = Math.sign(here.g)
    const turns = side && before && after && Math.sign(before.g) === side && Math.sign(after.g) === side &&
      Math.abs(here.g) <= Math.abs(before.g) && Math.abs(here.g) < Math.abs(after.g)
    if (!turns) {
      out.push(here)
      continue
    }
    const low = lowest(before, here, after, at)
    const touches = Math.abs(low.g) <= 1e-9 * Math.max(Math.abs(before.g - low.g), Math.abs(after.g - low.g))
    out.push(...[here, { x: low.x, g: touches ? 0 : low.g }].sort((a, b) => a.x - b.x))
  }
  return out
}

/**
 * @param {Point} from @param {Point} mid @param {Point} to @param {(x: number) => Point} at
 * @returns {Point} the nearest to nothing between, by golden sections; the first beyond it at once
 */
function lowest(from, mid, to, at) {
  const side = Math.sign(mid.g)
  const share = (Math.sqrt(5) - 1) / 2
  let [a, b, best] = [from.x, to.x, mid]
  for (let i = 0; i < 80 && b - a > 1e-12 * (to.x - from.x); i += 1) {
    const [left, right] = [at(b - share * (b - a)), at(a + share * (b - a))]
    for (const one of [left, right]) if (one.g * side < best.g * side) best = one
    if (best.g * side <= 0) return best
    if (left.g * side < right.g * side) b = right.x
    else a = left.x
  }
  return best
}

/**
 * @param {Point} from @param {Point} to of other signs @param {(x: number) => number} g
 * @returns {number} NaN where the sign changes by a jump, through infinity or over a place without a value
 */
function narrowed(from, to, g) {
  let [a, b] = [from, to]
  for (let x = middle(a.x, b.x); !Number.isNaN(x); x = middle(a.x, b.x)) {
    const there = { x, g: g(x) }
    if (there.g === 0) return x
    if (!Number.isFinite(there.g)) return NaN
    if (there.g > 0 === a.g > 0) a = there
    else b = there
  }
  const best = Math.abs(a.g) <= Math.abs(b.g) ? a : b
  return Math.abs(best.g) <= JUMP * Math.max(Math.abs(from.g), Math.abs(to.g)) ? best.x : NaN
}

/** @param {number} a @param {number} b @returns {number} between the two; NaN where no number is left between them */
function middle(a, b) {
  const mid = a / 2 + b / 2
  return mid === a || mid === b ? NaN : mid
}

/**
 * @param {Point[]} points @param {number} first @param {number} last @param {(x: number) => Point} at
 * @returns {[number, number]} the whole stretch on which it is what is wanted
 */
function stretch(points, first, last, at) {
  /** @param {Point | undefined} inside @param {Point | undefined} outside */
  const end = (inside, outside) => {
    let [a, b] = [inside?.x ?? NaN, outside?.x ?? NaN]
    for (let mid = middle(a, b); !Number.isNaN(mid); mid = middle(a, b)) {
      if (at(mid).g === 0) a = mid
      else b = mid
    }
    return a
  }
  return [end(points[first], points[first - 1]), end(points[last], points[last + 1])]
}

/** @param {number[]} answers @param {number} range @returns {number[]} rising, each once */
function apart(answers, range) {
  const rising = answers.sort((a, b) => a - b)
  return rising.filter((x, i) => !i || x - /** @type {number} */ (rising[i - 1]) > 1e-12 * range)
}
