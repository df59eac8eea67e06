// Tries the phone's own means once, for the page that says what this phone can do.
import { voice } from './aloud.js'

/** @typedef {{checked: number, total: number, bad: string[], mended: string[]}} Files */

/** @returns {Promise<{secure: boolean, awake: boolean, shakes: boolean, speaks: boolean, shares: boolean}>} */
export async function means() {
  return { secure: isSecureContext, awake: await stayedOn(), shakes: typeof navigator.vibrate === 'function', speaks: (await voice()) !== null, shares: shares() }
}

/** @returns {Promise<boolean>} whether the phone agreed to keep its screen on, a moment long */
async function stayedOn() {
  try {
    await (await navigator.wakeLock.request('screen')).release()
    return true
  } catch {
    return false
  }
}

/** @returns {boolean} */
function shares() {
  const file = new File(['a'], 'fillmark.txt', { type: 'text/plain' })
  return 'share' in navigator && navigator.canShare?.({ files: [file] }) === true
}

/**
 * Let the worker read every stored file again and hold it to its digest.
 * @param {(files: Files) => void} told as it goes on
 * @returns {Promise<boolean>} whether there is a worker that could
 */
export async function everyFile(told) {
  const worker = (await navigator.serviceWorker?.getRegistration())?.active
  if (!worker) return false
  const { port1, port2 } = new MessageChannel()
  return new Promise((resolve) => {
    port1.onmessage = ({ data }) => {
      told({ bad: [], mended: [], ...data })
      if (data.done) resolve(true)
    }
    worker.postMessage({ type: 'verify' }, [port2])
  })
}
