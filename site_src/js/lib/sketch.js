// A final drive drawn from its record, face on: the outline with its bolts, the fill hole, the drain plug, what it is part
// of. Only what is known is drawn in a full line; an outline that nobody wrote down is a broken one.

/** @typedef {import('../types').Outline} Outline */
/** @typedef {{x: number, y: number}} Point x to the right, y downwards, the face about 1 each way */
/**
 * @typedef {object} Sketch
 * @property {Point[]} edge of the face, clockwise from the top
 * @property {boolean} known whether the shape is written down
 * @property {Point[]} bolts clockwise from the top; none where their number is not known
 * @property {boolean} behind whether the bolts are those of the flange on the far side
 * @property {Point | null} fill @property {string} key of the fill plug, '' where it is not known
 * @property {Point | null} drain @property {'beam' | 'independent' | ''} housing @property {boolean} swivels
 * @property {string} says all of it in words
 */

const FINE = 720
const EDGE = 72
const RIM = 0.84 // of the way out, where the bolts sit
const FLAT = 0.76 // the short side of an oval
const NARROW = 0.2 // how much an egg narrows to one end
const WORDS = {
  round: 'round', 'flat-oval': 'oval, wider than high', 'tall-oval': 'oval, higher than wide', egg: 'egg-shaped', square: 'square with round corners',
  cornered: 'with many straight sides',
}
const KEYED = { square: 'a square key', hexagon: 'a hexagon key', head: 'a spanner over its head' }
const PLUGS = { push: 'a rubber push plug', straight: 'a screwed plug', taper: 'a tapered plug' }

/** @param {Outline['shape']} shape @param {number} angle clockwise from the top @returns {Point} */
function at(shape, angle) {
  const [x, y] = [Math.sin(angle), -Math.cos(angle)]
  switch (shape) {
    case 'flat-oval': return { x, y: y * FLAT }
    case 'tall-oval': return { x: x * FLAT, y }
    case 'egg': return { x: x * 0.85 * (1 - NARROW * y), y }
    case 'square': {
      const out = 0.92 / (x ** 4 + y ** 4) ** 0.25
      return { x: x * out, y: y * out }
    }
    case 'cornered': {
      const side = Math.PI / 4
      const out = Math.cos(side / 2) / Math.cos((((angle + side / 2) % side) + side) % side - side / 2)
      return { x: x * out, y: y * out }
    }
    default: return { x, y }
  }
}

/** @param {Outline['shape']} shape @param {number} count @param {number} scale @returns {Point[]} equally far apart along the edge, the first at the top */
export function spaced(shape, count, scale) {
  const fine = Array.from({ length: FINE + 1 }, (_, step) => at(shape, (2 * Math.PI * step) / FINE))
  const far = fine.map((point, step) => {
    const before = fine[step - 1] ?? point
    return Math.hypot(point.x - before.x, point.y - before.y)
  })
  const whole = far.reduce((sum, one) => sum + one, 0)
  /** @type {Point[]} */
  const out = []
  let gone = 0
  for (const [step, point] of fine.entries()) {
    gone += far[step] ?? 0
    if (out.length < count && gone >= (whole * out.length) / count - 1e-9) out.push({ x: point.x * scale, y: point.y * scale })
  }
  return out
}

/** @param {string} fill `middle` or an hour @param {Outline['shape']} shape @returns {Point} */
function hole(fill, shape) {
  const hour = parseInt(fill, 10)
  if (!hour) return { x: 0, y: 0 }
  const edge = at(shape, (hour * Math.PI) / 6)
  return { x: edge.x * 0.5, y: edge.y * 0.5 }
}

/** @param {Outline} outline @returns {Sketch} */
export function sketch({ face, shape, bolts, fill, plug, key, drain, housing, ends }) {
  const says = [
    face === 'cover' ? 'Bolted cover' : face === 'smooth' ? 'Smooth face' : 'Face not recorded',
    shape ? WORDS[shape] : 'shape not recorded',
    bolts ? `${bolts} ${face === 'smooth' ? 'nuts on the far side' : 'bolts'}` : 'bolts not counted',
    fill ? `fill hole ${fill === 'middle' ? 'in the middle' : `at ${fill.replace("'", '’')}`}` : '',
    plug && `${PLUGS[plug]}${key ? `, ${KEYED[key]}` : ''}`, drain === 'present' ? 'drain plug' : drain === 'none' && 'no drain plug',
    housing && (housing === 'beam' ? 'beam axle' : 'independent, bolted to the frame'), ends === 'swivels' && 'swivels at the wheels',
  ].filter(Boolean).join(', ')
  return {
    edge: spaced(shape, EDGE, 1), known: Boolean(shape), bolts: bolts ? spaced(shape, bolts, RIM) : [], behind: face === 'smooth',
    fill: fill ? hole(fill, shape) : null, key: key ?? '', drain: drain === 'present' ? { x: 0, y: at(shape, Math.PI).y * 0.68 } : null,
    housing: housing ?? '', swivels: ends === 'swivels', says: `${says}.`,
  }
}
