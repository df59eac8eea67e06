"""A tab that can go out of view, as when a phone shows another app."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import Browser, Page


class Tab:
    """A page that is really hidden when another tab comes in front, unlike a page that Playwright drives.

    Playwright tells its pages that they are always in view; this one it does not know.
    """

    def __init__(self, browser: Browser, clock: Page, url: str) -> None:
        self.cdp, self.clock, self.said = browser.new_browser_cdp_session(), clock, dict[int, Any]()
        self.cdp.on("Target.receivedMessageFromTarget", self._hear)
        self.context = self.cdp.send("Target.createBrowserContext")["browserContextId"]
        self.target = self.open(url)
        self.session = self.cdp.send("Target.attachToTarget", {"targetId": self.target, "flatten": False})["sessionId"]
        self.asked = 0
        # A new tab is complete on its blank page too, before it has gone anywhere.
        self.until("[document.readyState, location.href]", ["complete", url])

    def open(self, url: str) -> str:
        wanted = {"url": url, "browserContextId": self.context}
        return str(self.cdp.send("Target.createTarget", wanted)["targetId"])

    def _hear(self, event: Any) -> None:
        message = json.loads(event["message"])
        if "id" in message:
            self.said[message["id"]] = message

    def run(self, code: str) -> Any:
        self.asked += 1
        wanted = {"expression": code, "awaitPromise": True, "returnByValue": True}
        message = json.dumps({"id": self.asked, "method": "Runtime.evaluate", "params": wanted})
        self.cdp.send("Target.sendMessageToTarget", {"sessionId": self.session, "message": message})
        for _ in range(200):
            if self.asked in self.said:
                answer = self.said[self.asked]["result"]
                assert "exceptionDetails" not in answer, answer
                return answer["result"].get("value")
            self.clock.wait_for_timeout(20)
        raise AssertionError(f"no answer to {code}")

    def until(self, code: str, value: object) -> None:
        for _ in range(200):
            if self.run(code) == value:
                return
            self.clock.wait_for_timeout(20)
        assert self.run(code) == value

    def look_elsewhere(self, url: str) -> None:
        """Go to another tab and come back."""
        other = self.open(url)
        self.until("document.visibilityState", "hidden")
        self.cdp.send("Target.closeTarget", {"targetId": other})
        self.until("document.visibilityState", "visible")

    def press(self, words: str) -> None:
        """Press the button that begins with these words, as soon as it is there."""
        find = f"[...document.querySelectorAll('button')].find(one => one.textContent.startsWith('{words}'))"
        self.until(f"Boolean({find})", True)
        self.run(f"{find}.click()")

    def type(self, name: str, value: str) -> None:
        """Type into the box of this id, as soon as it is there."""
        self.until(f"Boolean(document.querySelector('#{name}'))", True)
        self.run(f"document.querySelector('#{name}').focus(), document.execCommand('insertText', false, '{value}')")

    def close(self) -> None:
        self.cdp.send("Target.disposeBrowserContext", {"browserContextId": self.context})
        self.cdp.detach()
