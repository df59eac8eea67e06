// What may be done next on a card: a step is open when every step before it is done and every hold on it is ticked.

/** @typedef {{no: number, after: string[], holds: string[]}} Step */
/** @typedef {{no: number, state: 'done' | 'now' | 'open' | 'shut', why: string}} Standing */

/**
 * @param {Step[]} steps in the card's order; `after` holds entries such as `7` or `7!`
 * @param {Set<number>} done
 * @param {Set<string>} ticked holds, such as `h2`
 * @returns {Standing[]} `now` is the first open step; `why` says in words what shuts a step
 */
export function standing(steps, done, ticked) {
  let found = false
  return steps.map((step) => {
    if (done.has(step.no)) return { no: step.no, state: 'done', why: '' }
    const steps = step.after.map((entry) => parseInt(entry, 10)).filter((number) => !done.has(number))
    const holds = step.holds.filter((hold) => !ticked.has(hold))
    if (steps.length || holds.length) {
      const parts = []
      if (steps.length) parts.push(`after ${steps.length > 1 ? 'steps' : 'step'} ${steps.join(', ')}`)
      if (holds.length) parts.push(`hold ${holds.map((hold) => hold.slice(1)).join(', ')} not ticked`)
      return { no: step.no, state: 'shut', why: `Not yet: ${parts.join('; ')}` }
    }
    const state = found ? 'open' : 'now'
    found = true
    return { no: step.no, state, why: '' }
  })
}
