// The offer of a new version, in the header's line: loaded only where one waits. It is taken by a tap and never by
// itself, and not while that could cost anybody something.
import { atWork } from '../store.js'

const OFTEN = 1000 // ms between two looks whether a job is open in any tab
const READY = 'New version ready'

let offered = false

/**
 * Offer the version that waits, once.
 * @param {ServiceWorkerRegistration} registration
 * @param {Element} line the button goes after it
 * @param {(part: {update: string}) => void} say
 * @param {Set<EventTarget | null>} typed where something was typed since the page came
 */
export function offer(registration, line, say, typed) {
  if (offered) return
  offered = true
  const button = document.createElement('button')
  Object.assign(button, { type: 'button', className: 'sort use', textContent: 'Use it' })
  let asked = false
  let over = false
  const tell = (/** @type {string} */ update) => {
    if (!line.textContent?.endsWith(update)) say({ update }) // said once: a screen reader reads it out
  }
  const look = async () => {
    if (document.hidden || registration.installing) return // a yet newer one tells how far it is
    const until = await blocked(typed)
    if (asked || over) return
    button.disabled = Boolean(until)
    tell(READY + until)
  }
  const timer = setInterval(look, OFTEN)
  const use = async () => {
    if (asked || await blocked(typed)) return look()
    asked = true
    button.disabled = true
    tell('Changing to the new version')
    const next = registration.waiting
    if (!next) return location.reload() // in charge already, asked for by another tab
    // A page that came before there was any worker has none that could change.
    const alone = !navigator.serviceWorker.controller
    if (alone) next.addEventListener('statechange', () => next.state === 'activated' && location.reload())
    next.postMessage({ type: 'skip' })
  }
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    over = true
    clearInterval(timer)
    button.remove()
    if (asked) location.reload()
  }, { once: true })
  document.addEventListener('visibilitychange', look)
  button.addEventListener('click', use)
  line.after(button)
  look()
}

/** @param {Set<EventTarget | null>} typed @returns {Promise<string>} what it waits for, '' where the way is free */
async function blocked(typed) {
  if (await atWork()) return '. It waits until the open job is closed'
  return [...typed].some(unkept) ? '. It waits until you leave this page: something is typed here' : ''
}

/** @param {EventTarget | null} field @returns {boolean} whether what was typed into it still stands there */
function unkept(field) {
  if (!(field instanceof Element) || !field.isConnected || field.matches(':disabled, .theme *')) return false
  if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue
  if (!(field instanceof HTMLInputElement)) return true
  return field.value !== field.defaultValue || field.checked !== field.defaultChecked
}
