// Builds elements. Text is always text: nothing here ever reads markup out of a string.

/** @typedef {import('../types.js').Child} Child */

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, unknown>} [props] attributes; `on…` are listeners, true is a bare attribute, false and null none
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function h(tag, props = {}, ...children) {
  const element = document.createElement(tag)
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === 'function') element.addEventListener(name.slice(2), /** @type {EventListener} */ (value))
    else if (value === true) element.setAttribute(name, '')
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value))
  }
  put(element, children)
  return element
}

/** @param {Element} element @param {Child[]} children */
export function put(element, children) {
  for (const child of children) {
    if (Array.isArray(child)) put(element, child)
    else if (child) element.append(child)
  }
}

/** @param {Element} element @param {...Child} children */
export function fill(element, ...children) {
  element.replaceChildren()
  put(element, children)
}

/** Write a text only where it changed, so that a reader of the screen is not told again. @param {Element} element @param {string} text */
export function say(element, text) {
  if (element.textContent !== text) element.textContent = text
}

/** @param {HTMLElement} element @param {boolean} on */
export function show(element, on) {
  if (element.hidden === on) element.hidden = !on
}
