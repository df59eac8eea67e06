"""Kills of the whole browser while somebody works on a real job page: ticks, holds, readings, waits, bolts."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from jobs import SAVED, Worker
from kills import Killable

# One thing a thumb may do on the page, chosen by a number from 0 to 1. Returns what it was.
TAP = """([dice, text]) => {
  const seen = (element) => element.checkVisibility() && !element.disabled
  const undo = (element) => /Undo/.test(element.textContent)
  const pick = (list) => list[Math.floor(dice * list.length)]
  const ticks = [...document.querySelectorAll('[data-tick]')].filter(seen)
  const open = ticks.filter((one) => !undo(one))
  const holds = [...document.querySelectorAll('button[data-hold][aria-pressed=false]')]
  const clocks = [...document.querySelectorAll('.card-steps .clock .btn')].filter(seen)
  const bolts = [...document.querySelectorAll('.tight .btn')].filter(seen)
  const fields = [...document.querySelectorAll('.card-steps .read :is(select:not(.unit), input)')].filter(seen)
  const kinds = [open, open, holds, clocks, clocks, bolts, bolts, fields].filter((list) => list.length)
  const list = dice > 0.97 ? ticks.filter(undo) : kinds[Math.floor(dice * 7919) % kinds.length]
  const one = pick(list ?? [])
  if (!one) return 'nothing'
  if (one.matches('select')) {
    one.value = pick([...one.options].slice(1))?.value ?? ''
    one.dispatchEvent(new Event('input', { bubbles: true }))
  } else if (one.matches('input')) {
    one.value = text
    one.dispatchEvent(new Event('input', { bubbles: true }))
    one.dispatchEvent(new Event('change', { bubbles: true }))
  } else one.click()
  return one.tagName + ' ' + (one.textContent || one.id).slice(0, 40)
}"""


def shown(page: Page) -> dict[str, Any]:
    """Return what the page says stands: steps done, holds ticked."""
    return dict(page.evaluate(
        "() => { const numbers = (found, name) =>"
        "  [...document.querySelectorAll(found)].map((one) => Number(one.dataset[name]));"
        " return {steps: numbers('.step.done', 'step'), holds: numbers('[data-hold][aria-pressed=true]', 'hold')} }"))


def standing(events: list[dict[str, Any]]) -> dict[str, Any]:
    """Return the same from the events alone."""
    steps: set[int] = set()
    holds: set[int] = set()
    for event in events:
        data = event["data"]
        if event["kind"] == "done":
            steps.add(data["step"])
        elif event["kind"] == "hold":
            holds.add(data["hold"])
        elif event["kind"] == "undone":
            steps -= set(data["steps"])
            holds -= set(data["holds"])
    return {"steps": sorted(steps), "holds": sorted(holds)}


def job_rounds(
    phone: Killable, url: str, kills: int, seed: int, say: Callable[[int], None] = lambda _: None
) -> dict[str, int]:
    """Work and be killed `kills` times at random moments.

    After each start every acknowledged event must be there, in its order, and the page must open on what they come
    to. Returns the counts.
    """
    dice = random.Random(seed)
    sums = {"kills": 0, "acknowledged": 0, "in flight": 0, "jobs": 0}
    address = ""
    known: list[str] = []
    for round_ in range(kills):
        page = phone.start()
        worker = Worker(page)
        if not address:
            page.goto(url + "job/?start=p01/thornback/rear-axle")
            page.locator("#f-begin-odometer").fill("112410")
            page.locator("input[name=choice][value=gasket]").check()
            page.get_by_role("button", name="Start the job").click()
            worker.saved()
            address, known = page.url, []
            sums["jobs"] += 1
        else:
            page.goto(address)
        worker.saved()
        events = worker.events()
        ids = [event["id"] for event in events]
        assert ids[: len(known)] == known, f"round {round_}: an acknowledged event is gone"
        stands = standing(events)
        assert shown(page) == stands, f"round {round_}: the page does not show what is stored"
        for hold in events[0]["data"]["copy"]["card"]["holds"]:
            assert hold["no"] in stands["holds"] or not set(hold["blocks"]) & set(stands["steps"]), f"past {hold}"
        sums["in flight"] += len(ids) - len(known)
        sums["acknowledged"] += len(known)
        for _ in range(dice.randint(1, 6)):
            page.evaluate(TAP, [dice.random(), str(dice.randint(1, 20))])
            if dice.random() < 0.7:
                page.wait_for_timeout(dice.choice([0, 400]))  # a typed field is written down when the thumb has left it
                expect(page.locator(".saved")).to_have_text(SAVED)
        # Acknowledged is what the page calls saved, asked of the store a moment before the end.
        expect(page.locator(".saved")).to_have_text(SAVED)
        known = [event["id"] for event in worker.events()]
        finished = page.get_by_role("button", name="Sign off").is_enabled()
        page.evaluate(f"({TAP})([{dice.random()}, '7']), undefined")
        page.wait_for_timeout(dice.choice([0, 0, 1, 3, 10]))
        phone.kill()
        phone.disconnect()
        sums["kills"] += 1
        if finished:
            address = ""
        say(sums["kills"])
    return sums
