async ({ copy, walks, turns, seed, start }) => {
  const { finished, permit, replay, undo, view } = await import('./js/lib/job.js')
  const MINUTE = 60_000
  const out = []
  for (let walk = 0; walk < walks; walk += 1) out.push(one(seed + walk))
  return JSON.stringify(out)

  function one(seed) {
    const dice = random(seed)
    const below = (n) => Math.floor(dice() * n)
    const pick = (list) => list[below(list.length)]
    const { steps, holds } = copy.card
    const wall = (epoch) => new Date(epoch).toISOString().slice(11, 16)
    let truth = start // the time that really passes
    let off = 0 // how far somebody moved the phone's clock
    let lost = {}
    let tries = []
    let stuck = ''
    let torn = ''
    // Some walks blunder about, some do nearly all of it right and come to the end.
    const care = pick([0.5, 0.8, 0.97])
    const events = []
    const write = (kind, data) => {
      const seq = events.length + 1
      const id = `${seed}-${seq}`
      events.push({ id, job: 'j', seq, at: truth + off, zone: 0, kind, data })
      return id
    }
    write('begin', { copy, odometer: { typed: '1', unit: 'mi', si: 1609.344 }, why: '', readings: {} })
    let job = replay(events)
    const attempt = (kind, data) => {
      const says = permit(job, kind, data, truth + off, lost, wall)
      const id = says === '' ? write(kind, data) : ''
      if (id) job = replay(events)
      const seen = view(job, truth + off, lost, wall)
      const open = seen.steps.filter((step) => step.state === 'now' || step.state === 'open').map((step) => step.no)
      tries.push([kind, data, truth, says, open, Object.keys(lost).filter((no) => lost[no]).map(Number), id, seen.finished])
      return says
    }
    const number = () => 1 + below(steps.length + 1)
    const hold = () => 1 + below(holds.length + 1)
    const clocks = () => view(job, truth + off, lost).clocks
    const tryWaits = () => clocks().forEach(({ step }) => attempt('opened', { step, early: 0 }))

    const good = [
      () => {
        const open = view(job, truth + off, lost).steps.filter((step) => step.state === 'now' || step.state === 'open')
        if (open.length) attempt('done', { step: pick(open).no })
        else truth += MINUTE * (5 + below(40))
      },
      () => {
        const may = view(job, truth + off, lost).holds.filter((one) => one.may)
        if (may.length) attempt('hold', { hold: pick(may).no })
      },
      () => {
        const ready = clocks().filter((clock) => clock.state === 'ready')
        if (ready.length) attempt('opened', { step: pick(ready).step, early: 0 })
        else truth += MINUTE * below(30)
      },
    ]
    const wild = [
      () => attempt('done', { step: number() }),
      () => attempt('hold', { hold: hold() }),
      () => attempt('override', { hold: hold(), reason: pick(['', 'short', '        ', 'the cover is off the car', 'exactly8']) }),
      () => {
        const running = clocks()
        const step = running.length && dice() < 0.8 ? pick(running).step : number()
        const left = running.find((clock) => clock.step === step)?.left ?? 0
        attempt('opened', { step, early: pick([0, Math.ceil(left / MINUTE), 1, -1, 500]) })
      },
      () => {
        const done = [...job.done.keys()]
        if (!done.length) return
        attempt('undone', undo(job, { step: pick(done) }))
        if (dice() < 0.5) attempt('put-back', { undone: job.lastUndone })
      },
      () => job.ticked.size && attempt('undone', undo(job, { hold: pick([...job.ticked.keys()]) })),
      () => attempt('undone', { steps: Array.from({ length: below(3) }, number), holds: Array.from({ length: below(2) }, hold) }),
      () => {
        // As many as are done, taken away from the top: often too few, at times just enough.
        const some = [...job.done.keys()].filter(() => dice() < 0.3)
        attempt('undone', { steps: some, holds: [...job.ticked.keys()].filter(() => dice() < 0.3) })
      },
      () => attempt('put-back', { undone: job.undone.length ? pick(job.undone).id : '' }),
      () => {
        // Seen to move: no time passed by it.
        const by = Math.round((dice() - 0.5) * 360) * MINUTE || MINUTE
        off += by
        attempt('clock', { by, counted: false })
        if (dice() < 0.5) attempt('put-back', { undone: job.lastUndone })
        else tryWaits()
      },
      () => {
        // Seen to move, and the owner says that the time passed.
        const by = below(90) * MINUTE + 1
        if (permit(job, 'clock', { by, counted: true }, truth + off, lost) === '') truth += by
        attempt('clock', { by, counted: true })
        tryWaits()
      },
      () => attempt('label', { step: number(), minutes: pick([30, 90, 0, -5, NaN, 1e6]) }),
      () => attempt('bolt', { step: number(), tap: 1 + below(3) }),
      () => attempt('unbolt', { step: number(), tap: 1 + below(3) }),
      () => attempt('note', { step: number(), text: pick(['', 'dry']) }),
      () => attempt('read', { field: pick(['magnet', 'nothing', 'volume-in']), reading: pick([null, { typed: '2', unit: '', si: 2 }]) }),
      () => { lost = Object.fromEntries(holds.map((one) => [one.no, dice() < 0.25 ? 'The readings do not agree.' : ''])) },
      () => { lost = {} },
      () => { truth += MINUTE * below(120) },
      () => attempt('rest', { note: pick(['', 'cover off, pan under']) }),
      () => attempt('resume', {}),
      () => attempt('signed', { entry: {}, followUps: [] }),
      () => dice() < 0.05 && attempt('stopped', { entry: {}, defect: 'a tooth is chipped' }),
    ]
    for (let turn = 0; turn < turns && !stuck; turn += 1) {
      truth += Math.round(dice() * MINUTE)
      if (job.resting && dice() < 0.3) attempt('resume', {})
      else pick(dice() < care ? good : wild)()
      if (dice() < 0.05 || turn === turns - 1) {
        stuck ||= finish()
        torn ||= reload()
      }
    }
    return { seed, tries, stuck, torn }

    /** From here the card can be finished, with good readings and enough time. */
    function finish() {
      if (job.ended) return ''
      const more = [...events]
      let now = truth + off
      let stand = job
      const write = (kind, data) => {
        const says = permit(stand, kind, data, now, {})
        if (says) return says
        more.push({ id: `f-${more.length}`, job: 'j', seq: more.length + 1, at: now, zone: 0, kind, data })
        stand = replay(more)
        return ''
      }
      if (stand.resting) write('resume', {})
      for (let go = 0; go < 200 && !finished(stand); go += 1) {
        const seen = view(stand, now, {})
        const ready = seen.clocks.find((clock) => clock.state === 'ready')
        const may = seen.holds.find((one) => one.may)
        if (seen.next) write('done', { step: seen.next })
        else if (may) write('hold', { hold: may.no })
        else if (ready) write('opened', { step: ready.step, early: 0 })
        else if (seen.clocks[0]) now = seen.clocks[0].ready
        else return `nothing to do: ${seen.steps.map((step) => step.why).filter(Boolean).join(' | ')}`
      }
      return finished(stand) ? write('signed', { entry: {}, followUps: [] }) : 'never finished'
    }

    /** The events as they come back from the store, in another order, come to the same. */
    function reload() {
      const back = JSON.parse(JSON.stringify(events)).sort(() => dice() - 0.5)
      const [was, is] = [job, replay(back)].map((one) => JSON.stringify([view(one, truth + off, lost, wall), one.bolts, one.label]))
      return was === is ? '' : `${was} became ${is}`
    }
  }

  /** mulberry32, public domain: the same walks every time. */
  function random(seed) {
    let state = seed
    return () => {
      state = (state + 0x6d2b79f5) | 0
      let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
      mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
      return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
    }
  }
}
