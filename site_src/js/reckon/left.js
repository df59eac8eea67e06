// The figures as they were left: kept for each unit and for none, and used again unless the unit says otherwise now.
import { inputs } from '../store/inputs.js'

/** @param {Record<string, string>} a @param {Record<string, string>} b */
const same = (a, b) => Object.keys({ ...a, ...b }).every((key) => a[key] === b[key])

/**
 * @param {HTMLElement} place where it is said @param {string} key @param {string} asked `vehicle/unit` of the address, or ''
 * @param {string} group
 */
export function leaving(place, key, asked, group) {
  const anew = () => {
    inputs.forget(key)
    const asks = new URLSearchParams({ ...(asked ? { for: asked } : {}), ...(group ? { group } : {}) })
    location.replace(`${location.pathname}${asked ? `?${asks}` : ''}`)
  }
  return {
    /** @param {Record<string, string>} gives what the unit gives now @returns {{fields: Record<string, string> | null, says: string}} */
    before(gives) {
      const left = inputs.read(key)
      if (!left) return { fields: null, says: '' }
      if (!same(left.unit, gives)) return { fields: null, says: 'Its figures have changed since you were here, so these are the new ones.' }
      const [said, tap] = [document.createElement('p'), document.createElement('button')]
      said.textContent = `As you left it on ${new Date(left.at).toLocaleDateString('en-CA')}.`
      Object.assign(tap, { type: 'button', className: 'btn line small', textContent: 'Start anew' })
      tap.addEventListener('click', anew)
      place.replaceChildren(said, tap)
      place.hidden = false
      return { fields: left.fields, says: '' }
    },
    /** @param {Record<string, string>} fields @param {Record<string, string>} unit */
    keep: (fields, unit) => inputs.write(key, { at: Date.now(), fields, unit }),
  }
}
