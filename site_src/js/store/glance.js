// Keeps what a list shows, for the first frame of the next visit; early.js draws it.
import { keyOf, of } from './early.js'

/** @typedef {import('./early.js').Tree} Tree */

const MOST = 60_000 // characters; a longer glance is not kept

/** @param {Node} node @returns {Tree[]} what of it stands on the first screen */
function tree(node) {
  if (node instanceof Text) return [node.data]
  if (!(node instanceof Element) || node.getBoundingClientRect().top + scrollY > innerHeight) return []
  const attributes = Object.fromEntries([...node.attributes].map(({ name, value }) => [name, value]))
  return [{ tag: node.localName, svg: node instanceof SVGElement, of: attributes, in: [...node.childNodes].flatMap(tree) }]
}

/** @param {HTMLElement} element with data-glance @param {Node[]} [nodes] of it, the only ones to keep */
export function keepGlance(element, nodes = [...element.childNodes]) {
  try {
    const text = JSON.stringify({ of: of(element), shown: nodes.flatMap(tree) })
    if (!location.search && text.length < MOST) localStorage.setItem(keyOf(element), text)
  } catch {
    // no room: the next visit waits for its list
  }
}
