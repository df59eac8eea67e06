// This phone: what it can do for a job without signal, tried in a minute before going under.
import { nag } from '../backup/nag.js'
import { words } from '../backup/words.js'
import { fill, h, say } from '../job/dom.js'
import { readiness } from '../lib/readiness.js'
import { everyFile, means } from '../phone/check.js'
import * as store from '../store.js'

const TRIED = 'tried' // key of the record that is written and read back

/** @returns {Promise<string>} '' where a record was written and read back, else why not */
async function written() {
  try {
    const at = Date.now()
    await store.jot(TRIED, at)
    return await store.noted(TRIED) === at ? '' : 'it reads back differently.'
  } catch (error) {
    return words(error)
  }
}

/** @param {HTMLElement} element */
export function start(element) {
  /** @type {import('../lib/readiness.js').Facts} */
  const facts = { secure: isSecureContext, files: null, free: null, kept: null }
  const rows = h('div', {})
  const told = h('p', { role: 'status' })
  const learn = (/** @type {Partial<typeof facts>} */ more) => {
    Object.assign(facts, more)
    fill(rows, readiness(facts).map(({ what, word, says }) => h('p', {}, h('b', { class: 'word' }, word), ' ', h('b', {}, `${what}. `), says)))
    say(told, summary(readiness(facts)))
  }
  const button = (/** @type {string} */ text, /** @type {() => Promise<unknown>} */ what) => h('button', {
    type: 'button', class: 'btn line', onclick: () => what().catch((error) => say(said, `It did not work: ${words(error)}`)),
  }, text)
  const said = h('p', { class: 'of', role: 'status' })
  const photo = h('input', { type: 'file', accept: 'image/*', capture: 'environment', id: 'try-photo', class: 'sr', onchange: async () => {
    const file = photo.files?.[0]
    if (!file) return
    const { take } = await import('../phone/photo.js')
    say(said, await take(file).then(({ says }) => `${says} It was not kept.`, (error) => error.says ?? words(error)))
  } })

  const files = async () => {
    learn({ files: null })
    const could = await everyFile((found) => learn({ files: found }))
    if (!could && isSecureContext) say(told, 'The site is not kept on this phone yet. Wait for Ready for no signal, and check again.')
  }
  const all = async () => {
    learn(await means())
    const [{ free }, kept] = await Promise.all([store.room(), store.persisted()])
    learn({ free, kept, written: await written() })
    learn({ waits: await nag().catch(() => undefined) })
    await files()
  }
  fill(element, told, rows, button('Check all again', all),
    button('Ring', async () => {
      const { arm, ring } = await import('../phone/alarm.js')
      await arm()
      say(said, (await ring()).says)
    }),
    button('Ask the browser to keep it', async () => {
      learn({ kept: await store.persist() })
      say(said, facts.kept ? 'It will.' : 'It said no.')
    }),
    photo, h('label', { class: 'btn line', for: 'try-photo' }, 'Try the camera'), said)
  learn({})
  void all().catch((error) => say(told, words(error)))
}

/** @param {import('../lib/readiness.js').Row[]} rows @returns {string} */
function summary(rows) {
  const bad = rows.filter(({ word }) => word === 'NOT')
  if (bad.length) return `Not ready: ${bad.map(({ what }) => what.toLowerCase()).join(', ')}. Read what to do.`
  const files = rows.find(({ what }) => what === 'No signal')
  return files?.word === 'in order' ? 'Ready to go under without signal. Read what is not in order.' : 'Checking. Not known is not ready.'
}
