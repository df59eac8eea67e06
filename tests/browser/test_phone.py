"""What the phone itself can do: the screen and the alarm. Each says in words what it did.

Where this Chromium lacks a thing (a refusal, an audio session), a stand-in is put in its place and called one.
All else is the browser's own.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from harness import SiteServer
from unseen import Tab

OFF = "This phone may switch the screen off"
LONGER = "Set a longer screen time in the phone's settings."
AGAIN = f"Tap anywhere to ask again. {LONGER}"


def phone(page: Page, module: str, call: str, argument: object = None) -> Any:
    return page.evaluate(
        f"a => import(new URL('./js/phone/{module}.js', document.baseURI).href).then(m => {call})", argument)


@pytest.fixture
def tab(chromium: Browser, page: Page, served: SiteServer) -> Iterator[Tab]:
    tab = Tab(chromium, page, served.url)
    yield tab
    tab.close()


LOCKS = """
  const real = navigator.wakeLock.request.bind(navigator.wakeLock)
  globalThis.locks = []
  navigator.wakeLock.request = async (kind) => { const one = await real(kind); locks.push(one); return one }
"""
AWAKE = f"(async () => {{ {LOCKS}" + """
  const { keepAwake } = await import(new URL('./js/phone/awake.js', document.baseURI).href)
  globalThis.heard = []
  globalThis.job = keepAwake((says, on) => heard.push([says, on]))
})()"""


def test_story_13_the_screen_is_asked_for_again_each_time_the_page_comes_back(tab: Tab, served: SiteServer) -> None:
    tab.run(AWAKE)
    tab.until("heard.at(-1)", ["Screen stays on.", True])
    assert tab.run("locks.map(one => one.released)") == [False]
    for times in (1, 2):
        other = tab.open(served.url)
        tab.until("document.visibilityState", "hidden")
        tab.until("heard.at(-1)", [f"{OFF}: it took back its word. {AGAIN}", False])
        assert tab.run("locks.map(one => one.released)") == [True] * times
        tab.cdp.send("Target.closeTarget", {"targetId": other})
        tab.until("document.visibilityState", "visible")
        tab.until("heard.at(-1)", ["Screen stays on.", True])
        assert tab.run("locks.map(one => one.released)") == [True] * times + [False]


def test_story_13_a_job_that_was_left_gives_the_screen_back_for_good(tab: Tab, served: SiteServer) -> None:
    """On the page of a job: kept on while it is open, after another app too, and not once it rests."""
    tab.run("location.href = 'job/?start=p11/thornback/wheels'")
    tab.type("f-begin-odometer", "112410")
    tab.run(f"{{ {LOCKS} }}")
    tab.press("Start the job")
    says = "document.querySelector('.screen-state')?.textContent"
    tab.until(says, "Screen stays on.")
    tab.look_elsewhere(served.url)
    tab.until("locks.map(one => one.released)", [True, False])
    tab.until(says, "Screen stays on.")
    tab.run("document.querySelector('.job-close details').open = true")
    tab.type("left", "on its wheels, key out")
    tab.press("Leave it for another sitting")
    tab.until("locks.map(one => one.released)", [True, True])
    tab.look_elsewhere(served.url)
    tab.run("document.body.click()")
    tab.clock.wait_for_timeout(300)
    assert tab.run("locks.length") == 2


def test_a_job_left_while_the_phone_makes_up_its_mind_keeps_no_lock(tab: Tab) -> None:
    tab.run(AWAKE + ".then(() => (job.stop(), job.stop()))")
    tab.until("locks.map(one => one.released)", [True])
    assert tab.run("heard") == [[f"{OFF}: no job is open.", False]]


def test_a_page_begun_out_of_view_asks_when_it_is_seen(tab: Tab, served: SiteServer) -> None:
    other = tab.open(served.url)
    tab.until("document.visibilityState", "hidden")
    tab.run(AWAKE)
    assert tab.run("[locks.length, heard.length]") == [0, 0]
    tab.cdp.send("Target.closeTarget", {"targetId": other})
    tab.until("heard", [["Screen stays on.", True]])


def test_a_phone_that_refuses_is_told_and_asked_again_at_the_next_tap(page: Page) -> None:
    # This browser never refuses by itself, so its answer is stood in for once, as a low battery gives it.
    page.goto("")
    page.evaluate("""() => {
      const real = navigator.wakeLock.request.bind(navigator.wakeLock)
      let left = 2
      navigator.wakeLock.request = (kind) =>
        left-- > 0 ? Promise.reject(new DOMException('no', 'NotAllowedError')) : real(kind)
    }""")
    phone(page, "awake", """{ globalThis.heard = []; m.keepAwake((says, on) => {
      heard.push([says, on]); document.documentElement.dataset.said = says }) }""")
    refused = f"{OFF}: it did not agree to keep it on, perhaps to save its battery. {AGAIN}"
    expect(page.locator("html")).to_have_attribute("data-said", refused)
    page.locator("h1").first.click()  # refused once more: the same words are not said twice
    page.locator("h1").first.click()
    expect(page.locator("html")).to_have_attribute("data-said", "Screen stays on.")
    assert page.evaluate("heard") == [[refused, False], ["Screen stays on.", True]]


LISTEN = """() => {
  // Every sound on its way to the loudspeaker passes this ear too.
  const real = AudioNode.prototype.connect
  AudioNode.prototype.connect = function (to, ...rest) {
    if (to instanceof AudioDestinationNode && !(this.context instanceof OfflineAudioContext)) {
      globalThis.ear = this.context.ear ??= new AnalyserNode(this.context, { fftSize: 2048 })
      real.call(this, this.context.ear)
    }
    return real.call(this, to, ...rest)
  }
  const shake = navigator.vibrate.bind(navigator)
  globalThis.shaken = []
  navigator.vibrate = (pattern) => { shaken.push(pattern); return shake(pattern) }
}"""
LOUDEST = """async () => {
  const heard = new Float32Array(2048)
  let most = 0
  for (const end = performance.now() + 2500; performance.now() < end && most < 0.1;) {
    ear.getFloatTimeDomainData(heard)
    most = Math.max(most, ...heard)
    await new Promise((done) => setTimeout(done, 20))
  }
  return [most, ear.context.state]
}"""


def button(page: Page, module: str, call: str) -> None:
    """Put a button on the page that runs the call in a tap, as a page of the site does; it shows the answer."""
    phone(page, module, f"""{{
      const button = Object.assign(document.createElement('button'), {{ id: 'test-tap', textContent: 'Tap' }})
      button.onclick = async () => (button.dataset.said = JSON.stringify(await ({call})))
      document.querySelector('main').prepend(button)
    }}""")


def tapped(page: Page) -> Any:
    page.locator("#test-tap").evaluate("one => delete one.dataset.said")
    page.locator("#test-tap").click()
    expect(page.locator("#test-tap[data-said]")).to_be_visible()
    return json.loads(page.locator("#test-tap").get_attribute("data-said") or "")


ARMED = {"sound": True, "says": "Sound is on while this page is in view. Set the phone's own timer too."}


def test_the_alarm_sounds_and_shakes_after_a_tap(page: Page) -> None:
    page.goto("")
    page.evaluate(LISTEN)
    button(page, "alarm", "m.arm()")
    assert tapped(page) == ARMED
    assert phone(page, "alarm", "m.ring()") == {
        "sound": True, "shake": True, "says": "Alarm by sound and vibration."}
    most, state = page.evaluate(LOUDEST)
    assert most > 0.1 and state == "running"
    assert page.evaluate("shaken") == [[350, 250, 350, 250, 350]]

    phone(page, "alarm", "m.disarm()")
    assert page.evaluate("ear.context.state") == "closed"
    assert phone(page, "alarm", "m.ring()")["sound"] is False
    assert tapped(page) == ARMED, "it can be armed again"


def test_the_alarm_wakes_a_sound_that_a_telephone_call_stopped(page: Page) -> None:
    page.goto("")
    page.evaluate(LISTEN)
    button(page, "alarm", "m.arm()")
    tapped(page)
    phone(page, "alarm", "m.ring()")
    page.evaluate("ear.context.suspend()")
    assert page.evaluate("ear.context.state") == "suspended"
    assert phone(page, "alarm", "m.ring()")["sound"] is True
    assert page.evaluate(LOUDEST)[1] == "running"


def test_without_a_tap_the_alarm_says_that_it_is_silent(page: Page) -> None:
    # A script of the page's own at its start, heard on the console: whatever a test evaluates counts as a tap.
    page.add_init_script("""addEventListener('DOMContentLoaded', async () => {
      const { arm, ring } = await import(new URL('./js/phone/alarm.js', document.baseURI).href)
      console.log(JSON.stringify([await arm(), await ring()]))
    })""")
    with page.expect_console_message(lambda said: said.text.startswith("[")) as heard:
        page.goto("")
    armed, rung = json.loads(heard.value.text)
    assert armed == {"sound": False, "says": "No sound from this page. Set the phone's own timer, or tap to try again."}
    assert rung == {"sound": False, "shake": False, "says": "Alarm on screen only: this phone gave no sound."}


def test_a_phone_without_sound_or_shake_says_so(page: Page) -> None:
    page.add_init_script("delete globalThis.AudioContext; delete Navigator.prototype.vibrate")  # as some browsers are
    page.goto("")
    button(page, "alarm", "m.arm()")
    assert tapped(page)["sound"] is False
    assert phone(page, "alarm", "m.ring()") == {
        "sound": False, "shake": False, "says": "Alarm on screen only: this phone gave no sound."}


def test_a_silent_switch_is_asked_to_stand_aside(page: Page) -> None:
    # A stand-in: only other browsers have an audio session.
    page.add_init_script("Object.defineProperty(navigator, 'audioSession', { value: { type: 'auto' } })")
    page.goto("")
    button(page, "alarm", "m.arm()")
    tapped(page)
    assert page.evaluate("navigator.audioSession.type") == "playback"


def test_the_alarm_is_three_beeps_that_an_older_ear_hears(page: Page) -> None:
    page.goto("")
    rate = 48_000
    wave = phone(page, "alarm", """(() => {
      const room = new OfflineAudioContext(1, 3 * a, a)
      m.beeps(room, 0.5)
      return room.startRendering().then((made) => Array.from(made.getChannelData(0)))
    })()""", rate)
    assert len(wave) == 3 * rate and max(map(abs, wave)) <= 1
    slots = [max(map(abs, wave[at:at + rate // 20])) > 0.2 for at in range(0, len(wave), rate // 20)]
    starts = [at / 20 for at, (before, now) in enumerate(pairwise([False, *slots])) if now and not before]
    assert starts == pytest.approx([0.5, 1.1, 1.7], abs=0.051)
    assert not any(slots[:9]) and not any(slots[42:])
    # ISO 7731, from memory: the strongest part of a warning lies between 500 Hz and 2500 Hz.
    beep = wave[int(0.55 * rate):int(0.75 * rate)]
    rises = sum(before < 0 <= now for before, now in pairwise(beep))
    assert 500 <= rises / 0.2 <= 2500
