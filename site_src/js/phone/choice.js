// Which vehicles of a site with many are kept on this phone. The worker reads it, so it stands where a worker can look.

const ROOT = new URL(document.documentElement.dataset.base ?? './', location.href)
const PLACE = `chosen fillmark ${ROOT.pathname}` // sw-tabs.js looks here
const WAIT = 60_000 // ms without a word of the worker

/**
 * Let the worker store the files of these vehicles and no others.
 * @param {string[]} ids @returns {Promise<void>} when all of them are stored and verified; rejects with why they are not
 */
export async function choose(ids) {
  const worker = (await navigator.serviceWorker?.getRegistration())?.active
  if (!worker) throw new Error('this browser keeps no files of the site. Wait for “Ready for no signal”, then try again')
  const cache = await caches.open(PLACE)
  const before = await cache.match(`${ROOT}?chosen`)
  await cache.put(`${ROOT}?chosen`, new Response(JSON.stringify(ids)))
  try {
    await filled(worker)
  } catch (error) {
    await (before ? cache.put(`${ROOT}?chosen`, before) : cache.delete(`${ROOT}?chosen`))
    throw error
  }
}

/** @param {ServiceWorker} worker @returns {Promise<void>} */
function filled(worker) {
  return new Promise((resolve, reject) => {
    let timer = 0
    const over = (/** @type {() => void} */ end) => {
      clearTimeout(timer)
      navigator.serviceWorker.removeEventListener('message', hear)
      end()
    }
    const wait = () => {
      clearTimeout(timer)
      timer = setTimeout(() => over(() => reject(new Error('the worker does not answer. Load this page anew'))), WAIT)
    }
    const hear = (/** @type {MessageEvent} */ { data }) => {
      wait()
      if (data.type !== 'status') return
      if (data.ready) over(resolve)
      else if (data.why) over(() => reject(new Error(data.why)))
      else worker.postMessage({ type: 'fill' }) // one that began before was told of other vehicles
    }
    navigator.serviceWorker.addEventListener('message', hear)
    navigator.serviceWorker.startMessages()
    wait()
    worker.postMessage({ type: 'fill' })
  })
}
