// Keeps the page still under the thumb: what opens or closes above must not put another button where a tap is on its way.

const FRESH = 1000 // ms in which the last touch tells where the thumb is

/** @type {{x: number, y: number, at: number} | null} */
let thumb = null
addEventListener('pointerdown', ({ clientX, clientY }) => (thumb = { x: clientX, y: clientY, at: performance.now() }), true)

/** @returns {Element | null} what must not move: what is under the thumb, the field at work, or the middle of the screen */
function held() {
  const middle = { x: innerWidth / 2, y: innerHeight / 2 }
  const fresh = thumb && performance.now() - thumb.at < FRESH ? thumb : null
  const active = document.activeElement
  if (!fresh && active?.matches('.job input, .job select, .job textarea')) return active
  for (const { x, y } of fresh ? [fresh, middle] : [middle]) {
    const found = document.elementFromPoint(x, y)
    // What is pinned to the screen does not move anyway.
    if (found?.closest('.job') && !found.closest('.save-state, .undone')) return found
  }
  return null
}

/** Change the page and leave what is held where it is on the screen. @param {() => void} change */
export function steady(change) {
  /** @type {[Element, number][]} */
  const places = []
  for (let one = held(); one && !one.matches('.job'); one = one.parentElement) places.push([one, one.getBoundingClientRect().top])
  // Some browsers do a part of this by themselves, with another thing held; not twice.
  const { style } = document.documentElement
  style.overflowAnchor = 'none'
  change()
  // What is gone leaves its place to what it stood in.
  const [still, was] = places.find(([one]) => one.isConnected && one.getClientRects().length) ?? []
  if (still && was !== undefined) {
    const moved = still.getBoundingClientRect().top - was
    if (Math.abs(moved) >= 1) scrollBy({ top: moved, behavior: 'instant' })
  }
  requestAnimationFrame(() => requestAnimationFrame(() => style.removeProperty('overflow-anchor')))
}
