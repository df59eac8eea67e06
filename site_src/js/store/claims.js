// One writer across the tabs: who may write to a job. Where the browser has no locks, a lease in the store stands in.
import { got } from '../phone/database.js'
import { line, lock, locks } from '../phone/tabs.js'

/** @typedef {{token: string, written: boolean}} Own this tab's sign; written once it stands in the store */
/** @typedef {ReturnType<typeof import('../phone/database.js').database>} Database */

const RENEW = 5000 // ms between two signs of life of a lease, used where the browser has no locks
export const STALE = 15_000 // ms after which a lease without a sign of life is free

export const claimKey = (/** @type {string} */ job) => `claim ${job}`

/**
 * @param {string} name of the database
 * @param {Database['within']} within @param {Database['run']} run
 * @param {() => string} newId
 */
export function claiming(name, within, run, newId) {
  /** @type {Map<string, Own>} */
  const claims = new Map()
  const tabs = line(name)

  /** A lease outlives the page being reloaded; the page after it, and no other tab, finds the sign left for it here. */
  const reloaded = {
    /** @param {string} job @param {string} token */
    leave(job, token) {
      try {
        sessionStorage.setItem(`${name} ${job}`, token)
      } catch {
        // refused: the lease is stale soon
      }
    },
    /** @param {string} job */
    take(job) {
      try {
        const token = sessionStorage.getItem(`${name} ${job}`)
        sessionStorage.removeItem(`${name} ${job}`)
        return token
      } catch {
        return null
      }
    },
  }
  const changed = (/** @type {string} */ job) => tabs.say(job)

  /** @param {(job: string) => void} listener told when another tab wrote to a job, took it over or let go of it */
  const watch = (listener) => tabs.hear(listener)

  /**
   * Ask to be the one tab that writes to a job. `onLost` is called when another tab takes it over.
   * @param {string} job @param {() => void} onLost
   * @returns {Promise<{mine: boolean, release(): void}>} rejects with NotSaved only where neither lock nor storage works
   */
  const claim = (job, onLost) => hold(job, onLost, false)

  /** The same, from whoever has it. @type {typeof claim} */
  const takeOver = (job, onLost) => hold(job, onLost, true)

  /** @param {string} job @param {() => void} onLost @param {boolean} steal */
  async function hold(job, onLost, steal) {
    const own = { token: reloaded.take(job) || newId(), written: false }
    let free = () => {}
    const release = () => {
      if (claims.get(job) === own) claims.delete(job)
      free()
      mark(job, own, false, true).then(() => changed(job), () => {}) // else it is stale soon
    }
    const lose = () => {
      if (claims.get(job) !== own) return
      release()
      onLost()
    }
    const freed = locks() ? await lock(`${name} ${job}`, steal, lose) : null
    if (locks() ? !freed : !await mark(job, own, steal)) return { mine: false, release() {} }
    claims.set(job, own)
    if (freed) {
      free = freed
      // Nobody waits for it: the job must show even where the storage is slow. Without room or storage the first append
      // that works writes it.
      mark(job, own, true).catch(() => {})
    } else {
      const renew = () => mark(job, own, false).then((still) => still || lose(), () => {})
      const timer = setInterval(renew, RENEW)
      const leave = () => reloaded.leave(job, own.token)
      tabs.hear((word) => word === job && renew())
      addEventListener('pagehide', leave)
      free = () => (clearInterval(timer), removeEventListener('pagehide', leave))
    }
    changed(job)
    return { mine: true, release }
  }

  /**
   * Write, renew or take away the sign in the store that this tab holds the job.
   * @param {string} job @param {Own} own @param {boolean} force whoever's sign is there @param {boolean} [away]
   * @returns {Promise<boolean>} whether this tab holds it
   */
  function mark(job, own, force, away = false) {
    return within((life) => run(['notes'], 'readwrite', async (tx) => {
      const notes = tx.objectStore('notes')
      const there = await got(notes.get(claimKey(job)))
      const others = there && there.token !== own.token && Math.abs(Date.now() - there.at) < STALE
      if (own.written || away ? there?.token !== own.token : others && !force) return false
      if (away) notes.delete(claimKey(job))
      else notes.put({ key: claimKey(job), token: own.token, at: Date.now() })
      return true
    }, life)).then((held) => {
      own.written ||= held
      return held
    })
  }

  return { claims, claim, takeOver, changed, watch }
}
