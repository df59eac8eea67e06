// Which bottles to buy: the cheapest ones that hold what is needed, least left over, fewest.
//
// Sizes are few, so all counts that can matter are gone through, the best unit price first. A branch is left when even
// that price all the way could not catch up with the best cover found, or when the same rest was reached for less.

/**
 * @typedef {{size: number, price?: number | null, stock?: number}} Bottle `size` in m³; `price` of one, null or absent
 *   where it is not known; `stock`, so many stand on the shelf already
 * @typedef {{size: number, count: number, shelf: number}} Taken `count` to buy, `shelf` to take from the shelf
 * @typedef {{bottles: Taken[], cost: number | null, over: number, proven: boolean}} Cover `bottles` in the order given;
 *   `cost` of those to buy, null where no bottle has a price; `over` in m³; `proven`, that no other cover is better
 */

/** Counted in whole billionths of a litre, so that sums are exact; a microlitre short is not short. */
const GRAIN = 1e12
const SLACK = 1000
/** Whole thousandths of the currency's unit. */
const COIN = 1000
/** So many branches are far more than bottles on a shelf ask for; past it the best one so far is given as such. */
const MOST = 100_000

/**
 * The cheapest bottles that hold `need`. Where no bottle has a price every litre costs the same, so the least is bought.
 * Where some have one, a bottle without is not for sale: it is only taken from the shelf, which costs nothing.
 * @param {number} need m³
 * @param {Bottle[]} bottles
 * @returns {Cover | null} null where nothing is for sale and the shelf does not hold enough
 * @throws {RangeError} for a size that is not above 0, a price below 0, or a stock that is no whole number
 */
export function cover(need, bottles) {
  bottles.forEach(check)
  if (!(need >= 0) || !Number.isFinite(need)) throw new RangeError(`need ${need} m³: 0 or more expected`)
  const priced = bottles.some(({ price }) => typeof price === 'number')
  const kinds = bottles.flatMap((bottle, of) => kindsOf(bottle, of, priced))
    .sort((a, b) => a.cost * b.size - b.cost * a.size || b.size - a.size)
  const { best, proven } = search(Math.round(need * GRAIN), kinds)
  if (!best) return null
  const taken = bottles.map(({ size }) => ({ size, count: 0, shelf: 0 }))
  kinds.forEach(({ of, shelf }, i) => {
    const one = /** @type {Taken} */ (taken[of])
    one[shelf ? 'shelf' : 'count'] += best.counts[i] ?? 0
  })
  return { bottles: taken, cost: priced ? best.cost / COIN : null, over: best.over / GRAIN, proven }
}

/** @param {Bottle} bottle */
function check({ size, price, stock = 0 }) {
  if (!(size > 0) || !Number.isFinite(size)) throw new RangeError(`bottle size ${size} m³: more than 0 expected`)
  if (typeof price === 'number' && !(price >= 0 && Number.isFinite(price))) throw new RangeError(`price ${price}: 0 or more expected`)
  if (!Number.isInteger(stock) || stock < 0) throw new RangeError(`stock ${stock}: a whole number expected`)
}

/** @typedef {{of: number, shelf: boolean, size: number, cost: number, most: number}} Kind `size` and `cost` in whole grains */

/** @param {Bottle} bottle @param {number} of @param {boolean} priced @returns {Kind[]} as taken from the shelf and as bought */
function kindsOf({ size, price, stock = 0 }, of, priced) {
  const grains = Math.max(1, Math.round(size * GRAIN))
  const cost = typeof price === 'number' ? Math.round(price * COIN) : priced ? NaN : grains
  return [
    ...(stock ? [{ of, shelf: true, size: grains, cost: 0, most: stock }] : []),
    ...(Number.isNaN(cost) ? [] : [{ of, shelf: false, size: grains, cost, most: Infinity }]),
  ]
}

/**
 * @typedef {{cost: number, over: number, count: number, counts: number[]}} Found `counts` by kind
 * @param {number} need grains @param {Kind[]} kinds the best unit price first
 * @returns {{best: Found | null, proven: boolean}}
 */
function search(need, kinds) {
  /** @type {{best: Found | null}} */
  const found = { best: null }
  let branches = 0
  /** What each rest was reached for, by kind: dearer, or as dear with more bottles, it leads to nothing better. */
  const reached = kinds.map(() => /** @type {Map<number, {cost: number, count: number}>} */ (new Map()))
  /** @type {number[]} */
  const counts = kinds.map(() => 0)

  /** @param {number} i kind @param {number} rest grains still needed @param {number} cost @param {number} count */
  const go = (i, rest, cost, count) => {
    const { best } = found
    if (rest <= SLACK) {
      const one = { cost, over: Math.max(0, -rest), count, counts: [...counts] }
      if (!best || worse(best, one)) found.best = one
      return
    }
    const kind = kinds[i]
    if (!kind || branches >= MOST) return
    branches += 1
    // Every kind from here on costs as much a litre or more.
    const least = cost + ((rest - SLACK) * kind.cost) / kind.size
    if (best && (least > best.cost * (1 + 1e-12) || !worse(best, { cost, over: 0, count }))) return
    const before = reached[i]?.get(rest)
    if (before && !worse({ ...before, over: 0 }, { cost, over: 0, count })) return
    reached[i]?.set(rest, { cost, count })
    for (let n = Math.min(kind.most, Math.ceil((rest - SLACK) / kind.size)); n >= 0; n -= 1) {
      counts[i] = n
      go(i + 1, rest - n * kind.size, cost + n * kind.cost, count + n)
    }
    counts[i] = 0
  }
  go(0, need, 0, 0)
  return { best: found.best, proven: branches < MOST }
}

/** @typedef {{cost: number, over: number, count: number}} Worth */

/** @param {Worth} a @param {Worth} b @returns {boolean} whether b is better: cheaper, then less over, then fewer bottles */
const worse = (a, b) => (a.cost - b.cost || a.over - b.over || a.count - b.count) > 0
