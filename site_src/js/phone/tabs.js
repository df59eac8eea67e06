// What the tabs of one browser have between them: a lock that dies with its tab, and a line to talk on. Both may be
// absent: the lock on a page without https, the line in an old browser.

const PATIENCE = 500 // ms: a page being reloaded may hold its own lock a moment longer

/** @returns {boolean} whether `lock` works here */
export function locks() {
  return Boolean(navigator.locks)
}

/**
 * Hold a lock until it is freed, the tab goes, or another tab steals it.
 * @param {string} name @param {boolean} steal take it from whoever has it
 * @param {() => void} lose called when another tab stole it
 * @returns {Promise<(() => void) | null>} what frees it, null where another tab holds it
 */
export function lock(name, steal, lose) {
  return new Promise((resolve) => {
    let mine = false
    const late = new AbortController()
    setTimeout(() => late.abort(), PATIENCE) // no effect on a lock that is held
    const held = () => new Promise((free) => {
      mine = true
      resolve(() => free(undefined))
    })
    navigator.locks.request(name, steal ? { steal } : { signal: late.signal }, held)
      .catch(() => (mine ? lose() : resolve(null)))
  })
}

/**
 * A line between the tabs; what is said does not come back to the tab that said it.
 * @param {string} name
 * @returns {{say(word: string): void, hear(listener: (word: string) => void): void}}
 */
export function line(name) {
  if (!globalThis.BroadcastChannel) return { say() {}, hear() {} }
  /** @type {BroadcastChannel | undefined} */
  let made
  const channel = () => (made ??= new BroadcastChannel(name)) // opened by the first who needs it
  return {
    say: (word) => channel().postMessage(word),
    hear: (listener) => channel().addEventListener('message', ({ data }) => listener(String(data))),
  }
}
