// What the phone can do for a job without signal, in words, and what to do where it cannot. Not known is never in order.

/** @typedef {'in order' | 'read this' | 'NOT' | 'not known'} Word */
/** @typedef {{what: string, word: Word, says: string}} Row */
/**
 * @typedef {object} Facts null or undefined: not known
 * @property {boolean} secure
 * @property {{checked: number, total: number, bad: string[], mended: string[]} | null} files every file read again
 * @property {string} [written] '' where a record was written and read back, else why not
 * @property {boolean | null} [kept] the browser never clears it by itself
 * @property {number | null} [free] bytes
 * @property {string} [waits] what no backup holds; '' where one holds all
 * @property {boolean | null} [awake] the screen stayed on for a try
 * @property {boolean} [shakes] there is a vibration to ask for
 * @property {boolean} [speaks] there is a voice of the phone's own
 * @property {boolean} [shares] the share sheet takes a backup
 */

const FULL = 100_000_000 // bytes: some 200 photos

/** @param {Facts} facts @returns {Row[]} what decides first */
export function readiness({ secure, files, written, kept, free, waits, awake, shakes, speaks, shares }) {
  return [
    secure ? row('Address', 'in order', 'It is secure, so that the browser lets the site be kept.')
      : row('Address', 'NOT', 'It is not secure. Nothing is kept for no signal, and the screen may go off. Open the site by its https address.'),
    ofFiles(secure, files),
    written === undefined ? row('Storage', 'not known', 'It has not answered yet.')
      : written ? row('Storage', 'NOT', `A record could not be written: ${written}`)
        : row('Storage', 'in order', 'A record was written and read back.'),
    kept ? row('Kept', 'in order', 'The browser clears it only when you tell it to.')
      : kept === false ? row('Kept', 'read this', 'The browser may clear it by itself when room gets short. Ask it to keep it, and make a backup.')
        : row('Kept', 'not known', 'The browser does not say whether it clears it by itself. Make a backup.'),
    free === null || free === undefined ? row('Room', 'not known', 'The browser does not say how much is free.')
      : free < FULL ? row('Room', 'read this', `${megabytes(free)} MB free. Photos may not fit: clear something else first.`)
        : row('Room', 'in order', `${megabytes(free)} MB free by the browser's own word.`),
    waits === undefined ? row('Backup', 'not known', 'The log could not be read.')
      : waits ? row('Backup', 'read this', `${waits}. Make a backup before you go under.`)
        : row('Backup', 'in order', 'Nothing waits for one.'),
    awake ? row('Screen', 'in order', 'It stays on while a job is open. A low battery may still switch it off.')
      : awake === false ? row('Screen', 'read this', "It may go off while a job is open. Set a longer screen time in the phone's settings.")
        : row('Screen', 'not known', 'Not tried yet.'),
    row('Sound', 'not known', "Tap Ring, and listen. It rings only while the page is in view: set the phone's own timer too."),
    shakes ? row('Shake', 'not known', 'Tap Ring, and feel. The phone does not say whether it shook.')
      : row('Shake', 'read this', 'This browser cannot shake the phone. Do not wait for it.'),
    speaks ? row('Voice', 'in order', 'Steps can be read aloud by a voice on the phone.')
      : speaks === false ? row('Voice', 'read this', 'No English voice on this phone: nothing is read aloud.')
        : row('Voice', 'not known', 'Not asked yet.'),
    shares ? row('Sharing', 'in order', 'A backup goes out by the share sheet.')
      : row('Sharing', 'read this', 'A backup goes out as a download. Look for it where downloads are.'),
    row('Camera', 'not known', 'Take a photo to try it: it is made small here and not kept.'),
  ]
}

/** @param {boolean} secure @param {Facts['files']} files @returns {Row} */
function ofFiles(secure, files) {
  if (!files) {
    return secure ? row('No signal', 'not known', 'Not every file was read again yet.')
      : row('No signal', 'NOT', 'This page opens only with signal.')
  }
  const { checked, total, bad, mended } = files
  if (checked < total) return row('No signal', 'not known', `Reading every file again: ${checked} of ${total}.`)
  if (bad.length) {
    return row('No signal', 'NOT', `${bad.length} of ${total} files are missing or spoilt, such as ${bad[0] || 'the first page'}. Open this page with signal and check again.`)
  }
  const also = mended.length ? ` ${mended.length} of them had to be fetched again.` : ''
  return row('No signal', 'in order', `All ${total} files are on this phone, each read again and right.${also}`)
}

/** @param {string} what @param {Word} word @param {string} says @returns {Row} */
const row = (what, word, says) => ({ what, word, says })

/** @param {number} bytes */
const megabytes = (bytes) => Math.floor(bytes / 1_000_000).toLocaleString('en')
