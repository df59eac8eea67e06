// The shapes of types.d.ts, as a file that is taken in must have them. A vehicle's sheet has its own (sheetshape.js).
import { date, flag, id, list, map, maybe, number, object, one, or, rule, text, whole, word } from './shape.js'

/** @typedef {import('./shape.js').Shape} Shape */

const epoch = whole(0)
const none = rule('empty', (value) => value === '')
const reading = object({ typed: text(), unit: word, si: maybe(number) })
const readings = map(reading)

export const entry = object(
  {
    id, job: or(none, id), date, vehicle: id, unit: or(none, id), procedure: id, rev: whole(0), finished: flag,
    odometer: reading, odometerUnit: word, trueKm: maybe(number), fluid: text(),
    out: maybe(reading), in: maybe(reading), additive: maybe(reading),
    torque: list(object({ role: word, target: number, used: number, state: word })), deviations: list(text()),
    found: readings, done: readings, left: readings,
    notes: list(object({ step: number, text: text() })), photos: list(id),
    levelVerified: text(), vehicleLevel: text(), defect: text(), replaces: or(none, id), demo: flag,
  },
  {
    closes: list(id), event: word, says: text(), flush: maybe(reading), batch: text(), parts: text(), cost: text(),
    receipt: text(), waste: text(),
  })

const followUp = object({
  id, entry: id, vehicle: id, unit: or(none, id), kind: word, says: text(), due: or(none, date),
  from: maybe(number), to: maybe(number), hardStop: maybe(number), odometerUnit: word,
})
const followUps = list(followUp)

const card = object({
  no: id, rev: whole(0), title: text(), choice: maybe(object({ options: map(text()) })), includes: list(word),
  steps: list(object({
    no: whole(1), after: list(object({ step: whole(1), handsOnly: flag })),
    ways: map(object({ do: text(), hands: number, wait: number, waitKind: word, label: flag })),
    shows: list(text()), reads: list(word), tightens: word, part: one('all', 'stages', 'lap'),
  })),
  holds: list(object({ no: whole(1), says: text(), blocks: list(whole(1)), guard: word, write: text(), reads: list(word) })),
  cautions: list(object({ severity: word, topic: text(), before: number, says: text() })),
  acceptance: list(text()), stop: list(text()), parts: list(text()), tools: list(text()), gate: list(text()),
  capacity: list(word), torque: list(word),
  followUps: list(object({ kind: word, when: text(), days: number, earliest: number, latest: number, hardStop: number, onlyIf: word })),
  record: list(object({
    id: word, label: text(), phase: one('as-found', 'job', 'as-left'), kind: one('text', 'amount', 'pick', 'count'), unit: word,
    options: list(object({ word: text(), means: text(), stop: flag })),
  })),
}, { see: list(object({ no: id, title: text() })) })
const copy = object({
  card, subs: map(card), option: word, label: map(number),
  vehicle: object({
    id, name: text(), short: text(), invented: flag, wheelbase: maybe(number), tyreFactor: object({ factor: number, state: word }),
    odometer: object({ unit: one('mi', 'km'), digits: whole(1, 12), reading: number, rollovers: number }),
  }),
  unit: object({
    id, title: text(), kind: word, diff: word, refill: maybe(object({ si: number, state: word })),
    slots: map(object({ main: text(), also: text(), state: word, rivals: list(object({ main: text(), lost: flag })) })),
    fasteners: map(object({
      role: word, name: text(), count: whole(1, 200), torque: number, unit: word, threadState: word,
      pattern: one('ring', 'rail', 'inline', 'single'), stages: list(number),
    })),
    level: maybe(object({ low: number, high: number, below: text() })), fillHoleOffset: maybe(number), oilSurface: maybe(number),
  }),
})

const step = { step: whole(0) }
/** What each kind of event carries. A kind that is not here is of a newer version. @type {Record<string, Shape>} */
export const KINDS = {
  begin: object({ copy, odometer: reading, why: text(), readings }),
  done: object(step), opened: object({ ...step, early: number }), label: object({ ...step, minutes: number }),
  undone: object({ steps: list(whole(1)), holds: list(whole(1)) }), 'put-back': object({ undone: id }),
  hold: object({ hold: whole(1) }), override: object({ hold: whole(1), reason: text() }),
  read: object({ field: word, reading: maybe(reading) }), bolt: object({ ...step, tap: whole(1, 10_000) }),
  unbolt: object({ ...step, tap: whole(1, 10_000) }), threads: object({ role: word, state: word }),
  note: object({ ...step, text: text() }), photo: object({ ...step, photo: id, width: number, height: number, bytes: number }),
  clock: object({ by: number, counted: flag }), rest: object({ note: text() }), resume: object({}),
  stopped: object({ entry, defect: text() }, { followUps }), signed: object({ entry, followUps }),
}

/** @type {Shape} */
export const event = (value, path) => object({ id, job: id, seq: whole(1, 100_000), at: epoch, zone: number, kind: word })(value, path) ||
  (Object.hasOwn(KINDS, value.kind) ? /** @type {Shape} */ (KINDS[value.kind])(value.data, `${path}.data`)
    : `${path}.kind is "${value.kind}", which this version does not know`)

export const job = object({
  id, card: id, title: text(), vehicle: text(), unit: id, unitTitle: text(), began: epoch, last: epoch,
  state: one('open', 'resting', 'signed', 'stopped'), count: whole(1),
})

/** @type {Shape} */
export const logged = (value, path) => object({ id, entry, followUps, at: epoch })(value, path) ||
  (value.entry.id === value.id ? '' : `${path}.entry.id must be ${value.id}, got ${value.entry.id}`)

/** Its sheet is held to its own shape. */
export const vehicle = object({ id, rev: whole(1), at: epoch, sheet: rule('a sheet or null', (value) => typeof value === 'object' && !Array.isArray(value)) })

// A picture is a JPEG, as the camera page makes them, and nothing else: no markup, nothing that could run.
const DATA = 'data:image/jpeg;base64,'
const START = 'data:image/jpeg;base64,/9j/' // what every JPEG begins with
const MOST = 12_000_000 // letters
/** @param {any} blob */
const jpeg = ({ type, data }) => type === 'image/jpeg' && typeof data === 'string' && data.length <= MOST && data.startsWith(START) &&
  /^[A-Za-z0-9+/]+={0,2}$/.test(data.slice(DATA.length)) && (data.length - DATA.length) % 4 === 0

/** @type {Shape} */
export const photo = (value, path) => object({
  id, job: id, step: number, width: whole(1, 20_000), height: whole(1, 20_000), blob: object({ type: text(), bytes: whole(0), data: maybe(text(Infinity)) }),
})(value, path) || picture(value.blob, `${path}.blob`)

/** @type {Shape} */
function picture(blob, path) {
  if (blob.data === null) return ''
  if (!jpeg(blob)) return `${path} must be a JPEG picture, got ${blob.type || 'no type'}, ${blob.data.slice(0, 40)}…`
  const bytes = (blob.data.length - DATA.length) / 4 * 3 - (blob.data.match(/=*$/)?.[0].length ?? 0)
  return bytes === blob.bytes ? '' : `${path}.bytes must be what its data hold, ${bytes}, got ${blob.bytes}`
}
