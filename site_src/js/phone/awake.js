// Keeps the screen on while a job is open, as far as the phone lets it, and says which of the two it is.
//
// The wish is kept apart from the lock: the phone takes the lock back whenever the page is out of view, and the wish
// stays until the job is left.

const ON = 'Screen stays on.'
const OFF = 'This phone may switch the screen off'
const LONGER = "Set a longer screen time in the phone's settings."
const AGAIN = `Tap anywhere to ask again. ${LONGER}`

/**
 * @param {(says: string, on: boolean) => void} onState told at once and whenever it changes; never the same words twice
 * @returns {{stop(): void}} gives the screen back to the phone
 */
export function keepAwake(onState) {
  let wanted = true
  let asking = false
  let again = false
  let told = ''
  /** @type {WakeLockSentinel | null} */
  let lock = null

  const tell = (/** @type {string} */ says) => {
    if (says !== told) onState((told = says), says === ON)
  }

  async function ask() {
    again = asking
    if (!wanted || lock || asking || document.hidden) return
    asking = true
    try {
      const got = await navigator.wakeLock.request('screen')
      if (wanted) hold(got)
      else got.release().catch(() => {}) // the job was left while the phone made up its mind
    } catch {
      if (wanted) tell(`${OFF}: it did not agree to keep it on, perhaps to save its battery. ${AGAIN}`)
    }
    asking = false
    if (again) ask() // the page came back into view while the last answer was under way
  }

  /** @param {WakeLockSentinel} got */
  function hold(got) {
    lock = got
    got.addEventListener('release', () => {
      lock = null
      if (wanted) tell(`${OFF}: it took back its word. ${AGAIN}`)
    })
    tell(ON)
  }

  function stop() {
    if (!wanted) return
    wanted = false
    document.removeEventListener('visibilitychange', ask)
    removeEventListener('click', ask)
    lock?.release().catch(() => {})
    tell(`${OFF}: no job is open.`)
  }

  if (!navigator.wakeLock) {
    const why = isSecureContext ? 'this browser cannot keep it on' : 'keeping it on needs https'
    tell(`${OFF}: ${why}. ${LONGER}`)
  } else {
    document.addEventListener('visibilitychange', ask)
    addEventListener('click', ask) // a phone that refused may agree at the next tap
    ask()
  }
  return { stop }
}
