// When each step of a card can be done: the earliest times with hands to spare, a lower bound that no order can beat, and a
// good order for one or two pairs of hands. Only a step whose turn has come is placed, at the first free pair of hands; the
// branches are gone through the longest way first and left where their own bound is no better than the best order found.
import { way } from './graph.js'

/**
 * Minutes throughout, from the start of the job.
 * @typedef {{no: number, hands: number, wait: number, after: {no: number, handsOnly: boolean}[]}} Task `handsOnly`: it may
 *   use the wait of the one before
 * @typedef {{no: number, start: number, end: number, ready: number, pair: number}} Row `end` of the work, `ready` after its
 *   wait; `pair` of hands, 1 or 2
 * @typedef {{rows: Row[], end: number, critical: number[]}} Earliest `rows` as if hands were without number; any delay of a
 *   `critical` step delays the end
 * @typedef {{rows: Row[], end: number, bound: number, proven: boolean}} Plan `rows` by start; `bound` no order can beat;
 *   `proven`, that no order is shorter than this one
 */

/** Orders tried: far more than a card of thirty steps asks for where its bound can be met. */
const MOST = 20_000

/**
 * @param {import('../types').Card} card
 * @param {string} option of the card's choice, '' where it has none
 * @param {Record<number, number>} [label] minutes of a label by step, in place of the card's own
 * @returns {Task[]}
 */
export function tasksOf(card, option, label = {}) {
  return card.steps.map((step) => {
    const { hands, wait, label: typed } = way(step, option)
    const after = step.after.map(({ step: no, handsOnly }) => ({ no, handsOnly }))
    return { no: step.no, hands, wait: typed ? (label[step.no] ?? wait) : wait, after }
  })
}

/**
 * @param {Task[]} tasks
 * @returns {Earliest} by the critical path
 * @throws {RangeError} for a step that waits for itself or for none that there is
 */
export function earliest(tasks) {
  const { order, tails } = linked(tasks)
  /** @type {Map<number, Row>} */
  const rows = new Map()
  for (const task of order) {
    const start = readyOf(task, rows)
    rows.set(task.no, rowOf(task, start, 1))
  }
  const end = Math.max(0, ...[...rows.values()].map(({ ready }) => ready))
  const critical = order.filter(({ no }) => (rows.get(no)?.start ?? 0) + (tails.get(no) ?? 0) >= end - 1e-9).map(({ no }) => no)
  return { rows: order.map(({ no }) => /** @type {Row} */ (rows.get(no))), end, critical }
}

/**
 * @param {Task[]} tasks
 * @param {number} pairs of hands, 1 or 2
 * @param {number} [most] branches tried
 * @returns {Plan}
 * @throws {RangeError} for a step that waits for itself or for none that there is
 */
export function schedule(tasks, pairs, most = MOST) {
  const { order, tails } = linked(tasks)
  const tail = (/** @type {Task} */ { no }) => tails.get(no) ?? 0
  /** @type {Map<number, Row>} */
  const placed = new Map()
  const bound = boundOf(order, placed, Array.from({ length: pairs }, () => 0), tail)
  let best = /** @type {Row[]} */ ([])
  let shortest = Infinity
  let tried = 0

  /** @param {number[]} free when each pair of hands is @param {number} last start of the step placed before */
  const go = (free, last) => {
    if (placed.size === order.length) {
      const end = Math.max(0, ...[...placed.values()].map(({ ready }) => ready))
      if (end < shortest - 1e-9) [shortest, best] = [end, [...placed.values()]]
      return
    }
    tried += 1
    if (boundOf(order, placed, free, tail) >= shortest - 1e-9) return
    const pair = free.indexOf(Math.min(...free))
    const open = order.filter(({ no, after }) => !placed.has(no) && after.every((one) => placed.has(one.no)))
      .map((task) => ({ task, start: Math.max(readyOf(task, placed), free[pair] ?? 0) }))
    // A step that could be done before another begins would cost it nothing: that other one is not next.
    const soonest = Math.min(...open.map(({ task, start }) => start + task.hands))
    const next = open.filter(({ start, task }) => start >= last && (start < soonest || start + task.hands <= soonest))
      .sort((a, b) => tail(b.task) - tail(a.task) || a.start - b.start || a.task.no - b.task.no)
    for (const { task, start } of next) {
      if (tried > most || shortest <= bound + 1e-9) return
      placed.set(task.no, rowOf(task, start, pair + 1))
      go(free.map((at, i) => (i === pair ? start + task.hands : at)), start)
      placed.delete(task.no)
    }
  }
  go(Array.from({ length: pairs }, () => 0), 0)
  const rows = best.sort((a, b) => a.start - b.start || a.pair - b.pair)
  return { rows, end: order.length ? shortest : 0, bound, proven: tried <= most || shortest <= bound + 1e-9 }
}

/** @param {Task} task @param {number} start @param {number} pair @returns {Row} */
const rowOf = ({ no, hands, wait }, start, pair) => ({ no, start, end: start + hands, ready: start + hands + wait, pair })

/** @param {Task} task @param {Map<number, Row>} rows @returns {number} when what it comes after lets it begin */
const readyOf = ({ after }, rows) =>
  Math.max(0, ...after.map(({ no, handsOnly }) => (handsOnly ? rows.get(no)?.end : rows.get(no)?.ready) ?? 0))

/**
 * What is left of the hands' work lies between its earliest begin and its shortest way to the end, whichever part of it is
 * looked at: Carlier's bound for one pair of hands, shared out over two.
 * @param {Task[]} order @param {Map<number, Row>} placed @param {number[]} free @param {(task: Task) => number} tail
 * @returns {number} minutes that no order from here on can beat
 */
function boundOf(order, placed, free, tail) {
  const first = Math.min(...free)
  /** @type {Map<number, Row>} */
  const rows = new Map(placed)
  let bound = Math.max(0, ...[...placed.values()].map(({ ready }) => ready))
  /** @type {{head: number, hands: number, rest: number}[]} */
  const left = []
  for (const task of order) {
    if (placed.has(task.no)) continue
    const head = Math.max(first, readyOf(task, rows))
    rows.set(task.no, rowOf(task, head, 0))
    bound = Math.max(bound, head + tail(task))
    left.push({ head, hands: task.hands, rest: tail(task) - task.hands })
  }
  left.sort((a, b) => b.head - a.head)
  for (const { rest: least } of left) {
    let work = 0
    for (const { head, hands, rest } of left) {
      if (rest < least) continue
      work += hands
      bound = Math.max(bound, head + work / free.length + least)
    }
  }
  return bound
}

/**
 * @param {Task[]} tasks
 * @returns {{order: Task[], tails: Map<number, number>}} every step after those that it comes after; how long it is from the
 *   begin of each to the end of all that rests on it
 */
function linked(tasks) {
  /** @type {Task[]} */
  const order = []
  const done = new Set()
  for (const { no, after } of tasks) {
    const lost = after.find((one) => !tasks.some((task) => task.no === one.no))
    if (lost) throw new RangeError(`step ${no} comes after step ${lost.no}, which there is not`)
  }
  while (order.length < tasks.length) {
    const next = tasks.filter(({ no, after }) => !done.has(no) && after.every((one) => done.has(one.no)))
    if (!next.length) throw new RangeError(`steps ${tasks.filter(({ no }) => !done.has(no)).map(({ no }) => no).join(', ')} wait for each other`)
    for (const task of next) {
      order.push(task)
      done.add(task.no)
    }
  }
  /** @type {Map<number, number>} */
  const tails = new Map(order.map(({ no, hands, wait }) => [no, hands + wait]))
  for (const { no, after } of [...order].reverse()) {
    for (const { no: before, handsOnly } of after) {
      const task = /** @type {Task} */ (tasks.find((one) => one.no === before))
      const whole = task.hands + (handsOnly ? 0 : task.wait) + (tails.get(no) ?? 0)
      tails.set(before, Math.max(tails.get(before) ?? 0, whole))
    }
  }
  return { order, tails }
}

/**
 * @param {number} begin minutes since midnight @param {number} minutes from then
 * @returns {{time: string, days: number}} `17:43`, and how many midnights lie between; part minutes are rounded up
 */
export function onTheClock(begin, minutes) {
  const at = Math.ceil(begin + minutes - 1e-6)
  const two = (/** @type {number} */ value) => String(value).padStart(2, '0')
  const hour = Math.floor((at % 1440) / 60)
  return { time: `${two(hour)}:${two(at % 60)}`, days: Math.floor(at / 1440) }
}
