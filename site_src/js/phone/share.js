// Hands a file to its owner: by the phone's share sheet where that takes files, else as a download.
//
// Neither way tells the page that the file arrived, so the words never say "saved"; the owner looks.

/** @typedef {'shared' | 'saved' | 'refused' | 'cancelled'} Given 'saved': the browser was given a download */

const MINUTE = 60_000 // ms, until a download has surely been read

/** @param {string} text @returns {string} a file name that every phone takes */
function clean(text) {
  return text.replace(/[\u0000-\u001f\\/:*?"<>|]+/g, '-').replace(/^\.+/, '') || 'fillmark.txt'
}

/**
 * The file to share: as it is, or as plain text, since some browsers let nothing else of ours through. A calendar
 * file called text would open in no calendar.
 * @param {string} name
 * @param {string} text
 * @param {string} type
 * @returns {File | null} null where no share sheet takes it
 */
function shareable(name, text, type) {
  if (!navigator.share || !navigator.canShare) return null
  const plain = name.endsWith('.txt') ? name : `${name}.txt`
  const forms = [new File([text], name, { type })]
  if (type !== 'text/calendar') forms.push(new File([text], plain, { type: 'text/plain' }))
  return forms.find((file) => navigator.canShare({ files: [file] })) ?? null
}

/**
 * Call it in a tap, with the text ready: a phone opens its share sheet only then.
 * @param {string} name of the file
 * @param {string} text
 * @param {string} type such as text/plain
 * @returns {Promise<Given>} 'refused': ask for another tap; `told` has the words
 */
export async function give(name, text, type) {
  const file = shareable(clean(name), text, type)
  // An app on the home screen of some phones opens a download in a view with no way back, or drops it.
  const trapped = 'standalone' in navigator && navigator.standalone === true
  if (file) {
    try {
      await navigator.share({ files: [file] })
      return 'shared'
    } catch (error) {
      const why = error instanceof DOMException ? error.name : ''
      if (why === 'AbortError') return 'cancelled'
      // The tap is spent, or another sheet is open.
      if (why === 'NotAllowedError' || why === 'InvalidStateError') return 'refused'
    }
  }
  if (trapped) return 'refused'
  download(clean(name), new Blob([text], { type }))
  return 'saved'
}

/**
 * @param {Given} given what `give` said
 * @param {string} name the same file
 * @returns {string} words to show
 */
export function told(given, name) {
  return {
    shared: `${clean(name)} was handed over. Check that it arrived.`,
    saved: `${clean(name)} was sent to this phone's downloads. Check that it is there.`,
    refused: `${clean(name)} was NOT handed over. Tap again, or copy the text.`,
    cancelled: `${clean(name)} was NOT handed over: the share sheet was closed.`,
  }[given]
}

/**
 * @param {string} name
 * @param {Blob} blob
 */
function download(name, blob) {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(blob)
  link.download = name
  document.body.append(link)
  link.click()
  link.remove()
  setTimeout(() => URL.revokeObjectURL(link.href), MINUTE)
}

/**
 * Call it in a tap.
 * @param {string} text
 * @returns {Promise<{copied: boolean, says: string}>}
 */
export async function copy(text) {
  let copied = false
  try {
    await navigator.clipboard.writeText(text)
    copied = true
  } catch {
    copied = byHand(text) // plain http has no clipboard, and a browser may refuse
  }
  return { copied, says: copied ? 'Copied.' : 'NOT copied. Select the text and copy it by hand.' }
}

/** @param {string} text @returns {boolean} whether the browser's own copy command took it */
function byHand(text) {
  const focused = document.activeElement
  const box = document.createElement('textarea')
  box.value = text
  box.readOnly = true // no keyboard comes up
  box.style.position = 'fixed' // the page does not scroll to it
  box.style.top = '0'
  document.body.append(box)
  box.select()
  try {
    return document.execCommand('copy')
  } catch {
    return false
  } finally {
    box.remove()
    if (focused instanceof HTMLElement) focused.focus()
  }
}
