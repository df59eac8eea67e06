// The job page: starts a job from a card bound to a unit, or opens one, and draws it anew after everything that happens.
import { clockWatch } from '../job/jump.js'
import { fill, h, say, show } from '../job/dom.js'
import { lateClock, putBack, stepTable } from '../job/rows.js'
import { savedLine } from '../job/saved.js'
import { Session } from '../job/session.js'
import { steady } from '../job/steady.js'
import { head } from '../job/top.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Card} Card */
/** @typedef {import('../types.js').Vehicle} Vehicle */

const AGAIN = 5000 // ms between two tries to save what could not be saved
const BASE = new URL(document.documentElement.dataset.base ?? './', location.href)

/** @param {string} path @returns {Promise<any>} a data file of the site; a plain sentence where it cannot be had */
async function data(path) {
  const answer = await fetch(new URL(path, BASE)).catch(() => null)
  if (!answer?.ok) throw new Error(`${path} is not on this phone. Open the site once with signal.`)
  return answer.json()
}

/** @param {string} no @returns {Promise<{card: Card, subs: Record<string, Card>}>} */
async function cardOf(no) {
  /** @type {Card} */
  const card = await data(`data/cards/${no}.json`)
  const subs = await Promise.all(card.includes.map((one) => data(`data/cards/${one.toLowerCase()}.json`)))
  return { card, subs: Object.fromEntries(subs.map((/** @type {Card} */ one) => [one.no, one])) }
}

/** A vehicle is worked out only where a job begins or is held against the site: an open one has its own copy. */
/** @param {string} id @returns {Promise<Vehicle | null>} */
const vehicleOf = async (id) => (await import('../garage.js')).vehicle(id)

/** @param {HTMLElement} element */
export async function start(element) {
  const asked = new URLSearchParams(location.search)
  const begin = asked.get('start')?.split('/')
  const open = asked.get('open')
  try {
    if (open) return await openJob(element, open)
    if (begin?.length === 3) return await newJob(element, /** @type {[string, string, string]} */ (begin), asked)
    fill(element, h('h1', {}, 'No job chosen'), h('p', {}, 'Pick a card and a unit, and start from there.'), h('a', { class: 'row', href: '../cards/' }, 'Job cards'))
  } catch (error) {
    fill(element, h('h1', {}, 'The job could not be opened'), h('p', { role: 'alert' }, error instanceof Error ? error.message : String(error)),
      h('a', { class: 'row', href: '../cards/' }, 'Job cards'))
  }
}

/** @param {HTMLElement} element @param {[string, string, string]} start card, vehicle, unit @param {URLSearchParams} asked */
async function newJob(element, [no, vehicleId, unitId], asked) {
  const [{ card, subs }, vehicle] = await Promise.all([cardOf(no), vehicleOf(vehicleId)])
  if (!vehicle) throw new Error(`There is no vehicle ‘${vehicleId}’ in this browser. It may be in another one, or in the installed app.`)
  const unit = Object.hasOwn(vehicle.units, unitId) && vehicle.units[unitId]
  if (!unit) throw new Error(`${vehicle.name} has no unit ‘${unitId}’.`)
  const { beginForm } = await import('../job/begin.js')
  const form = await beginForm(card, subs, vehicle, unitId, async (session) => {
    history.replaceState({}, '', `?open=${session.id}`)
    await run(element, session)
    void session.keep()
    scrollTo({ top: 0 })
  }, asked)
  fill(element, h('h1', {}, card.title), h('p', {}, h('b', {}, `${vehicle.name}, ${unit.title}. `), `Card ${card.no} rev ${card.rev}.`), form)
}

/** @param {HTMLElement} element @param {string} id */
async function openJob(element, id) {
  const events = await store.events(id)
  if (!events.length) throw new Error('This job is not kept in this browser. It may be in another one, or in the installed app.')
  await run(element, new Session(id, events))
  // Straight to the step at hand, unless a reload leads back to a place of its own.
  if (!Number.isFinite(history.state?.place) && !location.hash) element.querySelector('.step.now')?.scrollIntoView({ block: 'center' })
}

/** @param {HTMLElement} element @param {Session} session */
async function run(element, session) {
  const placed = new Set(session.job.copy.card.steps.flatMap((step) => step.reads).concat(session.job.copy.card.holds.flatMap((hold) => hold.reads)))
  const saved = savedLine(session)
  const top = head(session)
  const changed = h('div', { class: 'changed' })
  const waits = h('section', { class: 'waits', hidden: true, 'aria-label': 'Waits' })
  const screen = h('p', { class: 'of screen-state', role: 'status' })
  const table = stepTable(session)
  const undone = putBack(session)
  const close = h('section', { class: 'job-close' }, h('h2', { id: 'sign-off' }, 'Record and sign off'))
  const jump = clockWatch(session)
  fill(element, saved.element, saved.alarm, top.element, changed, jump.element, waits, screen,
    h('nav', { class: 'jump screen', 'aria-label': 'Parts of this job' }, h('a', { href: '#steps' }, 'Steps'), h('a', { href: '#sign-off' }, 'Sign off'), h('a', { href: '#print' }, 'Print'),
      h('a', { href: `../work-out/?for=${session.job.copy.vehicle.id}/${session.job.copy.unit.id}` }, 'Work out'),
      (session.job.copy.card.see ?? []).map(({ no, title }) => h('a', { href: `../cards/${no.toLowerCase()}/` }, title))),
    h('section', { class: 'card-steps' }, h('h2', { id: 'steps' }, 'Steps'), table.element), undone.element, close,
    h('section', { class: 'card-print screen' }, h('h2', { id: 'print' }, 'Print'),
      h('button', { type: 'button', class: 'btn line', onclick: () => print() }, 'Print the filled record')))

  // The waits that run, once more on top: what is ready must be seen before it is looked for.
  /** @type {Map<number, ReturnType<typeof lateClock>>} */
  const boxes = new Map()
  const clocks = () => {
    const open = session.view.clocks
    show(waits, open.length > 0 && !session.job.ended)
    for (const [step, box] of boxes) box.show(open.find((one) => one.step === step) ?? null)
    for (const one of open) {
      let box = boxes.get(one.step)
      if (box) continue
      box = lateClock(session, one.step)
      boxes.set(one.step, box)
      waits.append(h('div', { class: 'wait' }, h('a', { class: 'at-step', href: `#step-${one.step}` }, `Step ${one.step}`), box.element))
      box.show(one)
    }
    for (const row of waits.children) if (row instanceof HTMLElement) show(row, !row.querySelector('.clock')?.hasAttribute('hidden'))
  }

  /** @type {Promise<{stop(): void}> | null} */
  let awake = null
  const draw = () => {
    saved.show()
    top.show()
    table.show()
    undone.show()
    clocks()
    const going = !session.job.ended && !session.closed && !session.job.resting
    if (going) awake ??= import('../phone/awake.js').then(({ keepAwake }) => keepAwake((says) => say(screen, says)))
    else {
      void awake?.then((one) => one.stop()).then(() => say(screen, ''))
      awake = null
    }
    document.title = `${session.view.clocks.some((one) => one.state === 'ready') ? 'Ready · ' : ''}${session.job.copy.card.no} ${session.job.copy.unit.title} · Fillmark`
  }
  session.onChange(draw)
  session.onSaved = saved.show
  // The end of a job is far below, and the sheet only for paper: both are here long before they are wanted.
  void import('../job/close.js').then(({ closing }) => {
    const end = closing(session, placed)
    close.append(end.element)
    session.onChange(end.show)
    end.show()
    if (location.hash === '#sign-off') close.scrollIntoView()
  })
  void import('../job/sheet.js').then(({ sheet }) => {
    const paper = sheet(session)
    element.append(paper.element)
    addEventListener('beforeprint', paper.show)
  })

  const lost = (/** @type {string} */ says) => {
    session.closed = says
    session.tell()
  }
  const taken = () => lost('This job is now worked on in another tab.')
  const seize = async (/** @type {typeof store.claim} */ how) => {
    if (!(await how(session.id, taken)).mine) return false
    const shown = session.closed
    session.closed = ''
    if (shown) await session.again()
    return true
  }
  // A tab that is just being closed or loaded anew lets go a moment late, so a first no is not yet an answer.
  let mine = await seize(store.claim)
  for (let tries = 0; !mine && tries < 4; tries += 1) {
    await new Promise((resolve) => setTimeout(resolve, 250))
    mine = await seize(store.claim)
  }
  if (!mine) lost('This job is open in another tab. Here it is only shown.')
  saved.onTake(() => void seize(store.takeOver))
  store.watch(async (job) => {
    if (job === session.id && session.closed && !(await seize(store.claim))) await session.again()
  })

  let tried = Date.now()
  // Time passes, and a phone that slept or was locked comes back to another time.
  const pass = () => {
    if (document.hidden) return
    jump.look()
    // What could not be saved is tried again by itself: a phone that slept in the middle of it has lost nothing.
    if (session.saved.kind === 'not' && Date.now() - tried > AGAIN) {
      tried = Date.now()
      void session.keep()
    }
    const before = JSON.stringify(session.view.clocks.map((one) => one.state))
    session.look()
    steady(() => {
      if (JSON.stringify(session.view.clocks.map((one) => one.state)) !== before) draw()
      else clocks()
      table.tick()
    })
  }
  setInterval(pass, 1000)
  document.addEventListener('visibilitychange', pass)
  addEventListener('pageshow', pass)
  jump.look()
  draw()
  void import('../job/changes.js').then(({ changes }) => changes(session, changed, cardOf, vehicleOf))
}
