// What was last typed into a calculator, for each unit and for none: on this phone only, in no backup, since it is no
// record. The oldest go when there are many.

/** @typedef {{at: number, fields: Record<string, string>, unit: Record<string, string>}} Left `unit`: what the unit gave then */

const PLACE = `fillmark:${new URL(document.documentElement.dataset.base ?? './', location.href).pathname}:inputs:`
const MOST = 80

/** @param {unknown} value @returns {value is Record<string, string>} */
const texts = (value) => typeof value === 'object' && value !== null && Object.values(value).every((one) => typeof one === 'string')

/** @param {string | null} stored @returns {Left | null} */
function parsed(stored) {
  const { at, fields, unit } = JSON.parse(stored ?? '{}') ?? {}
  return Number.isFinite(at) && texts(fields) && texts(unit) ? { at, fields, unit } : null
}

export const inputs = {
  /** @param {string} key @returns {Left | null} */
  read(key) {
    try {
      return parsed(localStorage.getItem(PLACE + key))
    } catch {
      return null // refused, or not ours
    }
  },
  /** @param {string} key @param {Left} left @returns {boolean} whether it is kept */
  write(key, left) {
    try {
      if (localStorage.getItem(PLACE + key) === null) makeRoom()
      localStorage.setItem(PLACE + key, JSON.stringify(left))
      return true
    } catch {
      return false // refused or full: the fields are typed anew next time
    }
  },
  /** @param {string} key */
  forget(key) {
    try {
      localStorage.removeItem(PLACE + key)
    } catch {
      // refused: then none was kept either
    }
  },
}

function makeRoom() {
  const age = (/** @type {string} */ key) => inputs.read(key.slice(PLACE.length))?.at ?? 0
  const kept = Object.keys(localStorage).filter((key) => key.startsWith(PLACE)).sort((a, b) => age(a) - age(b))
  for (const key of kept.slice(0, Math.max(0, kept.length + 1 - MOST))) localStorage.removeItem(key)
}
