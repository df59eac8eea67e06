// The only entry: finds [data-module] and starts it. A module is a file of ui/ that exports start(element).
import { glance, theme } from './store/early.js'

const chosen = theme.read()
if (chosen) document.documentElement.dataset.theme = chosen
for (const element of document.querySelectorAll('[data-glance]')) if (element instanceof HTMLElement) glance.draw(element)

/** @param {Element} element */
async function startOne(element) {
  const name = element.getAttribute('data-module') ?? ''
  try {
    const module = await import(`./ui/${name}.js`)
    module.start(element)
  } catch (error) {
    // Said in the console with the part's name, since the page itself still reads and prints.
    console.error(`part '${name}' did not start`, error)
  }
}

async function startAll() {
  const { classList, dataset } = document.documentElement
  classList.remove('first-frame')
  // All at once: one after the other, each finding the next, they would come a frame at a time.
  for (const path of dataset.scripts?.split(' ') ?? []) import(`./${path}`).catch(() => {}) // told where it is needed
  await Promise.all([...document.querySelectorAll('[data-module]')].map(startOne))
  if (Number.isFinite(place)) scrollTo({ top: place + top(), behavior: 'instant' })
}

// A browser would go back to a height measured before everything is laid out, so the page keeps its own place. It is
// noted at rest: what a page says while it is being left is not kept, and a phone may kill it without a word.
history.scrollRestoration = 'manual'
const place = history.state?.place
// Counted from the page's own part: the line above it, with the state of saving, grows and shrinks.
const top = () => document.getElementById('main')?.offsetTop ?? 0
let rest = 0
addEventListener('scroll', () => {
  clearTimeout(rest)
  rest = window.setTimeout(() => history.replaceState({ ...history.state, place: scrollY - top() }, ''), 200)
}, { passive: true })

// The page is complete as it stands, so it is painted first and brought to life after. A hidden page is never painted.
if (document.hidden) startAll()
else requestAnimationFrame(() => setTimeout(startAll))
