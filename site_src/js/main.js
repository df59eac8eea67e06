// The only entry: finds [data-module] and starts it. A module is a file of ui/ that exports start(element).
import { theme } from './store.js'

const chosen = theme.read()
if (chosen) document.documentElement.dataset.theme = chosen

function startAll() {
  for (const element of document.querySelectorAll('[data-module]')) {
    const name = element.getAttribute('data-module') ?? ''
    import(`./ui/${name}.js`)
      .then((module) => module.start(element))
      .catch((/** @type {unknown} */ error) => {
        // Said in the console with the part's name, since the page itself still reads and prints.
        console.error(`part '${name}' did not start`, error)
      })
  }
}

// The page is complete as it stands, so it is painted first and brought to life after. A hidden page is never painted.
if (document.hidden) startAll()
else requestAnimationFrame(() => setTimeout(startAll))
