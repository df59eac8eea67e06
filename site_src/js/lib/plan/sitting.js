// Where a day can be cut in two: at a moment when no hands are busy and every job that has begun stands safe by itself.

/** @typedef {import('./day.js').Slot} Slot */
/** @typedef {import('./day.js').Job} Job */
/** @typedef {{at: number, first: Slot[], then: Slot[], rests: {row: Slot, ready: number}[]}} Cut `at` minutes from the begin;
 *   `rests` what goes on by itself meanwhile */

/** Waits that may last the night: a joint that sets, a battery on its charger. */
const LASTING = ['set', 'charge']

/**
 * @param {Slot[]} rows of a day @param {number} until minutes from its begin @param {Job[]} jobs
 * @returns {Cut | null} the latest moment up to `until` at which one can leave; null where the day fits, or nothing can be
 *   done of it that can be left
 */
export function cut(rows, until, jobs) {
  const end = Math.max(0, ...rows.map(({ ready }) => ready))
  if (end <= until) return null
  const moments = [...new Set(rows.map((row) => row.end))].filter((at) => at <= until).sort((a, b) => b - a)
  for (const at of moments) {
    if (rows.some((row) => row.start < at && row.end > at)) continue
    const first = rows.filter((row) => row.end <= at)
    const then = rows.filter((row) => row.end > at)
    const left = [...new Set(first.flatMap(({ parts }) => parts.map(({ job }) => job)))].filter((job) => then.some(({ parts }) => parts.some((part) => part.job === job)))
    const rests = left.map((job) => first.filter(({ parts }) => parts.some((part) => part.job === job))
      .find((row) => row.ready > at && LASTING.includes(row.waitKind)))
    if (rests.some(Boolean) && left.every((job, i) => rests[i] || closed(jobs.find(({ id }) => id === job), first))) {
      return { at, first, then, rests: [...new Set(rests)].flatMap((row) => (row ? [{ row, ready: row.ready }] : [])) }
    }
    if (!left.length && first.length) return { at, first, then, rests: [] }
  }
  return null
}

/** @param {Job | undefined} job @param {Slot[]} first @returns {boolean} whether all is done that its lowering comes after: it is filled and shut */
function closed(job, first) {
  const lower = job?.card.steps.find(({ shared }) => shared === 'lower')
  return Boolean(lower) && (lower?.after ?? []).every(({ step }) => first.some(({ parts }) => parts.some((part) => part.job === job?.id && part.step === step)))
}
