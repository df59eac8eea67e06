"""What the tests of the backup page share: the store behind it, and a file picked on it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

DATA = "async () => (await import(new URL('../js/store.js', location.href))).exportAll({ photos: true })"


def on_store(page: Page, body: str, arg: Any = None) -> Any:
    """Run `body` on the page `backup/`; it has `store` and `arg`."""
    if not page.url.endswith("/backup/"):
        page.goto("backup/")
    load = "const store = await import(new URL('../js/store.js', location.href))"
    return page.evaluate("async (arg) => { " + load + "; " + body + " }", arg)


def kept(page: Page) -> list[str]:
    """Return every record that is stored, as text, but for the notes of this phone alone."""
    page.goto("backup/")
    lines = str(page.evaluate(DATA)).split("\n")
    return sorted(line for line in lines if line.startswith('{"store":') and not line.startswith('{"store":"notes"'))


def own_log(dist: Path, count: int) -> list[dict[str, Any]]:
    """Return entries as typed by hand: those of the demo log, as one's own."""
    records = json.loads((dist / "data/logs/demo.json").read_text("utf-8"))[:count]
    for one in records:
        one["entry"].update(demo=False)
    return list(records)


def pick(page: Page, text: str, name: str = "backup.txt") -> None:
    page.locator("#backup-file").set_input_files({"name": name, "mimeType": "", "buffer": text.encode()})


def wipe(page: Page) -> None:
    """Take away what is kept on the phone: the database and its second copy. What is stored of the site stays."""
    page.goto("manifest.webmanifest")
    page.evaluate("""async () => {
      for (const { name } of await indexedDB.databases())
        await new Promise((done) => { indexedDB.deleteDatabase(name).onsuccess = done })
      for (const name of await caches.keys()) if (name.startsWith('second ')) await caches.delete(name)
    }""")
