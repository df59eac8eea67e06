// The log as a table for other programs, by RFC 4180: comma, CRLF, quotes doubled, one header row, one row an entry.
//
// A cell that starts with = + - or @ is quoted and else left as it was typed: an apostrophe before it would be false
// data to every program but a spreadsheet. What was typed is never worked out by this site.

/** @typedef {import('../types').LogRecord} LogRecord */
/** @typedef {import('../types').Reading} Reading */
/** @typedef {{vehicles: Record<string, string>, work: Record<string, string>}} Names by id; an id without a name stands as it is */

/** @param {unknown} value @returns {string} */
export function cell(value) {
  const text = value === null || value === undefined ? '' : String(value)
  return /[",\r\n]|^[=+\-@\s]|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** Twelve digits: what a sum in SI adds in the sixteenth is no part of the value. @param {number} value */
const plainly = (value) => String(Number(value.toPrecision(12)))

/** @param {Reading | null | undefined} one @returns {string[]} as typed, its unit, litres */
const volume = (one) => [one?.typed ?? '', one?.unit ?? '', typeof one?.si === 'number' ? plainly(one.si * 1000) : '']

/** @param {string} what */
const volumeHead = (what) => [`${what} as typed`, `${what} unit`, `${what} (L)`]

/** @param {Record<string, Reading>} readings @returns {string} */
const readings = (readings) => Object.entries(readings).map(([field, { typed, unit }]) => `${field}: ${typed}${unit ? ` ${unit}` : ''}`).join('; ')

/** @param {Record<string, string>} names @param {string} id */
const named = (names, id) => (Object.hasOwn(names, id) ? names[id] : id)

const HEAD = [
  'date', 'vehicle', 'unit', 'procedure', 'work', 'finished', 'odometer as typed', 'odometer unit', 'true distance (km)', 'fluid',
  ...volumeHead('out'), ...volumeHead('in'), ...volumeHead('additive'), ...volumeHead('flush'),
  'torque (N·m)', 'as found', 'done', 'as left', 'level verified', 'vehicle level', 'deviations', 'notes', 'words', 'event', 'defect',
  'follow-ups', 'batch', 'parts', 'cost', 'receipt', 'waste', 'photos', 'closes', 'replaces', 'replaced by', 'demo', 'job', 'entry',
]

/**
 * @param {LogRecord[]} records
 * @param {Names} names
 * @returns {string} oldest first; an entry that a later one replaces stands with the id of that one
 */
export function csv(records, names) {
  const by = new Map(records.map(({ entry }) => [entry.replaces, entry.id]))
  const order = [...records].sort((a, b) => (a.entry.date === b.entry.date ? a.at - b.at : a.entry.date < b.entry.date ? -1 : 1))
  const rows = order.map(({ entry, followUps }) => [
    entry.date, named(names.vehicles, entry.vehicle), entry.unit, entry.procedure, named(names.work, entry.procedure),
    entry.finished ? 'yes' : 'no', entry.odometer.typed, entry.odometer.unit || entry.odometerUnit,
    entry.trueKm === null ? '' : plainly(entry.trueKm), entry.fluid,
    ...volume(entry.out), ...volume(entry.in), ...volume(entry.additive), ...volume(entry.flush),
    entry.torque.map(({ role, used, target, state }) => `${role} ${plainly(used)} of ${plainly(target)}, ${state}`).join('; '),
    readings(entry.found), readings(entry.done), readings(entry.left), entry.levelVerified, entry.vehicleLevel,
    entry.deviations.join('; '), entry.notes.map(({ step, text }) => `step ${step}: ${text}`).join('; '), entry.says, entry.event, entry.defect,
    followUps.map(({ kind, due, to, odometerUnit }) => [kind, due, to === null ? '' : `by ${to} ${odometerUnit}`].filter(Boolean).join(' ')).join('; '),
    entry.batch, entry.parts, entry.cost, entry.receipt, entry.waste, entry.photos.length, (entry.closes ?? []).join(' '),
    entry.replaces, by.get(entry.id), entry.demo ? 'yes' : 'no', entry.job, entry.id,
  ])
  return [HEAD, ...rows].map((row) => `${row.map(cell).join(',')}\r\n`).join('')
}
