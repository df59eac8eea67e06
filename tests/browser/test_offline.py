"""Stored once, then the host is stopped and the browser started again: everything must open and answer.

Run at the root of a host and below two depths of path, with the same output.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from html import escape
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

import facts
from browser.test_print import read, started
from fillmark.render.precache import is_core
from harness import SiteServer, Stored, open_profile, site_pages, watch
from jobs import Worker

NEIGHBOURS_IN = """async names => { for (const name of names) {
  await (await caches.open(name)).put('/elsewhere/', new Response('theirs'))
  await new Promise((done, failed) => {
    const asked = indexedDB.open(name)
    asked.onupgradeneeded = () => asked.result.createObjectStore('things').put('theirs', 1)
    asked.onerror = failed
    asked.onsuccess = () => { asked.result.close(); done() }
  })
} }"""
THEIRS = """names => Promise.all(names.map(async name => [
  await (await caches.match('/elsewhere/', { cacheName: name })).text(),
  await new Promise((done) => { indexedDB.open(name).onsuccess = ({ target: { result: db } }) => {
    const asked = db.transaction('things').objectStore('things').get(1)
    asked.onsuccess = () => { db.close(); done(asked.result) }
  } })]))"""
NEIGHBOURS = ["another program's cache", "fillmark /elsewhere/ 0123"]  # other programs below the same host name


class Phone:
    """A browser that stored the site at `base` while there was signal, and has none now."""

    def __init__(self, server: SiteServer, context: BrowserContext) -> None:
        self.server, self.context = server, context
        self.page = context.new_page()
        # Without signal the browser's look for a newer worker fails, and it says so in the console.
        self.faults = watch(self.page, server.origin, quiet=("/sw.js",))

    def open(self, path: str) -> Page:
        """Open a page, which must come from the store: status 200 and a heading."""
        answer = self.page.goto(self.server.url + path, wait_until="domcontentloaded")
        assert answer is not None and answer.from_service_worker, path
        assert answer.status == 200, path
        assert self.page.locator("h1").count() == 1, path
        return self.page


@contextmanager
def below(base: str, playwright: Playwright, chromium_path: str, dist: Path, profile: Path) -> Iterator[Phone]:
    with SiteServer(dist, base) as server:
        context = open_profile(playwright, profile, chromium_path)
        page = context.new_page()
        faults = watch(page, server.origin)
        page.goto(server.url)
        page.evaluate(NEIGHBOURS_IN, NEIGHBOURS)
        expect(page.locator("[data-module=offline]")).to_have_text("Ready for no signal", timeout=30_000)
        assert faults == []
        context.close()
        server.stop()
        server.hits.clear()
        context = open_profile(playwright, profile, chromium_path, base_url=server.url)
        yield Phone(server, context)
        context.close()


@pytest.fixture(scope="module")
def phone(
    playwright: Playwright, chromium_path: str, stored_site: Stored, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Phone]:
    profile = stored_site.copy(tmp_path_factory.mktemp("phone"))
    context = open_profile(playwright, profile, chromium_path)
    phone = Phone(stored_site.server, context)
    phone.open("")
    phone.page.evaluate(NEIGHBOURS_IN, NEIGHBOURS)
    yield phone
    context.close()


@pytest.mark.parametrize("base", ["/", "/a/b/"])
def test_story_10_the_same_output_works_below_any_path(
    playwright: Playwright, chromium_path: str, dist: Path, tmp_path: Path, base: str
) -> None:
    """The worker takes every path the same way below any root: all pages at one root below, every twelfth here.

    A card's code has the address that the site was built for, a job's that of the host it came from.
    """
    with below(base, playwright, chromium_path, dist, tmp_path / "profile") as phone:
        for path in site_pages(dist)[::12]:
            phone.open(path)
        facts.card_shows_its_numbers(phone.open(facts.CARD))
        started(phone.page)
        assert read(phone.page.pdf(format="A4")) == ["https://fillmark.example/" + facts.CARD]
        facts.look_up_answers(phone.open("look-up/"))
        facts.calculator_answers(phone.open("work-out/volumes/"), "volumes")
        Worker(phone.page).begin("p01/thornback/rear-axle", "112410", "gasket")
        assert read(phone.page.pdf(format="A4")) == [phone.server.url + facts.CARD]
        told = manifest(phone)
        assert told["start"] == told["scope"] == phone.server.url and told["sizes"][1:] == told["said"][1:]
        what_neighbours_keep(phone)
        assert phone.faults == [] and phone.server.hits.total() == 0


@pytest.fixture(autouse=True)
def no_fault_and_no_request_got_through(request: pytest.FixtureRequest) -> Iterator[None]:
    if "phone" not in request.fixturenames:
        yield
        return
    phone = request.getfixturevalue("phone")
    phone.faults.clear()
    yield
    assert phone.faults == []
    assert phone.server.hits.total() == 0


def test_the_host_is_really_gone(phone: Phone) -> None:
    phone.open("")
    assert phone.page.evaluate("fetch('none.txt').then(answer => answer.status)") == 504
    phone.faults.clear()  # that request was meant to fail


def test_every_page_opens(phone: Phone, dist: Path) -> None:
    """All of them come from the store to the letter; every fifth is opened, one of each kind among them."""
    phone.open("")
    paths = site_pages(dist)
    bodies = phone.page.evaluate(
        "paths => Promise.all(paths.map(async path => { const got = await fetch(path);"
        " return got.status === 200 && got.redirected === false && await got.text() }))", paths)
    titles = set()
    for path, body in zip(paths, bodies, strict=True):
        assert body == (dist / path / "index.html").read_text("utf-8"), path
        titles.add(body.partition("<title>")[2].partition("</title>")[0])
    assert len(titles) == len(paths) > 100
    for path in paths[::5]:
        page = phone.open(path)
        assert page.evaluate("document.styleSheets.length && document.styleSheets[0].cssRules.length") > 20, path
        assert page.locator("h1").inner_text().strip(), path
    expect(phone.page.locator("[data-module=offline]")).to_have_text("Ready for no signal")


def test_story_9_every_page_opens_by_the_other_ways_to_write_its_address(phone: Phone, dist: Path) -> None:
    """Every page comes from the store to the letter, each by one way; every sixth is opened, and one by all ways."""
    ways = ["{}?x=1", "{}?utm_source=a&b=c#step-3", "{}#step-3", "{}index.html", "{}index.html?x=1#y", "{slashless}",
            "{slashless}?x=1#step-3"]
    pages = [path for path in site_pages(dist) if path]  # the root has no slash-less form below its own path
    asked = [ways[index % len(ways)].format(path, slashless=path.rstrip("/")) for index, path in enumerate(pages)]
    bodies = phone.open("").evaluate(
        "paths => Promise.all(paths.map(async path => { const got = await fetch(path);"
        " return got.status === 200 && await got.text() }))", asked)
    assert [way for path, way, body in zip(pages, asked, bodies, strict=True)
            if body != (dist / path / "index.html").read_text("utf-8")] == []
    tries = [(path, ways[index % len(ways)]) for index, path in enumerate(pages[::6])]
    for path, way in tries + [(facts.PAGE, way) for way in ways]:
        phone.page.goto("about:blank")  # so that a new #fragment alone loads the page too
        opened = phone.open(way.format(path, slashless=path.rstrip("/")))
        assert f"<title>{escape(opened.title())}</title>" in (dist / path / "index.html").read_text(), way
        assert opened.evaluate("document.styleSheets[0].cssRules.length") > 20, way


def test_story_11_an_address_that_the_host_redirects_opens_too(phone: Phone, served: SiteServer) -> None:
    """A browser takes no answer for a page that was itself redirected, so none may be kept or given."""
    host = HTTPConnection("127.0.0.1", served.port, timeout=5)
    host.request("GET", "/" + facts.PAGE.rstrip("/"))
    said = host.getresponse()
    host.close()
    assert (said.status, said.getheader("Location")) == (301, "/" + facts.PAGE), "a host redirects it"
    for query in ("", "?for=thornback/rear-axle"):
        opened = phone.open(facts.PAGE.rstrip("/") + query)
        assert opened.url == phone.server.url + facts.PAGE + query
    facts.card_shows_its_numbers(phone.page)
    assert phone.page.evaluate(
        """async () => { let redirected = 0, kept = 0
          for (const name of await caches.keys()) {
            for (const answer of await (await caches.open(name)).matchAll()) {
              kept += 1
              redirected += answer.redirected || answer.status !== 200
            }
          }
          return [redirected, kept > 100] }""") == [0, True]


def test_what_a_job_is_done_with_is_there(phone: Phone, dist: Path) -> None:
    phone.open("")
    names = sorted(path.relative_to(dist).as_posix() for path in dist.glob("data/*/*.json"))
    assert len(names) >= 7
    told = phone.page.evaluate(
        "names => Promise.all(names.map(async name => { const got = await fetch(name);"
        " return [got.status, got.headers.get('content-type'), JSON.stringify(await got.json())] }))", names)
    for name, (status, kind, text) in zip(names, told, strict=True):
        assert (status, kind) == (200, "application/json"), name
        assert json.loads(text) == json.loads((dist / name).read_bytes()), name


def test_the_card_shows_its_numbers(phone: Phone) -> None:
    facts.card_shows_its_numbers(phone.open(facts.CARD))


def test_the_look_up_answers(phone: Phone) -> None:
    facts.look_up_answers(phone.open("look-up/"))


@pytest.mark.parametrize("name", facts.ANSWERS)
def test_the_calculator_answers(phone: Phone, name: str) -> None:
    facts.calculator_answers(phone.open(f"work-out/{name}/"), name)


def manifest(phone: Phone) -> dict[str, Any]:
    """Return what the manifest says, its icons decoded."""
    phone.open("cards/")
    return dict(phone.page.evaluate(
        "async () => { const link = document.querySelector('link[rel=manifest]').href;"
        " const found = await (await fetch(link)).json();"
        " const sizes = []; for (const icon of found.icons) {"
        "   const image = new Image(); image.src = new URL(icon.src, link); await image.decode();"
        "   sizes.push(`${image.naturalWidth}x${image.naturalHeight}`) }"
        " return {start: new URL(found.start_url, link).href, scope: new URL(found.scope, link).href,"
        "   sizes, said: found.icons.map(icon => icon.sizes)} }"))


def test_the_manifest_and_its_icons_are_there(phone: Phone) -> None:
    told = manifest(phone)
    assert told["start"] == told["scope"] == phone.server.url
    assert told["sizes"][1:] == told["said"][1:] == ["192x192", "512x512", "512x512"]


@pytest.mark.parametrize("path", ["none", "none/", "cards/none/at/all/", "cards/p01/none.html?x=1"])
def test_an_unknown_address_is_the_page_that_says_so(phone: Phone, path: str) -> None:
    answer = phone.page.goto(phone.server.url + path)
    assert answer is not None and answer.status == 404
    home = phone.page.get_by_role("link", name="Today").last
    assert home.evaluate("link => link.href") == phone.server.url
    assert phone.page.evaluate("document.styleSheets[0].cssRules.length") > 20
    phone.faults[:] = [fault for fault in phone.faults if "status of 404" not in fault]


KEPT = """async names => {
  const out = {}
  for (const name of names) {
    const cache = await caches.open(name)
    for (const key of await cache.keys()) {
      const answer = await cache.match(key)
      out[key.url] = [answer.headers.get('fillmark-packed'), (await answer.arrayBuffer()).byteLength]
    }
  }
  return out
}"""


def test_what_is_kept_is_packed_and_fits_a_full_phone(phone: Phone, dist: Path) -> None:
    """Text beyond the core lies packed; the budget is 1.5 MB for the whole site. A picture is packed by itself."""
    ours = [name for name in phone.page.evaluate("caches.keys()") if name not in NEIGHBOURS]
    kept = phone.page.evaluate(KEPT, ours)
    # One more: ?activated. What only hosts read, `_headers` and `.nojekyll`, is not kept.
    assert len(kept) == sum(1 for path in dist.rglob("[!._]*") if path.is_file() and path.name != "sw.js") + 1
    plain = {url.removeprefix(phone.server.url) for url, (how, _) in kept.items() if how is None}
    assert plain == {path for path in (url.removeprefix(phone.server.url) for url in kept)
                     if is_core(path) or path.endswith((".png", "?activated"))}  # every page waits for the core
    total, raw = sum(size for _, size in kept.values()), sum(path.stat().st_size for path in dist.rglob("*.*"))
    assert total < 1_480_000 and total < 0.7 * raw


def test_caches_and_databases_of_neighbours_are_untouched(phone: Phone) -> None:
    what_neighbours_keep(phone)


def what_neighbours_keep(phone: Phone) -> None:
    phone.open("")
    assert phone.page.evaluate(THEIRS, NEIGHBOURS) == [["theirs", "theirs"]] * 2, "a cache and a database of each"
    own = {name for name in phone.page.evaluate("caches.keys()") if name not in NEIGHBOURS}
    [version] = own - {f"second fillmark {phone.server.base}"}  # the second copy, once a job was begun
    assert version.startswith(f"fillmark {phone.server.base} ")
