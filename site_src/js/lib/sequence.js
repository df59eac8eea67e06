// The order in which a group of bolts is tightened, and where each bolt sits.
//
// Ring, bolts numbered clockwise from the top. Multiples of four follow the published cross pattern: four bolts a
// quarter apart, then the next four. Other counts are ours: opposite pairs, going round so that no two neighbours
// follow each other. Rail: two rows, from the middle outwards, corner to corner.

/** @typedef {'ring' | 'rail' | 'inline' | 'single'} Pattern */
/** @typedef {{order: number[], standing: 'published' | 'ours' | 'practice'}} Sequence */

// ASME PCC-1 legacy cross pattern: the first bolt of each quartet, in turn.
/** @type {Record<number, number[]>} */
const QUARTETS = { 4: [1], 8: [1, 2], 12: [1, 2, 3], 16: [1, 3, 2, 4], 20: [1, 3, 5, 2, 4], 24: [1, 4, 2, 5, 3, 6] }

// Where a plain stride would set a pair beside the last one: 14 bolts need a walk of their own.
/** @type {Record<number, number[]>} */
const PAIRS = { 14: [1, 4, 6, 2, 5, 7, 3] }

/**
 * @param {Pattern} pattern
 * @param {number} count 1 to 48
 * @returns {Sequence} bolt numbers in the order of tightening
 */
export function sequence(pattern, count) {
  if (!Number.isInteger(count) || count < 1 || count > 48) throw new RangeError(`bolt count ${count}: 1 to 48 expected`)
  if (pattern === 'rail' || pattern === 'inline') return { order: centreOut(pattern, count), standing: 'practice' }
  if (count < 4) return { order: steps(count, 1), standing: 'practice' }
  const quartets = QUARTETS[count]
  if (quartets) {
    const quarter = count / 4
    const order = quartets.flatMap((first) => [first, first + 2 * quarter, first + quarter, first + 3 * quarter])
    return { order, standing: 'published' }
  }
  // Five and seven wheel nuts: every other one, the star.
  if (count % 2) return { order: steps(count, stride(count)), standing: count === 5 ? 'practice' : 'ours' }
  const half = count / 2
  const firsts = PAIRS[count] ?? steps(half, stride(half))
  return { order: firsts.flatMap((first) => [first, first + half]), standing: 'ours' }
}

/**
 * @param {number} count
 * @returns {number} the largest stride not over half the count that visits every bolt before it comes home
 */
function stride(count) {
  for (let step = Math.floor(count / 2); step > 1; step -= 1) if (divisor(step, count) === 1) return step
  return 1
}

/**
 * @param {number} a
 * @param {number} b
 * @returns {number}
 */
function divisor(a, b) {
  return b ? divisor(b, a % b) : a
}

/**
 * @param {number} count
 * @param {number} step
 * @returns {number[]} 1, 1+step, … round the ring
 */
function steps(count, step) {
  return Array.from({ length: count }, (_, index) => ((index * step) % count) + 1)
}

/**
 * @param {'rail' | 'inline'} pattern
 * @param {number} count
 * @returns {number[]}
 */
function centreOut(pattern, count) {
  const places = positions(pattern, count)
  // Nearest the middle first; at equal distance the far corner of the last one comes next.
  const left = places.map((place, index) => ({ ...place, bolt: index + 1 }))
  const order = []
  let last = { x: 0, y: 1 }
  while (left.length) {
    const near = Math.min(...left.map((place) => Math.abs(place.x)))
    const ring = left.filter((place) => Math.abs(place.x) <= near + 1e-9)
    ring.sort((a, b) => distance(b, last) - distance(a, last) || a.bolt - b.bolt)
    const next = /** @type {{x: number, y: number, bolt: number}} */ (ring[0])
    order.push(next.bolt)
    left.splice(left.indexOf(next), 1)
    last = next
  }
  return order
}

/**
 * @param {{x: number, y: number}} a
 * @param {{x: number, y: number}} b
 * @returns {number}
 */
function distance(a, b) {
  return Math.hypot(a.x - b.x, a.y - b.y)
}

/**
 * Where the bolts sit, in units of the drawing: x to the right, y downwards, the outline about 1 each way.
 *
 * @param {Pattern} pattern
 * @param {number} count
 * @returns {{x: number, y: number}[]} by bolt number; ring and rail count clockwise
 */
export function positions(pattern, count) {
  if (pattern === 'single') return [{ x: 0, y: 0 }]
  if (pattern === 'ring') {
    return Array.from({ length: count }, (_, index) => {
      const angle = (2 * Math.PI * index) / count
      return { x: Math.sin(angle), y: -Math.cos(angle) }
    })
  }
  const top = pattern === 'rail' ? Math.ceil(count / 2) : count
  const rows = pattern === 'rail' ? [top, count - top] : [count]
  return rows.flatMap((length, row) =>
    Array.from({ length }, (_, index) => {
      const along = length === 1 ? 0 : -1 + (2 * index) / (length - 1)
      return row ? { x: -along, y: 0.5 } : { x: along, y: pattern === 'rail' ? -0.5 : 0 }
    })
  )
}
