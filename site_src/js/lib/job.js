// A job under the vehicle: what happened, how it stands, what may happen next. One door to the modules that think.
//
// The safety of it lies in permit.js: no order of permitted events does a step before what it comes after, or past a
// hold that nobody ticked. Ask permit before every event, and write only what it does not refuse.
export { way } from './graph.js'
export { replay } from './replay.js'
export { clockOf, clocksOf, moved } from './clock.js'
export { finished, view } from './view.js'
export { NEVER, permit } from './permit.js'
export { undo } from './undo.js'

/** @typedef {import('./replay.js').Job} Job */
/** @typedef {import('./clock.js').Clock} Clock */
/** @typedef {import('./view.js').View} View */
/** @typedef {import('./view.js').Verdicts} Verdicts */
