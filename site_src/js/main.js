// Brings the page to life after its first frame: finds [data-module] and starts it. A module is a file of ui/ that exports
// start(element).

/** @param {Element} element */
async function startOne(element) {
  const name = element.getAttribute('data-module') ?? ''
  try {
    const module = await import(`./ui/${name}.js`)
    await module.start(element)
    element.setAttribute('data-there', '')
  } catch (error) {
    // Said in the console with the part's name, since the page itself still reads and prints.
    console.error(`part '${name}' did not start`, error)
  }
}

async function startAll() {
  await Promise.all([...document.querySelectorAll('[data-module]')].map(startOne))
  if (Number.isFinite(place)) scrollTo({ top: place + above(), behavior: 'instant' })
}

// A browser would go back to a height measured before everything is laid out, so the page keeps its own place. It is
// noted at rest: what a page says while it is being left is not kept, and a phone may kill it without a word.
history.scrollRestoration = 'manual'
const place = history.state?.place
// Counted from the page's own part: the line above it, with the state of saving, grows and shrinks.
const above = () => document.getElementById('main')?.offsetTop ?? 0
let rest = 0
addEventListener('scroll', () => {
  clearTimeout(rest)
  rest = window.setTimeout(() => history.replaceState({ ...history.state, place: scrollY - above() }, ''), 200)
}, { passive: true })

// The colours of the page's paper, for the bar above it.
for (const [scheme, content] of [['light', '#fbfaf6'], ['dark', '#12120f']]) {
  document.head.append(Object.assign(document.createElement('meta'), { name: 'theme-color', media: `(prefers-color-scheme: ${scheme})`, content }))
}

// What is due was worked out for a day: a page left open overnight is made anew when it is looked at again.
const day = new Date().toDateString()
document.addEventListener('visibilitychange', () => {
  const dated = document.querySelector('[data-module=today], [data-module=due], [data-module=findings]')
  if (dated && !document.hidden && new Date().toDateString() !== day) location.reload()
})

startAll()
