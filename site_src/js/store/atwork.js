// Whether a job is open in any tab of this browser, as its claim tells: for whoever must not disturb it.
import { locks } from '../phone/tabs.js'
import { claimKey, STALE } from './claims.js'

/**
 * A job that was signed off, stopped or left for another sitting is closed, though its page is still looked at.
 * @param {string} name of the database
 * @param {() => Promise<import('../store.js').Summary[]>} jobs
 * @param {(keys: string[]) => Promise<any[]>} notedAll
 * @returns {Promise<boolean>} true also where what is held cannot be looked up
 */
export async function atWork(name, jobs, notedAll) {
  try {
    if (!locks()) {
      const open = (await jobs()).filter(({ state }) => state === 'open')
      const signs = await notedAll(open.map(({ id }) => claimKey(id)))
      return signs.some((sign) => sign && Math.abs(Date.now() - sign.at) < STALE)
    }
    const { held = [] } = await navigator.locks.query()
    const claimed = held.map((one) => one.name ?? '').filter((one) => one.startsWith(`${name} `))
    if (!claimed.length) return false
    const closed = (await jobs()).filter(({ state }) => state !== 'open').map(({ id }) => `${name} ${id}`)
    return claimed.some((one) => !closed.includes(one))
  } catch {
    return true
  }
}
