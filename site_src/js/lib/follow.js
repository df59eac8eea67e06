// What a job leaves behind: its entry in the service log, and the looks that are due after it.
import { named, waitOf } from './clock.js'
import { isoDate } from './day.js'
import { torqueFor } from './judge.js'
import { finished } from './view.js'

/** @typedef {import('./replay.js').Job} Job */
/** @typedef {import('../types').Entry} Entry */
/** @typedef {import('../types').FollowUp} FollowUp */
/** @typedef {import('../types').FollowRule} FollowRule */
/** @typedef {import('../types').Reading} Reading */

/** Metres; the international mile is exact. */
const METRES = { mi: 1609.344, km: 1000 }
/** Record field in which the torque of a role is written, where it is written at all. */
/** @type {Record<string, string>} */
const TORQUE = { 'drain-plug': 'torque-drain', 'fill-plug': 'torque-fill' }

/**
 * @param {Job} job
 * @param {string} entryId
 * @param {number} signedAt epoch milliseconds
 * @param {() => string} newId
 * @param {Reading} [odometer] as indicated now; the one of the start where none is given
 * @param {number} [zone] minutes ahead of UTC; that of the last event where none is given
 * @returns {FollowUp[]} those whose condition holds
 */
export function followUps(job, entryId, signedAt, newId, odometer = job.odometer, zone = job.zone) {
  const { card, vehicle, unit } = job.copy
  const { unit: miles, digits } = vehicle.odometer
  const start = indicated(odometer, miles)
  const at = (/** @type {number} */ distance) =>
    distance && start !== null ? Math.round(start + distance / vehicle.tyreFactor.factor / METRES[miles]) : null
  return card.followUps.filter((rule) => holds(job, rule)).map((rule) => {
    const last = at(rule.hardStop || rule.latest)
    const rolled = last !== null && last >= 10 ** digits
    const shown = rolled ? ` The odometer will have rolled over and show ${String(last % 10 ** digits).padStart(digits, '0')}.` : ''
    return {
      id: newId(), entry: entryId, vehicle: vehicle.id, unit: unit.id, kind: rule.kind, says: rule.when + shown,
      due: rule.days ? isoDate(signedAt, zone, rule.days) : '',
      from: at(rule.earliest), to: at(rule.latest), hardStop: at(rule.hardStop), odometerUnit: miles,
    }
  })
}

/**
 * @param {Reading | null} odometer
 * @param {'mi' | 'km'} unit
 * @returns {number | null} as indicated, in the unit of the odometer
 */
const indicated = (odometer, unit) => (odometer && odometer.si !== null && Number.isFinite(odometer.si) ? odometer.si / METRES[unit] : null)

/** @param {Job} job @param {FollowRule} rule @returns {boolean} */
function holds(job, { onlyIf }) {
  if (onlyIf === 'limited-slip') return ['clutch-ls', 'cone-ls'].includes(job.copy.unit.diff)
  if (onlyIf !== 'wet-or-glittery') return true
  const read = (/** @type {string} */ id) => job.readings[id]?.typed ?? ''
  const wet = read('water') !== '' && read('water') !== 'none seen'
  return wet || Number(read('magnet')) >= 2 || /milky|metallic/.test(read('colour'))
}

/**
 * @param {Job} job
 * @param {string} id
 * @param {number} signedAt epoch milliseconds
 * @param {number} zone minutes ahead of UTC
 * @param {string} defect what stopped the job, '' where nothing did
 * @param {import('./judge.js').Works} works
 * @returns {Entry}
 */
export function entry(job, id, signedAt, zone, defect, works) {
  const { card, vehicle, unit } = job.copy
  const read = (/** @type {string} */ field) => job.readings[field] ?? null
  const word = (/** @type {string} */ field) => job.readings[field]?.typed.trim() ?? ''
  const phase = (/** @type {string} */ name) => Object.fromEntries(
    card.record.filter((field) => field.phase === name).flatMap((field) => {
      const reading = job.readings[field.id]
      return reading ? [[field.id, reading]] : []
    }),
  )
  const distance = read('true-distance')?.si ?? null
  return {
    id, job: job.id, date: isoDate(signedAt, zone), vehicle: vehicle.id, unit: unit.id, procedure: card.no, rev: card.rev,
    finished: !defect && finished(job),
    odometer: job.odometer, odometerUnit: vehicle.odometer.unit, trueKm: distance === null ? null : distance / 1000,
    fluid: ['oil-product', 'oil-grade', 'oil-category'].map(word).filter(Boolean).join(', '),
    out: read('volume-out'), in: read('volume-in'), additive: read('additive-in'),
    torque: torques(job, works), deviations: deviations(job),
    found: phase('as-found'), done: phase('job'), left: phase('as-left'),
    notes: job.notes.map(({ step, text }) => ({ step, text })), photos: job.photos.map(({ photo }) => photo),
    levelVerified: word('level-verified'), vehicleLevel: word('vehicle-level'), defect, replaces: '', demo: vehicle.invented,
  }
}

/**
 * @param {Job} job
 * @param {import('./judge.js').Works} works
 * @returns {Entry['torque']} one per group whose last tightening step is done; what was written down wins over the rule
 */
function torques(job, works) {
  const { card, unit } = job.copy
  const roles = [...new Set(card.steps.map((step) => step.tightens).filter(Boolean))]
  return roles.flatMap((role) => {
    const fastener = unit.fasteners[role]
    if (!fastener || !card.steps.every((step) => step.tightens !== role || job.done.has(step.no))) return []
    const state = job.threads[role] ?? fastener.threadState
    const written = job.readings[TORQUE[role] ?? 'torque-used']?.si
    return [{ role, target: fastener.torque, used: written ?? torqueFor(fastener, state, works).used, state }]
  })
}

/** @param {Job} job @returns {string[]} what was not done by the card, each with its reason where one was typed */
function deviations(job) {
  const passed = [...job.ticked].filter(([, tick]) => tick.reason).map(([no, tick]) => `Hold ${no} passed: ${tick.reason}`)
  const early = [...job.opened].filter(([, { early }]) => early > 0)
    .map(([step, { early }]) => `${named({ kind: waitOf(job, step).kind, step }).replace('the', 'The')} opened ${early} min early`)
  const labels = job.relabelled.map(({ step, from, to }) => `Label time of step ${step} read again while it ran: ${from} min, then ${to} min`)
  const threads = Object.entries(job.threads).flatMap(([role, state]) => {
    const stated = job.copy.unit.fasteners[role]?.threadState
    return stated && stated !== 'unknown' && stated !== state ? [`Threads of the ${role.replaceAll('-', ' ')}: ${state}, the torque is stated for ${stated}`] : []
  })
  const typed = (/** @type {string} */ id, /** @type {string} */ before) => {
    const text = job.readings[id]?.typed.trim()
    return text ? [before + text] : []
  }
  return [...passed, ...early, ...labels, ...threads, ...typed('litres-why', 'Litres: '), ...typed('deviation', '')]
}
