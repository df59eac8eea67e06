// The plan: jobs picked, what each needs before a spanner moves, the day by the clock, what to buy. Kept as it is typed.
import { fill, h } from '../job/dom.js'
import { wall } from '../job/words.js'
import { today } from '../own/where.js'
import { chosenFrom, first } from '../plan/asked.js'
import { clock, planned } from '../plan/clock.js'
import { choose, field, tickBox, typing } from '../plan/field.js'
import { adder, list as jobList } from '../plan/jobs.js'
import { blank, keep, kept, vehicles, worked } from '../plan/kept.js'
import { begun } from '../plan/running.js'
import { fields as placeFields, judged, verdicts } from '../plan/place.js'

/** @param {HTMLElement} root */
export async function start(root) {
  const find = (/** @type {string} */ name) => /** @type {HTMLElement} */ (root.querySelector(`[data-part="${name}"]`))
  const saved = find('saved')
  try {
    const [{ plan, known }, { site, vehicles: all }] = await Promise.all([kept(), vehicles()])
    let turn = 0
    let drawn = 0
    const late = Promise.all([import('../plan/shop.js'), import('../plan/out.js')])

    const store = async () => {
      const mine = (turn += 1)
      saved.classList.remove('not')
      saved.textContent = 'Saving…'
      try {
        await keep(plan, known)
        if (mine === turn) saved.textContent = `Saved ${wall(Date.now())}`
      } catch (error) {
        saved.classList.add('not')
        saved.textContent = `NOT saved. ${error instanceof Error ? error.message : error}`
      }
    }
    const changed = () => {
      typing.now = false
      void store()
      draw().catch((error) => fill(find('lost'), h('p', { class: 'odd', role: 'alert' }, `The plan could not be worked out. ${error instanceof Error ? error.message : error}`)))
    }
    const asked = chosenFrom(location.search)
    if (asked) {
      history.replaceState({}, '', location.pathname)
      if (!plan.jobs.some((one) => one.no === asked.no && one.vehicle === asked.vehicle && one.unit === asked.unit)) {
        plan.jobs.push(asked)
        void store()
      }
    }

    async function draw() {
      const mine = (drawn += 1)
      const { jobs, lost } = await worked(plan.jobs)
      if (mine !== drawn) return // a later change is drawn already
      for (const job of jobs) first(job)
      const running = await begun(jobs)
      const [{ list: shopList, reckoned, shop, shopping, toolsOnPaper }, { alarms, asText, dropOff, giver, waste }] = await late
      if (mine !== drawn) return
      // From here on nothing is waited for: where the finger is now, it must be afterwards.
      const focused = document.activeElement instanceof HTMLElement ? place(root, document.activeElement) : null
      const open = [...root.querySelectorAll('details')].map((one) => one.open)
      for (const job of jobs) job.begun = running.get(job.id)
      // What has begun is planned from now.
      const from = running.size ? { ...plan, date: today(), begin: wall(Date.now()) } : plan
      const ground = judged(jobs, plan)
      fill(find('lost'), lost.map((says) => h('p', { class: 'odd', role: 'alert' }, `Not planned: ${says}`)))
      fill(find('jobs'), jobs.length ? jobList(jobs, site, { changed, remove(at) {
        plan.jobs = plan.jobs.filter((one) => one !== jobs[at]?.chosen)
        changed()
      } }) : h('p', {}, 'No job yet.'))
      for (const part of root.querySelectorAll('[data-with-jobs]')) if (part instanceof HTMLElement) part.hidden = !jobs.length
      if (jobs.length) {
        const found = planned(jobs, plan, ground.times)
        fill(find('clock'), clock(jobs, from, ground.times, found))
        const needs = reckoned(jobs, plan)
        const buy = shopping(needs, known)
        fill(find('gate'), needs.gate.map(({ text, jobs: who }) => tickBox(`${text} (${who.join(', ')})`, plan.ticked.includes(text), (on) => {
          plan.ticked = plan.ticked.filter((one) => one !== text).concat(on ? [text] : [])
          void store()
        })))
        fill(find('verdicts'), verdicts(ground))
        fill(find('place'), placeFields(ground, plan, changed))
        fill(find('when'), h('div', { class: 'wide' }, field('Day', plan.date, (typed) => (plan.date = typed), changed, { type: 'date' })),
          field('Begin at', plan.begin, (typed) => (plan.begin = typed), changed, { type: 'time' }),
          field('Dark, or needed again, at', plan.until, (typed) => (plan.until = typed), changed, { type: 'time' }),
          choose('Hands', String(plan.pairs), [['1', 'alone'], ['2', 'two pairs of hands']], (pairs) => (plan.pairs = Number(pairs), changed())))
        fill(find('shop'), shop(needs, plan, known, changed))
        fill(find('list'), shopList(buy, needs, plan, changed), giver('Share the list as text', `to-buy-${plan.date}.txt`, 'text/plain', () => asText(buy, needs.sizes, plan)))
        fill(find('tools'), toolsOnPaper(needs, known))
        fill(find('waste'), waste(jobs), giver('Share a note for the collection point', `waste-${plan.date}.txt`, 'text/plain', () => dropOff(jobs, plan)))
        fill(find('out'), alarms(jobs, from, found), h('button', { type: 'button', class: 'btn line screen', onclick: () => print() }, 'Print the plan'),
          h('button', { type: 'button', class: 'btn line screen', onclick: () => {
            Object.assign(plan, blank())
            changed()
          } }, 'Clear the plan'))
      }
      ;[...root.querySelectorAll('details')].forEach((one, i) => {
        if (open[i]) one.open = true
      })
      if (focused) focused()
      if (typing.now) changed() // the field it was typed in is not there any more to say so
    }
    fill(find('add'), adder(all, site, (one) => {
      plan.jobs.push(one)
      changed()
    }))
    await draw()
  } catch (error) {
    saved.classList.add('not')
    saved.textContent = `The plan could not be read. ${error instanceof Error ? error.message : error}`
  }
}

/** What is drawn anew loses the focus; it goes back to the field that stands in the same place. @param {HTMLElement} root @param {HTMLElement} active */
function place(root, active) {
  const part = active.closest('[data-part]')
  if (!part || !root.contains(active)) return null
  const all = () => [...part.querySelectorAll('input, select, button, summary')]
  const index = all().indexOf(active)
  return () => {
    const again = all()[index]
    if (!(again instanceof HTMLElement) || document.activeElement !== document.body) return
    again.focus({ preventScroll: true })
    if (again instanceof HTMLInputElement && again.type === 'text') again.setSelectionRange(again.value.length, again.value.length)
  }
}
