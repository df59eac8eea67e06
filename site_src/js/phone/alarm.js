// A sound and a shake when a wait is over, while the page is in view. A phone runs no page with its screen off, so
// this is the second means; the phone's own timer is the first.

/** @typedef {{sound: boolean, shake: boolean, says: string}} Rung `shake`: the phone took the order, no more */

// Square waves have many overtones, which a small loudspeaker can give: 800 Hz and 2400 Hz lie in and near 500 to
// 2500 Hz, where a warning is best heard by older ears (ISO 7731, from memory).
const PITCH = 800 // Hz
const LOUD = 0.5 // of 1
const BEEPS = 3
const BEEP = 0.35 // s
const EVERY = 0.6 // s
const EDGE = 0.01 // s, so that it does not crack
const SHAKE = [350, 250, 350, 250, 350] // ms: on, off, …
const SLOW = 1000 // ms after which a phone that has not answered has refused

/** @type {AudioContext | null} */
let context = null

/**
 * Call it in a tap: no browser lets a page sound before one.
 * @returns {Promise<{sound: boolean, says: string}>} whether the alarm can sound now
 */
export async function arm() {
  const phone = /** @type {{audioSession?: {type: string}}} */ (/** @type {unknown} */ (navigator))
  if (phone.audioSession) phone.audioSession.type = 'playback' // else the silent switch silences it
  const sound = await running()
  const says = sound
    ? "Sound is on while this page is in view. Set the phone's own timer too."
    : "No sound from this page. Set the phone's own timer, or tap to try again."
  return { sound, says }
}

/**
 * Three beeps and three shakes, as far as the phone does them. Without an `arm()` before, there is no sound.
 * @returns {Promise<Rung>} what the phone took on
 */
export async function ring() {
  const touched = navigator.userActivation?.hasBeenActive ?? true // before the first tap it is not even asked
  const shake = touched && typeof navigator.vibrate === 'function' && navigator.vibrate(SHAKE)
  const sound = Boolean(context) && (await running())
  if (sound && context) beeps(context, context.currentTime)
  const means = [sound ? 'sound' : '', shake ? 'vibration' : ''].filter(Boolean).join(' and ')
  return { sound, shake, says: means ? `Alarm by ${means}.` : 'Alarm on screen only: this phone gave no sound.' }
}

/** Give the loudspeaker back: an armed page may keep the phone's music from playing. */
export async function disarm() {
  const old = context
  context = null
  await old?.close()
}

/**
 * Schedule the beeps.
 * @param {BaseAudioContext} where
 * @param {number} from seconds on its clock
 */
export function beeps(where, from) {
  for (let beep = 0; beep < BEEPS; beep += 1) {
    const start = from + beep * EVERY
    const tone = new OscillatorNode(where, { type: 'square', frequency: PITCH })
    const volume = new GainNode(where, { gain: 0 })
    volume.gain.setValueAtTime(0, start)
    volume.gain.linearRampToValueAtTime(LOUD, start + EDGE)
    volume.gain.setValueAtTime(LOUD, start + BEEP - EDGE)
    volume.gain.linearRampToValueAtTime(0, start + BEEP)
    tone.connect(volume).connect(where.destination)
    tone.start(start)
    tone.stop(start + BEEP)
  }
}

/** @returns {Promise<boolean>} whether the page's sound runs; it is woken first, since a telephone call stops it */
async function running() {
  try {
    if (!context || context.state === 'closed') context = new AudioContext()
    const waking = context.resume()
    await Promise.race([waking, new Promise((done) => setTimeout(done, SLOW))])
    return context?.state === 'running'
  } catch {
    return false // no sound in this browser, or no device
  }
}
