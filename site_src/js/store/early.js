// The only entry of a page. Before the first frame, when no database is open yet, it draws the screen theme and what a
// list last showed; after it, all scripts of the page are asked for.

const OURS = `fillmark:${new URL(document.documentElement.dataset.base ?? './', location.href).pathname}:`
const THEME = `${OURS}theme`
const THEMES = ['card', 'white', 'dark']

export const theme = {
  /** @returns {string} the stored theme, or '' for the phone's own */
  read() {
    try {
      const stored = localStorage.getItem(THEME) ?? ''
      return THEMES.includes(stored) ? stored : ''
    } catch {
      return '' // storage refused (private mode, site settings): the phone's own theme
    }
  },
  /**
   * @param {string} value a theme, or '' for the phone's own
   * @returns {boolean} whether it is kept
   */
  write(value) {
    try {
      if (value) localStorage.setItem(THEME, value)
      else localStorage.removeItem(THEME)
      return true
    } catch {
      return false
    }
  },
}

/** @typedef {string | {tag: string, svg: boolean, of: Record<string, string>, in: Tree[]}} Tree an element, or a text */

const CHANGES = `${OURS}changes`
const today = () => new Date().toDateString()
const changes = () => {
  try {
    return Number(localStorage.getItem(CHANGES) ?? 0)
  } catch {
    return 0 // refused: then no glance is kept either
  }
}
/** As the page was opened: what it shows may be older than a change made since, in another tab. */
const before = changes()
export const keyOf = (/** @type {HTMLElement} */ { dataset: { glance: name } }) => `${OURS}glance:${name}`
/** What a glance rests on. */
export const of = (/** @type {HTMLElement} */ element) => `${today()} ${before} ${element.dataset.made ?? ''}`

/** @param {Tree} one @returns {Node} */
function grown(one) {
  if (typeof one === 'string') return document.createTextNode(one)
  const element = one.svg ? document.createElementNS('http://www.w3.org/2000/svg', one.tag) : document.createElement(one.tag)
  for (const [name, value] of Object.entries(one.of)) element.setAttribute(name, value)
  element.append(...one.in.map(grown))
  return element
}

/**
 * What a list showed when its page was last open, so that the first frame has it; the list itself follows at once. Of
 * another day, of other data of the site or after a change of what is kept there is none: nothing old is ever shown.
 */
export const glance = {
  /** @param {HTMLElement} element with data-glance; drawn into where there is something */
  draw(element) {
    try {
      const kept = location.search ? null : JSON.parse(localStorage.getItem(keyOf(element)) ?? 'null')
      if (kept?.of !== of(element)) return
      element.replaceChildren(...kept.shown.map(grown))
      element.dataset.drawn = ''
    } catch {
      // refused, or not ours: the page waits for its list
    }
  },
  /** What is kept has changed: every list is to be made anew. */
  forget() {
    try {
      for (const key of Object.keys(localStorage)) if (key.startsWith(`${OURS}glance:`)) localStorage.removeItem(key)
      localStorage.setItem(CHANGES, String(changes() + 1))
    } catch {
      // refused: then none was kept either
    }
  },
}

const { classList, dataset } = document.documentElement
const chosen = theme.read()
if (chosen) dataset.theme = chosen
if (location.search.includes('for=')) dataset.bound = '' // its blanks are about to be filled
for (const element of document.querySelectorAll('[data-glance]')) if (element instanceof HTMLElement) glance.draw(element)

/** All at once: one after the other, each finding the next, they would come a frame at a time. */
function rest() {
  classList.remove('first-frame')
  const own = dataset.scripts?.match(/\S+/g) ?? []
  const all = ['main', 'ui/offline', ...own]
  for (const path of all) import(`../${path}.js`).catch(() => {}) // told where it is needed
}
// The page is complete as it stands, so it is painted first and brought to life after. A hidden page is never painted.
if (document.hidden) rest()
else requestAnimationFrame(() => setTimeout(rest))
