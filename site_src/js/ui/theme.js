// The screen theme: as the phone, card stock, white for sun, dark.
import { theme } from '../store/early.js'

/** @param {HTMLElement} element */
export function start(element) {
  element.hidden = false
  const current = theme.read()
  for (const input of element.querySelectorAll('input')) {
    input.checked = input.value === current
    input.addEventListener('change', () => {
      if (input.value) document.documentElement.dataset.theme = input.value
      else delete document.documentElement.dataset.theme
      theme.write(input.value)
    })
  }
}
