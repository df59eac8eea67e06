// Tyre sizes as they stand on the sidewall, and how true distance changes with them (calculator C14).

const METRIC = /^\s*(?:P|LT|T)?\s*(\d{3})\s*\/\s*(\d{2,3})\s*-?\s*(?:ZR|[RBD])?\s*-?\s*(\d{2}(?:\.5)?)\s*(?:C|LT)?\b/i
const INCH = /^\s*(\d{2}(?:\.\d+)?)\s*[x×]\s*\d{1,2}(?:\.\d+)?\s*-?\s*(?:LT)?\s*[RBD-]?\s*\d{2}\b/i

/**
 * @param {string} size such as 235/75R15 or 31×10.50R15
 * @returns {number | null} outside diameter in metres; null where the size does not tell it, as 7.50-16 does not
 */
export function outside(size) {
  const metric = METRIC.exec(size)
  if (metric) {
    const [width, aspect, rim] = metric.slice(1).map(Number)
    return (25.4 * /** @type {number} */ (rim) + 2 * /** @type {number} */ (width) * /** @type {number} */ (aspect) / 100) / 1000
  }
  const inch = INCH.exec(size)
  return inch ? Number(inch[1]) * 25.4 / 1000 : null
}

/**
 * @param {string} geared the size that the odometer was geared for @param {string} now
 * @returns {number | null} true distance per indicated distance to four decimals, null where a size does not tell
 */
export function tyreFactor(geared, now) {
  const [from, to] = [outside(geared), outside(now)]
  return from && to ? Math.round(to / from * 1e4) / 1e4 : null
}
