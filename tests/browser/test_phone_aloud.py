"""Reading aloud: only an English voice that is on the phone, and words when nothing is read.

This Chromium has no voice, which is the first test. For the rest a stand-in for the browser's speech is put in its
place.
"""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page


def aloud(page: Page, call: str) -> Any:
    return page.evaluate(f"import(new URL('./js/phone/aloud.js', document.baseURI).href).then(m => {call})")


NONE = "This phone has no English voice of its own: nothing is read aloud."
# A stand-in for the whole of speech, since this browser has no voice: it begins, ends and fails as asked.
VOICES = """(list) => {
  const log = globalThis.spoken = []
  globalThis.SpeechSynthesisUtterance = class { constructor(text) { this.text = text } }
  Object.defineProperty(globalThis, 'speechSynthesis', { configurable: true, value: Object.assign(new EventTarget(), {
    list, begins: true,
    getVoices() { return [...this.list] },
    cancel() { log.push('cancel'); this.now?.onerror?.({ error: 'interrupted' }); this.now = null },
    speak(one) {
      log.push([one.text, one.voice.name, one.lang])
      this.now = one
      if (this.fails) setTimeout(() => one.onerror({ error: this.fails }))
      else if (this.begins) setTimeout(() => one.onstart())
    },
  }) })
}"""


def voice(name: str, lang: str, local: bool = True, default: bool = False) -> dict[str, Any]:
    return {"name": name, "lang": lang, "localService": local, "default": default}


def test_this_browser_has_no_voice_and_says_so(page: Page) -> None:
    page.goto("")
    assert page.evaluate("speechSynthesis.getVoices().length") == 0, "it has voices: test it with them"
    assert aloud(page, "m.available()") is False
    assert aloud(page, "m.voice()") is None
    assert aloud(page, "m.say('Step 1')") == {"spoken": False, "says": NONE}


@pytest.mark.parametrize(("voices", "picked"), [
    ([voice("far", "en-GB", local=False, default=True)], None),
    ([voice("here", "de-DE", default=True), voice("far", "en-US", local=False)], None),
    ([voice("far", "en-US", local=False, default=True), voice("here", "en-AU")], "here"),
    ([voice("other", "en-AU", default=True), voice("own", "en_US")], "own"),
    ([voice("first", "en-AU"), voice("default", "en-GB", default=True)], "default"),
    ([voice("first", "en"), voice("second", "en-IE")], "first"),
    ([voice("not English", "enm-GB")], None),
])
def test_only_an_english_voice_on_the_phone_is_used(page: Page, voices: list[Any], picked: str | None) -> None:
    page.goto("")
    page.evaluate(VOICES, voices)
    assert aloud(page, "m.voice().then(one => one?.name ?? null)") == picked
    assert aloud(page, "m.available()") is (picked is not None)
    said = aloud(page, "m.say('Step 1')")
    assert said == ({"spoken": True, "says": "Reading aloud."} if picked else {"spoken": False, "says": NONE})


def test_voices_that_come_late_are_waited_for(page: Page) -> None:
    page.goto("")
    page.evaluate(VOICES, [])
    page.evaluate("""one => setTimeout(() => {
      speechSynthesis.list.push(one); speechSynthesis.dispatchEvent(new Event('voiceschanged')) }, 200)""",
        voice("late", "en-GB"))
    assert aloud(page, "m.available()") is True


def test_a_new_step_stops_the_one_before(page: Page) -> None:
    page.goto("")
    page.evaluate(VOICES, [voice("here", "en-GB")])
    aloud(page, "m.say('one').then(() => m.say('two')).then(() => m.hush())")
    assert page.evaluate("spoken") == [
        "cancel", ["one", "here", "en-GB"], "cancel", ["two", "here", "en-GB"], "cancel"]


def test_a_voice_that_fails_or_never_begins_is_said(page: Page) -> None:
    page.goto("")
    page.evaluate(VOICES, [voice("here", "en-GB")])
    page.evaluate("speechSynthesis.fails = 'not-allowed'")
    assert aloud(page, "m.say('one')") == {
        "spoken": False, "says": "Not read aloud: the phone said not-allowed. Read it on the page."}
    page.evaluate("speechSynthesis.fails = '', speechSynthesis.begins = false")
    assert aloud(page, "m.say('one')") == {
        "spoken": False, "says": "Not read aloud: the voice did not begin. Read it on the page."}
    stopped = aloud(page, "(() => { const first = m.say('one'); m.hush(); return first })()")
    assert stopped == {"spoken": False, "says": "Stopped reading aloud."}
