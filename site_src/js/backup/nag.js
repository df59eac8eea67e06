// How much is on this phone only, in words: by what was entered, not by days.
import * as store from '../store.js'

/** @param {number} count */
const entries = (count) => (count === 1 ? '1 entry' : `${count} entries`)

/**
 * Entries are log entries and changes of one's own vehicles.
 * @returns {Promise<string>} '' where a backup holds all of it; rejects with NotSaved where the store does not answer
 */
export async function nag() {
  const { since, backup } = await store.marks()
  if (!since) return ''
  if (backup !== null) return `${entries(since)} since the last backup`
  return `No backup yet: ${entries(since)} ${since === 1 ? 'is' : 'are'} only on this phone`
}
