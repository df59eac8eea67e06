// What the storage has to say to the person, at the head of the page: another tab in the way, records put back.

/** @type {HTMLElement | null} */
let place = null

/** @param {string} words '' takes back what was said */
export function say(words) {
  if (!place) {
    place = document.createElement('p')
    place.className = 'warn warning'
    place.setAttribute('role', 'alert')
    document.querySelector('main')?.prepend(place)
  }
  place.textContent = words
  place.hidden = !words
}
