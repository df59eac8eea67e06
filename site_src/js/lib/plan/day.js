// Several jobs in one day: the steps of all of them as one graph, and the shortest order found for it. Jobs on one vehicle
// share a drive, a lift and a lowering; one that cannot share them comes wholly before or after. Jobs on other vehicles,
// and those that need nothing of the vehicle, fill each other's waits.
import { way } from '../graph.js'
import { schedule, tasksOf } from '../schedule.js'

/** @typedef {import('../schedule.js').Task} Task */
/** @typedef {import('../schedule.js').Row} Row */
/** @typedef {import('../../types').Card} Card */
/**
 * @typedef {{id: string, vehicle: string, card: Card, option: string, label: Record<number, number>, done?: number[],
 *   left?: Record<number, number>}} Job `label` minutes by step; `done` steps of a job that has begun, and `left` minutes of
 *   their waits that still run
 * @typedef {{job: string, step: number}} Part
 * @typedef {Row & {parts: Part[], waitKind: string, label: boolean}} Slot what is done then, by all whose step it is
 * @typedef {{rows: Slot[], end: number, bound: number, proven: boolean, hands: number}} Day minutes from its begin
 */

/** A branch of the search costs about the square of the steps; so many of such units may be spent on a day. */
const WORK = 3_000_000
const ORDERS = 24

/**
 * @param {Job[]} jobs
 * @param {number} pairs of hands, 1 or 2
 * @returns {Day}
 * @throws {RangeError} for steps that wait for each other
 */
export function day(jobs, pairs) {
  const { tasks, parts, blocks } = graph(jobs)
  const cost = Math.max(1, tasks.length) ** 2
  const orders = sequences(blocks)
  const most = Math.max(1, Math.floor(WORK / cost / orders.length))
  /** @type {{plan: ReturnType<typeof schedule>, tasks: Task[]} | null} */
  let best = null
  let bound = Infinity
  for (const order of orders) {
    const all = chained(tasks, order)
    const plan = schedule(all, pairs, most)
    bound = Math.min(bound, plan.proven ? plan.end : plan.bound)
    if (!best || plan.end < best.plan.end - 1e-9) best = { plan, tasks: all }
  }
  const over = (/** @type {Row} */ { no, start, ready }) => ready === start
    && (parts.get(no) ?? []).every(({ job, step }) => jobs.find(({ id }) => id === job)?.done?.includes(step))
  const rows = (best?.plan.rows ?? []).filter((row) => !over(row))
    .map((row) => ({ ...row, parts: parts.get(row.no) ?? [], ...kindOf(jobs, parts.get(row.no) ?? []) }))
  const end = best?.plan.end ?? 0
  return {
    rows, end, bound: Math.min(bound, end), proven: orders.length < ORDERS && bound >= end - 1e-9,
    hands: tasks.reduce((sum, { hands }) => sum + hands, 0),
  }
}

/**
 * @param {Job[]} jobs
 * @returns {{tasks: Task[], parts: Map<number, Part[]>, blocks: number[][][]}} one task for what several jobs share; for
 *   each vehicle the tasks that must not be mixed with the others of it
 */
export function graph(jobs) {
  /** The task that stands for a step of a job. @type {Map<string, number>} */
  const number = new Map()
  /** @type {Map<number, Part[]>} */
  const parts = new Map()
  /** @type {Map<number, Task>} */
  const tasks = new Map()
  const together = jobs.filter(({ card }) => Boolean(shared(card, 'raise')))
  /** @type {Map<string, number>} */
  const shares = new Map()

  jobs.forEach((job, index) => job.card.steps.forEach(({ no, shared: name }) => {
    const own = (index + 1) * 100 + no
    const key = name && together.includes(job) ? `${job.vehicle} ${name}` : ''
    const at = key ? (shares.get(key) ?? own) : own
    if (key) shares.set(key, at)
    number.set(`${job.id} ${no}`, at)
    parts.set(at, [...(parts.get(at) ?? []), { job: job.id, step: no }])
  }))
  const at = (/** @type {Job} */ job, /** @type {number} */ step) => /** @type {number} */ (number.get(`${job.id} ${step}`))

  for (const job of jobs) {
    const done = new Set(job.done ?? [])
    for (const own of tasksOf(job.card, job.option, job.label)) {
      const no = at(job, own.no)
      const mine = done.has(own.no) ? { ...own, hands: 0, wait: job.left?.[own.no] ?? 0 } : own
      const after = mine.after.map((one) => ({ no: at(job, one.no), handsOnly: one.handsOnly })).filter((one) => one.no !== no)
      const before = tasks.get(no)
      const adds = ['raise', 'lower'].includes(job.card.steps.find((step) => step.no === own.no)?.shared ?? '')
      tasks.set(no, before ? {
        no, hands: adds ? before.hands + mine.hands : Math.max(before.hands, mine.hands), wait: Math.max(before.wait, mine.wait),
        after: merged([...before.after, ...after]),
      } : { ...mine, no, after: merged(after) })
    }
  }
  const order = (/** @type {number} */ later, /** @type {number} */ sooner) => {
    const task = tasks.get(later)
    if (task && later !== sooner) task.after = merged([...task.after, { no: sooner, handsOnly: false }])
  }
  for (const one of together) {
    const others = together.filter((job) => job !== one && job.vehicle === one.vehicle)
    for (const other of others) {
      // The drive that warms the oil comes before whatever a job without one begins with: chocks stay where they are.
      const warm = shared(other.card, 'warm')
      if (warm && !shared(one.card, 'warm')) for (const { no, after } of one.card.steps) if (!after.length) order(at(one, no), at(other, warm.no))
      // Nobody drives before the looks of a job that has no drive of its own are done.
      const drive = shared(other.card, 'drive')
      if (drive && !shared(one.card, 'drive')) for (const no of ends(one.card)) order(at(other, drive.no), at(one, no))
      // The engine runs only when nobody works on anything else of the vehicle; of two that need it, the first in the list
      // goes first. Run on the wheels, it waits for all that others do before the drive; on stands, until all is closed.
      const running = one.card.steps.find(({ runs }) => runs)
      const theirs = other.card.steps.find(({ runs }) => runs)
      if (!running) continue
      const lowered = behind(one.card, shared(one.card, 'lower')?.no).includes(running.no)
      const first = !theirs || jobs.indexOf(other) < jobs.indexOf(one)
      if (first) for (const no of lowered ? undriven(other.card) : closed(other.card)) order(at(one, running.no), at(other, no))
      else for (const no of begun(other.card, lowered ? 'lower' : 'raise')) {
        for (const last of lowered ? undriven(one.card) : closed(one.card)) order(at(other, no), at(one, last))
      }
    }
  }
  return { tasks: [...tasks.values()], parts, blocks: blocksOf(jobs, together, at) }
}

/** @param {Card} card @param {string} name @returns {import('../../types').Step | undefined} */
const shared = (card, name) => card.steps.find((step) => step.shared === name)

/** @param {Task['after']} after @returns {Task['after']} each once; one that waits for all of it is the stricter */
function merged(after) {
  /** @type {Map<number, boolean>} */
  const found = new Map()
  for (const { no, handsOnly } of after) found.set(no, handsOnly && (found.get(no) ?? true))
  return [...found].map(([no, handsOnly]) => ({ no, handsOnly }))
}

/** @param {Card} card @returns {number[]} steps that none comes after */
const ends = (card) => card.steps.filter(({ no }) => !card.steps.some(({ after }) => after.some(({ step }) => step === no))).map(({ no }) => no)

/** @param {Card} card @returns {number[]} what its lowering comes after: then all beneath is closed */
const closed = (card) => shared(card, 'lower')?.after.map(({ step }) => step) ?? []

/** @param {Card} card @param {'raise' | 'lower'} name @returns {number[]} what comes right after its lift or its lowering */
function begun(card, name) {
  const found = shared(card, name)?.no
  return card.steps.filter((step) => !step.shared && step.after.some((one) => one.step === found)).map(({ no }) => no)
}

/** @param {Card} card @param {number | undefined} no @returns {number[]} all steps that come after one, sooner or later */
function behind(card, no) {
  const found = new Set([no])
  for (let grew = 0; grew !== found.size;) {
    grew = found.size
    for (const step of card.steps) if (step.after.some((one) => found.has(one.step))) found.add(step.no)
  }
  return [...found].filter((one) => one !== undefined && one !== no).map(Number)
}

/** @param {Card} card @returns {number[]} its own steps before its drive, or all where it has none */
function undriven(card) {
  const drive = shared(card, 'drive')?.no
  const later = drive ? behind(card, drive) : []
  return card.steps.filter((step) => !step.shared && !later.includes(step.no)).map(({ no }) => no)
}

/**
 * @param {Job[]} jobs @param {Job[]} together @param {(job: Job, step: number) => number} at
 * @returns {number[][][]} by vehicle, where there is more than one: those that are raised together, and each that is not
 */
function blocksOf(jobs, together, at) {
  const needing = jobs.filter(({ card }) => !card.beside)
  const vehicles = [...new Set(needing.map(({ vehicle }) => vehicle))]
  return vehicles.map((vehicle) => {
    const mine = needing.filter((job) => job.vehicle === vehicle)
    const groups = [mine.filter((job) => together.includes(job)), ...mine.filter((job) => !together.includes(job)).map((job) => [job])]
    return groups.filter((group) => group.length).map((group) => [...new Set(group.flatMap((job) => job.card.steps.map(({ no }) => at(job, no))))])
  }).filter((blocks) => blocks.length > 1)
}

/** @param {number[][][]} blocks @returns {number[][][][]} every order of the blocks of each vehicle, as many as are tried */
function sequences(blocks) {
  /** @type {number[][][][]} */
  let all = [[]]
  for (const own of blocks) {
    const orders = own.length > 4 ? [own] : permutations(own)
    all = all.flatMap((before) => orders.map((order) => [...before, order])).slice(0, ORDERS)
  }
  return all
}

/** @template T @param {T[]} list @returns {T[][]} */
const permutations = (list) => (list.length < 2 ? [list]
  : list.flatMap((one, i) => permutations(list.filter((_, k) => k !== i)).map((rest) => [one, ...rest])))

/** @param {Task[]} tasks @param {number[][][]} orders of blocks, by vehicle @returns {Task[]} each block after the one before it */
function chained(tasks, orders) {
  /** @type {Map<number, number[]>} */
  const more = new Map()
  for (const order of orders) {
    order.forEach((block, i) => {
      const before = order[i - 1]
      if (!before) return
      const last = before.filter((no) => !tasks.some((task) => before.includes(task.no) && task.after.some((one) => one.no === no)))
      for (const no of block) {
        const first = !tasks.find((task) => task.no === no)?.after.some((one) => block.includes(one.no))
        if (first) more.set(no, last)
      }
    })
  }
  return tasks.map((task) => (more.has(task.no)
    ? { ...task, after: merged([...task.after, ...(more.get(task.no) ?? []).map((no) => ({ no, handsOnly: false }))]) } : task))
}

/** @param {Job[]} jobs @param {Part[]} parts @returns {{waitKind: string, label: boolean}} of the longest wait among them */
function kindOf(jobs, parts) {
  const ways = parts.flatMap(({ job, step }) => {
    const mine = jobs.find(({ id }) => id === job)
    const found = mine?.card.steps.find(({ no }) => no === step)
    return mine && found ? [way(found, mine.option)] : []
  })
  const longest = ways.reduce((best, one) => (one.wait > best.wait ? one : best), ways[0] ?? { wait: 0, waitKind: '', label: false })
  return { waitKind: longest.waitKind, label: longest.label }
}
