"""A site deployed again and again, and a phone that has an older version of it."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from conftest import build_site
from fillmark.render import headers, precache
from harness import ROOT, SiteServer, Stored, open_profile

OLD, NEW = "the home four-wheel-drive mechanic", "the mechanic who deployed again"
HEAD = "name: Fillmark{}\ntagline: Job cards, capacities and torques for {}"
NEIGHBOUR = "fillmark /elsewhere/ 0123"  # another program's cache
PARTS = {name: (ROOT / "site_src" / name).read_bytes() for name in precache.PARTS}
# Ask the worker of a page something, and return all that comes on the port.
ASKED = """type => new Promise((resolve) => {
  const { port1, port2 } = new MessageChannel()
  const told = []
  port1.onmessage = ({ data }) => { told.push(data); if (data.done || typeof data === 'string') resolve(told) }
  navigator.serviceWorker.controller.postMessage({ type }, [port2])
})"""


def rebuilt(tmp: Path, file: str, old: str, new: str, site_src: Path = ROOT / "site_src") -> Path:
    """Return the site built from a copy of the content in which one text was changed."""
    shutil.copytree(ROOT / "content", tmp / "content")
    changed = tmp / "content" / file
    assert old in changed.read_text(), f"{file} no longer says: {old}"
    changed.write_text(changed.read_text().replace(old, new))
    return build_site(tmp / "dist", tmp / "content", site_src)


def renamed(tmp: Path) -> Path:
    """Return a copy of site_src in which the scripts of a job and of the phone's means have other names."""
    copy = Path(shutil.copytree(ROOT / "site_src", tmp / "site_src"))
    js = copy / "js"
    scripts = [*(js / "job").glob("*.js"), *(js / "phone").glob("*.js")]
    moved = {path: path.with_stem(path.stem + "-2") for path in scripts}
    for path in js.rglob("*.js"):
        def name(found: re.Match[str], path: Path = path) -> str:
            target = Path(os.path.normpath(path.parent / found[1]))
            return f"'{found[1].removesuffix('.js')}-2.js'" if target in moved else found[0]

        path.write_text(re.sub(r"'(\.[^'\n]*\.js)'", name, path.read_text("utf-8")), "utf-8")
    for old, new in moved.items():
        old.rename(new)
    return copy


def redeployed(site: Path, tmp: Path, path: str, change: Callable[[bytes], bytes]) -> Path:
    """Return a copy of a built site with one file changed, and the worker's list made anew as the build makes it."""
    copy = Path(shutil.copytree(site, tmp / "dist"))
    (copy / path).write_bytes(change((copy / path).read_bytes()))
    files = {one.relative_to(copy).as_posix(): one.read_bytes() for one in copy.rglob("*") if one.is_file()}
    files = {name: body for name, body in files.items() if name not in headers.files()}  # for hosts, never kept
    (copy / "sw.js").write_bytes(precache.files(files, PARTS)["sw.js"])
    return copy


def version(site: Path) -> str:
    """Return what the page shows as the version of a built site."""
    [found] = re.findall(r"^const VERSION = '([0-9a-f]{16})';$", (site / "sw.js").read_text(), flags=re.M)
    return str(found[:8])


class Phone:
    """A browser with the first version stored, on a host that can change what it serves."""

    def __init__(self, server: SiteServer, start: Callable[[], BrowserContext]) -> None:
        self.server, self.start = server, start
        self.restart()

    def restart(self) -> None:
        """Close every tab and the browser, and start it again."""
        if hasattr(self, "context"):
            self.context.close()
        self.context = self.start()
        self.page: Page = self.context.new_page()
        self.state = self.page.locator("[data-module=offline]")

    def caches(self) -> list[str]:
        """Return the names of the caches that hold the site's files."""
        names = [str(name) for name in self.page.evaluate("caches.keys()")]
        return [name for name in names if name.startswith(f"fillmark {self.server.base} ")]

    def tagline(self) -> str:
        """Return what the start page says, which is open."""
        return str(self.page.locator("meta[name=description]").get_attribute("content"))

    def comes_into_view(self, page: Page | None = None) -> None:
        """The phone is taken out of the pocket: the page looks for a new version."""
        (page or self.page).evaluate("document.dispatchEvent(new Event('visibilitychange'))")

    def stop_workers(self) -> None:
        """Stop the service worker, as a phone does between two events."""
        devtools = self.context.new_cdp_session(self.page)
        devtools.send("ServiceWorker.enable")
        devtools.send("ServiceWorker.stopAllWorkers")
        devtools.detach()


def phone_of(stored: Stored, playwright: Playwright, path: str, tmp: Path) -> Iterator[Phone]:
    """Yield a phone that has the first version stored, and another program's cache; the host is there again."""
    server, own, first = stored.server, stored.copy(tmp), stored.server.folder
    phone = Phone(server.start(), lambda: open_profile(playwright, own, path, base_url=server.url))
    phone.page.goto(server.url + "manifest.webmanifest")
    phone.page.evaluate(f"caches.open('{NEIGHBOUR}')")
    yield phone
    phone.context.close()
    server.stop()
    server.folder, server.poison = first, {}
