// What can be copied of a calculator's page: the answer in one line, and an address that opens it with these figures.

/**
 * @param {HTMLElement} root @param {HTMLTextAreaElement} line
 * @param {() => {texts: Record<string, string>, asked: string, group: string}} now
 */
export function copying(root, line, now) {
  const told = /** @type {HTMLElement} */ (root.querySelector('[data-copied]'))
  const link = /** @type {HTMLInputElement} */ (root.querySelector('#link'))

  /** @param {HTMLInputElement | HTMLTextAreaElement} box @param {string} what */
  async function copy(box, what) {
    try {
      await navigator.clipboard.writeText(box.value)
      told.textContent = 'Copied.'
    } catch {
      // Plain http has no clipboard, and a browser may refuse: it is there to be copied by hand.
      box.focus()
      box.select()
      told.textContent = `Not copied. The ${what} is selected: copy it by hand.`
    }
  }

  root.querySelector('[data-copy]')?.addEventListener('click', () => {
    if (line.value) void copy(line, 'line')
    else told.textContent = 'Nothing to copy yet.'
  })
  root.querySelector('[data-copy-link]')?.addEventListener('click', () => {
    const { texts, asked, group } = now()
    const filled = Object.fromEntries(Object.entries(texts).filter(([, text]) => text))
    const asks = new URLSearchParams({ ...(asked ? { for: asked } : {}), ...(group ? { group } : {}), ...filled })
    link.value = `${location.origin}${location.pathname}?${asks}`
    link.hidden = false
    void copy(link, 'link')
  })
}
