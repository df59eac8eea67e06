// Why something is not saved, in words. A browser names its errors for programmers; these are for the screen.

/** @typedef {'full' | 'lost' | 'newer' | 'refused' | 'taken' | 'unknown'} Why */

/** @type {Record<Why, string>} */
const SAYS = {
  full: 'This phone has no room left for the site. Free some space and try again. Or save the record as text.',
  lost: 'The storage of this phone does not answer. Try again. If it stays so, save the record as text, then reload.',
  newer: 'Another tab has a newer version. Save the record as text, then reload this tab.',
  refused: 'This browser lets the site store nothing. Leave private mode or allow site data. Save the record as text.',
  taken: 'Another tab holds this job. Go on there, or take it over here.',
  unknown: 'The storage refused this. Save the record as text.',
}
export const OUTDATED = 'Another tab has a newer version. Reload this one.'
export const BLOCKED = 'An older tab holds the storage. Close all other tabs of this site.'
export const SLOW = 'The storage of this phone does not open. Close all other tabs of this site.'
export const PUT_BACK = 'The browser had lost what is kept here. It was put back from the second copy. Look it over, and make a backup.'
export const GONE = 'The first part of this job is no longer in the storage of this phone. Save the record as text.'

/** `why` is for code, `says` for the person. */
export class NotSaved extends Error {
  /** @param {Why} why @param {string} [says] */
  constructor(why, says = SAYS[why]) {
    super(says)
    this.name = 'NotSaved'
    this.why = why
    this.says = says
  }
}

/** @type {Record<string, Why>} */
const WHY = {
  QuotaExceededError: 'full',
  VersionError: 'newer',
  SecurityError: 'refused',
  // A connection that died under us shows as any of these; browsers do not agree on which.
  InvalidStateError: 'lost', UnknownError: 'lost', AbortError: 'lost',
}

/** @param {unknown} error whatever the storage threw @returns {NotSaved} */
export function known(error) {
  if (error instanceof NotSaved) return error
  const { name, message } = /** @type {Error} */ (error ?? new Error('no reason given'))
  const why = Object.hasOwn(WHY, name) ? WHY[name] : undefined
  return why ? new NotSaved(why) : new NotSaved('unknown', `${SAYS.unknown} (${name}: ${message})`)
}
