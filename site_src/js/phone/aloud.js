// Reads one step aloud with a voice that is on the phone itself. Never the only channel: the words stand on the page.
//
// A voice that is not `localService` sends the text to somebody's computer, and is silent without signal.

const NONE = 'This phone has no English voice of its own: nothing is read aloud.'
const LATE = 1000 // ms that a browser may take to list its voices
const DUMB = 3000 // ms after which a voice that has not begun will not

/** @typedef {{spoken: boolean, says: string}} Said `spoken`: the voice began */

/** @type {SpeechSynthesisVoice | null | undefined} */
let found // undefined: not looked for yet
/** @type {SpeechSynthesisUtterance | null} */
let speaking = null // kept here, since a browser may drop one that nobody holds

/** @returns {SpeechSynthesisVoice | null} the phone's own language first, then the voice it calls its default */
function pick() {
  const language = (/** @type {string} */ text) => text.replace('_', '-').toLowerCase()
  const rank = (/** @type {SpeechSynthesisVoice} */ one) =>
    (language(one.lang) === language(navigator.language) ? 2 : 0) + (one.default ? 1 : 0)
  const ours = speechSynthesis.getVoices().filter((one) => one.localService && /^en(-|$)/.test(language(one.lang)))
  return ours.sort((a, b) => rank(b) - rank(a))[0] ?? null
}

/** @returns {Promise<SpeechSynthesisVoice | null>} an English voice that needs no signal */
export async function voice() {
  if (!('speechSynthesis' in globalThis)) return null
  if (found === undefined) {
    // Voices may be put on the phone, or taken off it, while the page is open.
    speechSynthesis.addEventListener?.('voiceschanged', () => (found = pick()))
    found = pick()
    // The list comes late in some browsers, and some of them never say that it came.
    if (!found) await new Promise((done) => setTimeout(done, LATE))
    found ??= pick()
  }
  return found
}

/** @returns {Promise<boolean>} whether anything can be read aloud; ask before a button for it is shown */
export async function available() {
  return (await voice()) !== null
}

/**
 * Call it in a tap, after `available()`: a phone speaks only then.
 * @param {string} text one step; what was being read stops
 * @returns {Promise<Said>}
 */
export async function say(text) {
  hush()
  const one = found ?? (await voice()) // a voice that is known is used within the tap
  if (!one) return { spoken: false, says: NONE }
  const speech = new SpeechSynthesisUtterance(text)
  speech.voice = one
  speech.lang = one.lang
  speaking = speech
  return new Promise((done) => {
    const late = setTimeout(() => {
      done({ spoken: false, says: 'Not read aloud: the voice did not begin. Read it on the page.' })
      if (speaking === speech) hush() // else it may begin when nobody waits for it
    }, DUMB)
    speech.onstart = () => (clearTimeout(late), done({ spoken: true, says: 'Reading aloud.' }))
    speech.onerror = (event) => {
      clearTimeout(late)
      const says = ['canceled', 'interrupted'].includes(event.error)
        ? 'Stopped reading aloud.' : `Not read aloud: the phone said ${event.error}. Read it on the page.`
      done({ spoken: false, says })
    }
    speechSynthesis.speak(speech)
  })
}

/** Stop reading. */
export function hush() {
  speaking = null
  if ('speechSynthesis' in globalThis) speechSynthesis.cancel()
}

addEventListener('pagehide', hush) // else a step of a page that was left is read to its end
