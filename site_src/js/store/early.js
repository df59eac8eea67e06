// What is wanted before the first frame, when no database is open yet: the screen theme, and what a list last showed.

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

const MOST = 60_000 // characters; a longer glance is not kept
const today = () => new Date().toDateString()
const keyOf = (/** @type {HTMLElement} */ { dataset: { glance: name } }) => `${OURS}glance:${name}`
const of = (/** @type {HTMLElement} */ element) => `${today()} ${element.dataset.made ?? ''}`

/** @param {Node} node @returns {Tree[]} */
function tree(node) {
  if (node instanceof Text) return [node.data]
  if (!(node instanceof Element)) return []
  const attributes = Object.fromEntries([...node.attributes].map(({ name, value }) => [name, value]))
  return [{ tag: node.localName, svg: node instanceof SVGElement, of: attributes, in: [...node.childNodes].flatMap(tree) }]
}

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
      if (kept?.of === of(element)) element.replaceChildren(...kept.shown.map(grown))
    } catch {
      // refused, or not ours: the page waits for its list
    }
  },
  /** @param {HTMLElement} element with data-glance @param {Node[]} [nodes] what of it fits the first screen */
  keep(element, nodes = [...element.childNodes]) {
    try {
      const text = JSON.stringify({ of: of(element), shown: nodes.flatMap(tree) })
      if (!location.search && text.length < MOST) localStorage.setItem(keyOf(element), text)
    } catch {
      // no room: the next visit waits for its list
    }
  },
  /** What is kept has changed: every list is to be made anew. */
  forget() {
    try {
      for (const key of Object.keys(localStorage)) if (key.startsWith(`${OURS}glance:`)) localStorage.removeItem(key)
    } catch {
      // refused: then none was kept either
    }
  },
}
