"""Taking a backup in while things go wrong: a page closed in the middle, no room. And the page for eyes and thumbs."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path

from playwright.sync_api import Page, expect

import backups
from backuppage import on_store, own_log, pick
from browser.test_access import CONTRAST, RULES, SMALL, WIDE
from conftest import Opener
from harness import Handsets, SiteServer
from storing import set_room


def test_a_page_closed_while_it_takes_in_leaves_all_or_nothing(
    handsets: Handsets, dist: Path
) -> None:
    context = handsets.take()
    record = own_log(dist, 1)[0]
    many = [{**record, "id": f"m{n}", "entry": {**record["entry"], "id": f"m{n}"}} for n in range(400)]
    photos = [backups.photo(f"p{n}", f"m{n}", backups.JPEG * 100) for n in range(60)]
    text = backups.text({"log": many, "photos": photos})
    seen = set()
    after = context.new_page()
    after.goto("404.html")
    for wait in (0, 8, 16, 30, 60, 20_000):
        page = context.new_page()
        page.goto("404.html")
        page.evaluate("""async ([text, wait]) => {
          const { look, takeIn } = await import('./js/backup/look.js')
          const looked = await look(text)
          const cut = new Promise((done) => setTimeout(done, wait))
          await Promise.race([takeIn(looked), cut]) }""", [text, wait])
        page.close()
        count = after.evaluate("""async () => {
          const store = await import('./js/store.js')
          const { log, photos } = await store.stored()
          for (const { name } of await indexedDB.databases()) {
            await new Promise((done) => { indexedDB.deleteDatabase(name).onsuccess = done })
          }
          return [log.length, photos.length] }""")
        assert count in ([0, 0], [400, 60]), f"half of it after {wait} ms: {count}"
        seen.add(count[0])
    after.close()
    assert seen == {0, 400}, "closed too early or too late every time"


def test_no_room_is_said_and_nothing_is_taken_in(profile: Opener, served: SiteServer, dist: Path) -> None:
    page = profile().new_page()
    page.goto(served.url + "backup/")
    expect(page.locator(".facts").first).to_be_visible()
    page.context.close()
    page = profile().new_page()
    page.goto(served.url + "about/")
    set_room(page, served.origin, 1)
    page.goto(served.url + "backup/")
    pick(page, backups.text({"log": own_log(dist, 5)}))
    page.locator("[data-take]").click()
    expect(page.locator("section .refused")).to_contain_text("no room left")
    expect(page.locator("section .refused")).to_contain_text("Nothing was taken in.")
    set_room(page, served.origin, None)
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text("Taken in and read back. 5 log entries.")


def test_a_picture_that_the_phone_lost_comes_back_from_the_file(
    profile: Opener, served: SiteServer, dist: Path, tmp_path: Path
) -> None:
    """Browsers keep pictures in files of their own beside the database, and such a file may be gone."""
    entry = own_log(dist, 1)[0]
    text = backups.text({"log": [entry], "photos": [backups.photo("p", entry["id"], backups.JPEG * 300)]})
    page = profile().new_page()
    page.goto(served.url + "backup/")
    pick(page, text)
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text("Taken in and read back. 1 log entry, 1 photo.")
    page.context.close()
    files = [one for one in tmp_path.rglob("*.indexeddb.blob/**/*") if one.is_file()]
    assert files, "the browser keeps its pictures elsewhere now: look for them there"
    for one in files:
        one.unlink()
    page = profile().new_page()
    page.goto(served.url + "backup/")
    pick(page, text)
    expect(page.locator("section .sums")).to_have_text("Adds 1, already here 1, in place of older ones 0, conflicts 0.")
    page.locator("[data-take]").click()
    expect(page.locator("section [role=alert]")).to_have_text("Taken in and read back. 1 photo.")
    assert page.evaluate("""async () => (await (await import('../js/store.js')).exportAll({ photos: true }))
      .includes('data:image/jpeg')""")


def test_the_page_is_readable_and_big_enough_with_a_conflict_on_it(page: Page, dist: Path) -> None:
    first = own_log(dist, 1)[0]
    on_store(page, "await store.addToLog(arg)", first)
    other = json.loads(json.dumps(first))
    other["entry"]["fluid"] = "another oil"
    page.goto("backup/")
    page.get_by_text("Or paste its text").click()
    pick(page, backups.text({"log": [other], "photos": [backups.photo("p", first["id"])]}))
    expect(page.locator("[data-take]")).to_be_visible()
    page.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text())
    for width, scheme, rules in ((320, "light", RULES), (412, "dark", CONTRAST)):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        told = page.evaluate("rules => axe.run(document, rules)", rules)
        said = [f"{one['id']}: {node['html'][:120]}" for one in told["violations"] for node in one["nodes"]]
        assert said == [], f"{width} px, {scheme}"
        assert page.evaluate(SMALL, 48) == [] and page.evaluate(WIDE) == []
