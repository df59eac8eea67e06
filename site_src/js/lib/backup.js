// What leaves the phone as text: lines a person reads first, then one JSON object per line. A line that starts with
// '{' is data, no other line does; the last one counts the lines before it, so that a file cut short shows.

/** @typedef {import('../types.js').Event} Event */
/** @typedef {import('../types.js').Reading} Reading */

/** @typedef {Record<string, any[]>} Plain records by store, as JSON can hold them */

/**
 * The records of a backup, one a line, each with its line end: this is what the digest is made of.
 * @param {Plain} stores
 * @returns {string}
 */
export function lines(stores) {
  const one = (/** @type {string} */ store) => (/** @type {unknown} */ record) => `${JSON.stringify({ store, record })}\n`
  return Object.keys(stores).flatMap((name) => (stores[name] ?? []).map(one(name))).join('')
}

/**
 * A backup of everything that is stored.
 * @param {string} made when, ISO 8601
 * @param {number} version the store's
 * @param {Plain} stores
 * @param {string} records what `lines` made of them
 * @param {string} sha256 of the records' bytes, hexadecimal; '' where none could be made
 * @returns {string}
 */
export function backup(made, version, stores, records, sha256) {
  const names = Object.keys(stores)
  const counts = Object.fromEntries(names.map((name) => [name, stores[name]?.length ?? 0]))
  const bare = (stores.photos ?? []).filter((photo) => photo?.blob?.data == null).length
  const head = [
    `Fillmark backup, made ${made}`,
    `It holds: ${names.map((name) => `${name} ${counts[name]}`).join(', ') || 'nothing'}`,
    ...(stores.jobs ?? []).map((job) => line(`- ${job.title}, ${job.vehicle}, ${job.unitTitle}: ${job.state}, ${job.count} events`)),
    ...(stores.vehicles ?? []).map((one) => line(`- ${one.sheet ? one.sheet.name : `${one.id}, taken away`}: own vehicle, revision ${one.rev}`)),
    ...(bare ? [`Left out: the pictures of photos, ${bare}.`] : []),
    ...(sha256 ? [] : ['No digest could be made on this page: a change of this file will not show.']),
    'Keep this file as it is. Each line below is one record, for a machine.',
  ]
  const first = JSON.stringify({ backup: 2, made, version, counts, sha256 })
  const count = Object.values(counts).reduce((sum, n) => sum + n, 1)
  return `${[...head, '', first].join('\n')}\n${records}${JSON.stringify({ end: count })}\n`
}

/**
 * Events that may not be stored anywhere: in words, and then as data.
 * @param {Omit<Event, 'seq'>[]} events
 * @param {(at: number, zone: number) => string} wall wall time as printed
 * @returns {string}
 */
export function record(events, wall) {
  const head = [
    `Fillmark record of ${events.length} events`,
    ...events.map((event) => line(`${wall(event.at, event.zone)} ${sentence(event)}`)),
    'Keep this file as it is. Each line below is one event, for a machine.',
  ]
  return text(head, events.map((event) => ({ store: 'events', record: event })))
}

/**
 * One event in words. A shape that is not known here (of a newer version) is given as it stands, never refused.
 * @param {Omit<Event, 'seq'>} event
 * @returns {string}
 */
export function sentence(event) {
  try {
    return words(/** @type {Event} */ (event))
  } catch {
    return `${event.kind}: ${JSON.stringify(event.data)}`
  }
}

/** @param {Event} event @returns {string} */
function words({ kind, data }) {
  switch (kind) {
    case 'begin': {
      const { card, vehicle, unit } = data.copy
      return `Began ${card.no} ${card.title}. ${vehicle.name}, ${unit.title}. Odometer: ${reading(data.odometer)}`
    }
    case 'done': return `Step ${data.step} done`
    case 'undone': return `Taken back: ${[...list('step', data.steps), ...list('hold', data.holds)].join('; ')}`
    case 'put-back': return 'Put back what was taken back last'
    case 'hold': return `Hold ${data.hold} ticked`
    case 'override': return `Hold ${data.hold} passed without its condition: ${data.reason}`
    case 'opened': return `Wait after step ${data.step} opened${data.early ? `, ${data.early} min early` : ''}`
    case 'label': return `Time on the label for step ${data.step}: ${data.minutes} min`
    case 'read': return `${data.field}: ${data.reading ? reading(data.reading) : 'cleared'}`
    case 'bolt': return `Step ${data.step}: tap ${data.tap} tightened`
    case 'unbolt': return `Step ${data.step}: tap ${data.tap} taken back`
    case 'threads': return `Threads of ${data.role}: ${data.state}`
    case 'note': return `Note at step ${data.step}: ${data.text}`
    case 'photo': return `Photo at step ${data.step}`
    case 'clock': return `Phone clock moved by ${data.by / 1000} s, ${data.counted ? 'counted' : 'not counted'}`
    case 'rest': return `Left to rest: ${data.note}`
    case 'resume': return 'Taken up again'
    case 'stopped': return `Stopped: ${data.defect}`
    case 'signed': return 'Signed off'
    default: return `${kind}: ${JSON.stringify(data)}`
  }
}

/** @param {Reading} one */
function reading(one) {
  return one.unit ? `${one.typed} ${one.unit}` : one.typed
}

/** @param {string} what @param {number[]} numbers */
function list(what, numbers) {
  return numbers.length ? [`${what}${numbers.length === 1 ? '' : 's'} ${numbers.join(', ')}`] : []
}

/** What a person typed may hold line ends; here each thing keeps to its line. @param {string} typed */
function line(typed) {
  return typed.replace(/\s+/g, ' ').trim()
}

/** @param {string[]} head @param {object[]} data */
function text(head, data) {
  const lines = data.map((one) => JSON.stringify(one))
  return [...head, '', ...lines, JSON.stringify({ end: lines.length }), ''].join('\n')
}
