"""A file that leaves the phone: a real download here, and the share sheet's answers by a stand-in, since this browser
has no share sheet. And what is left of the phone's means on plain http, where most of them are missing."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright

import chromium as browsers
from harness import PHONE, SiteServer, watch

TEXT = "Fillmark job\n2,35 L · 26 N·m · −18 °C\n{\"id\":\"ä€😀\"}\n"
NAME = "thornback-rear-backup.jsonl"


def share(page: Page, call: str, argument: object = None) -> Any:
    return page.evaluate(
        f"a => import(new URL('./js/phone/share.js', document.baseURI).href).then(m => {call})", argument)


def words(page: Page, given: str, name: str = NAME) -> str:
    return str(share(page, "m.told(...a)", [given, name]))


@pytest.mark.parametrize(("name", "kept", "kind"), [
    (NAME, NAME, "application/x-ndjson"), ("job 1.txt", "job 1.txt", "text/plain"),
    ("wait.ics", "wait.ics", "text/calendar"),
    ("a/b\\c:d?.txt", "a-b-c-d-.txt", "text/plain"), ("../.hidden.txt", "-.hidden.txt", "text/plain"),
    ("", "fillmark.txt", "text/plain"),
])
def test_without_a_share_sheet_the_file_is_downloaded_whole(
    page: Page, tmp_path: Path, name: str, kept: str, kind: str,
) -> None:
    page.goto("")
    assert page.evaluate("typeof navigator.share") == "undefined", "it has a share sheet: test it with that"
    before = page.evaluate("document.body.childElementCount")
    with page.expect_download() as caught:
        assert share(page, "m.give(...a)", [name, TEXT, kind]) == "saved"
    assert caught.value.suggested_filename == kept
    caught.value.save_as(tmp_path / "file")
    assert (tmp_path / "file").read_bytes() == TEXT.encode()
    assert page.evaluate("document.body.childElementCount") == before
    assert words(page, "saved", name) == f"{kept} was sent to this phone's downloads. Check that it is there."


# A stand-in for the share sheet: it takes the types listed, and answers as told.
SHEET = """([types, answer]) => {
  globalThis.sheet = []
  navigator.canShare = ({ files }) => files.every((one) => types.includes(one.type))
  navigator.share = async ({ files }) => {
    sheet.push([files[0].name, files[0].type, await files[0].text(), navigator.userActivation.isActive])
    if (answer) throw answer === 'TypeError' ? new TypeError('no') : new DOMException('no', answer)
  }
}"""


@pytest.mark.parametrize(("types", "kind", "sent"), [
    (["text/plain"], "application/x-ndjson", (f"{NAME}.txt", "text/plain")),
    (["application/x-ndjson", "text/plain"], "application/x-ndjson", (NAME, "application/x-ndjson")),
    (["text/calendar"], "text/calendar", (NAME, "text/calendar")),
])
def test_the_share_sheet_gets_the_file_as_it_takes_it(
    page: Page, types: list[str], kind: str, sent: tuple[str, str],
) -> None:
    page.goto("")
    page.evaluate(SHEET, [types, ""])
    assert share(page, "m.give(...a)", [NAME, TEXT, kind]) == "shared"
    assert page.evaluate("sheet") == [[*sent, TEXT, True]]
    assert words(page, "shared") == f"{NAME} was handed over. Check that it arrived."


def test_a_calendar_file_is_never_shared_as_text(page: Page) -> None:
    page.goto("")
    page.evaluate(SHEET, [["text/plain"], ""])
    with page.expect_download() as caught:
        assert share(page, "m.give(...a)", ["wait.ics", TEXT, "text/calendar"]) == "saved"
    assert caught.value.suggested_filename == "wait.ics" and page.evaluate("sheet") == []


@pytest.mark.parametrize(("answer", "given", "says"), [
    ("AbortError", "cancelled", "was NOT handed over: the share sheet was closed."),
    ("NotAllowedError", "refused", "was NOT handed over. Tap again, or copy the text."),
    ("InvalidStateError", "refused", "was NOT handed over. Tap again, or copy the text."),
])
def test_a_file_that_was_not_handed_over_is_never_called_so(page: Page, answer: str, given: str, says: str) -> None:
    page.goto("")
    downloads: list[Any] = []
    page.on("download", lambda one: downloads.append(one))
    page.evaluate(SHEET, [["text/plain"], answer])
    assert share(page, "m.give(...a)", [NAME, TEXT, "text/plain"]) == given
    assert words(page, given) == f"{NAME} {says}"
    page.wait_for_timeout(200)
    assert downloads == [] and page.evaluate("sheet.length") == 1


@pytest.mark.parametrize("answer", ["DataError", "TypeError"])
def test_a_sheet_that_breaks_leaves_the_download(page: Page, answer: str) -> None:
    page.goto("")
    page.evaluate(SHEET, [["text/plain"], answer])
    with page.expect_download():
        assert share(page, "m.give(...a)", [NAME, TEXT, "text/plain"]) == "saved"


def test_an_app_where_a_download_is_a_trap_does_not_download(page: Page) -> None:
    page.goto("")
    downloads: list[Any] = []
    page.on("download", lambda one: downloads.append(one))
    page.evaluate("Object.defineProperty(navigator, 'standalone', { value: true })")  # stands in for such a phone
    assert share(page, "m.give(...a)", [NAME, TEXT, "text/plain"]) == "refused"
    page.wait_for_timeout(200)
    assert downloads == []


def pasted(page: Page) -> str:
    """Paste by the keyboard into a box of the page, as a user does."""
    page.evaluate("""() => {
      const box = Object.assign(document.createElement('textarea'), { id: 'test-paste' })
      document.querySelector('main').prepend(box)
      box.focus()
    }""")
    page.keyboard.press("Control+V")
    return page.locator("#test-paste").input_value()


def test_text_is_copied(page: Page) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.goto("")
    assert share(page, "m.copy(a)", TEXT) == {"copied": True, "says": "Copied."}
    assert pasted(page) == TEXT


def test_a_copy_that_no_way_takes_is_said(page: Page) -> None:
    page.goto("")
    page.evaluate("""() => {  // as a browser that forbids both
      navigator.clipboard.writeText = async () => { throw new DOMException('no', 'NotAllowedError') }
      document.execCommand = () => false
    }""")
    assert share(page, "m.copy(a)", TEXT) == {
        "copied": False, "says": "NOT copied. Select the text and copy it by hand."}


def test_on_plain_http_what_is_missing_is_said_and_the_rest_works(
    playwright: Playwright, chromium_path: str, served: SiteServer, tmp_path: Path,
) -> None:
    name = "http://phone.test"  # a name of the local network, so not a secure place
    flags = [*browsers.FLAGS, "--host-resolver-rules=MAP phone.test 127.0.0.1"]
    browser = playwright.chromium.launch(executable_path=chromium_path, args=flags)
    try:
        page = browser.new_page(viewport=PHONE)
        faults = watch(page, f"{name}:{served.port}")
        page.goto(f"{name}:{served.port}/")
        assert page.evaluate("[isSecureContext, 'wakeLock' in navigator, 'clipboard' in navigator]") == [False] * 3
        said = page.evaluate("""async () => {
          const { keepAwake } = await import(new URL('./js/phone/awake.js', document.baseURI).href)
          const said = []
          keepAwake((...state) => said.push(state)).stop()
          return said
        }""")
        assert said[0] == ["This phone may switch the screen off: keeping it on needs https. "
                           "Set a longer screen time in the phone's settings.", False]
        assert share(page, "m.copy(a)", TEXT) == {"copied": True, "says": "Copied."}
        assert page.evaluate("document.querySelectorAll('textarea').length") == 0
        assert pasted(page) == TEXT
        with page.expect_download() as caught:
            assert share(page, "m.give(...a)", [NAME, TEXT, "text/plain"]) == "saved"
        caught.value.save_as(tmp_path / "file")
        assert (tmp_path / "file").read_bytes() == TEXT.encode()
        assert faults == []
    finally:
        browser.close()
