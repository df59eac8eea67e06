"""What browser tests share: a static host that can be stopped, counted and poisoned, and the faults of a page."""

from __future__ import annotations

import json
import random
import shutil
import socket
import ssl
import struct
import threading
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Browser, BrowserContext, CDPSession, ConsoleMessage, Page, Playwright, Request

import chromium
from fillmark import serve

ROOT = Path(__file__).resolve().parents[1]
PHONE = {"width": 412, "height": 900}
LONDON = {"viewport": {"width": 360, "height": 760}, "locale": "en-GB", "timezone_id": "Europe/London"}

POISONS = ("html", "empty", "redirect", "cut", "missing", "reset", "flipped")


class SiteServer:
    """Serves a built folder below a base path, as a plain host would; what is outside the base is `extra`.

    `hits` counts requests by path below the base; `poison[path]` names a bad answer for it ("" is the site's
    root); `delay` is seconds before each answer. The port stays the same through stop and start. With `tls` it answers
    over https; `headers` go with every answer.
    """

    def __init__(self, folder: Path, base: str = "/", tls: ssl.SSLContext | None = None) -> None:
        assert base.startswith("/") and base.endswith("/"), base
        self.folder, self.base, self.tls, self.port = folder, base, tls, 0
        self.headers: dict[str, str] = {}
        self.hits: Counter[str] = Counter()
        self.poison: dict[str, str] = {}
        self.extra: dict[str, tuple[str, bytes]] = {}
        self.delay = 0.0
        self._server: _Server | None = None

    @property
    def origin(self) -> str:
        return f"{'https' if self.tls else 'http'}://127.0.0.1:{self.port}"

    @property
    def url(self) -> str:
        """The site's root, with the slash at its end."""
        return self.origin + self.base

    def start(self) -> SiteServer:
        assert self._server is None, "already started"
        self._server = _Server(self, self.port)
        self.port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        return self

    def stop(self) -> None:
        """Stop at once: connections kept alive are cut too, so that nothing can answer any more."""
        if self._server:
            self._server.shutdown()
            self._server.server_close()
            for connection in list(self._server.connections):
                with suppress(OSError):  # closed by the other end meanwhile
                    connection.shutdown(socket.SHUT_RDWR)  # closing alone waits for the thread that reads from it
            self._server = None

    def __enter__(self) -> SiteServer:
        return self.start()

    def __exit__(self, *_: object) -> None:
        self.stop()


class _Server(serve.Server):
    def __init__(self, site: SiteServer, port: int) -> None:
        super().__init__(site.folder, "127.0.0.1", port, site.tls)
        self.RequestHandlerClass = _Handler
        self.site = site
        self.connections: set[socket.socket] = set()

    def get_request(self) -> tuple[socket.socket, Any]:
        connection, address = super().get_request()
        self.connections.add(connection)
        return connection, address

    def shutdown_request(self, request: Any) -> None:
        self.connections.discard(request)
        super().shutdown_request(request)

    def handle_error(self, request: object, client_address: object) -> None:
        """Cut connections are what these tests are about."""


class _Handler(serve.Handler):
    def do_GET(self) -> None:  # noqa: N802 - the name that http.server calls
        site: SiteServer = self.server.site  # type: ignore[attr-defined]
        if site.delay:
            time.sleep(site.delay)
        where = urlsplit(self.path).path
        if where in site.extra:
            kind, body = site.extra[where]
            return self.reply(serve.Answer(HTTPStatus.OK, kind, body))
        if not where.startswith(site.base):
            return self.reply(serve.Answer(HTTPStatus.NOT_FOUND, "text/plain", b"outside the site"))
        path = where.removeprefix(site.base)
        site.hits[path] += 1
        said = serve.answer(site.folder, "/" + self.path.removeprefix(site.base))
        if said.location:
            said = serve.Answer(said.status, said.content_type, said.body, site.base + said.location.lstrip("/"))
        return self._bad(site.poison[path], said) if path in site.poison else self.reply(said)

    def end_headers(self) -> None:
        for name, value in self.server.site.headers.items():  # type: ignore[attr-defined]
            self.send_header(name, value)
        super().end_headers()

    def _bad(self, poison: str, said: serve.Answer) -> None:
        if poison == "html":
            self.reply(serve.Answer(200, "text/html", b"<!doctype html><title>Sign in</title><h1>Sign in</h1>"))
        elif poison == "empty":
            self.reply(serve.Answer(204, said.content_type, b""))
        elif poison == "redirect":
            self.reply(serve.Answer(302, "text/plain", b"", "/sign-in.html"))
        elif poison == "missing":
            self.reply(serve.Answer(404, "text/plain", b"not found"))
        elif poison == "flipped":  # right length, right type, one byte changed
            self.reply(serve.Answer(200, said.content_type, said.body[:-1] + bytes([said.body[-1] ^ 1])))
        elif poison == "cut":
            self.send_response(200)
            self.send_header("Content-Type", said.content_type)
            self.send_header("Content-Length", str(len(said.body)))
            self.end_headers()
            self.wfile.write(said.body[: len(said.body) // 2])
            self.close_connection = True
        elif poison == "reset":
            linger = struct.pack("ii", 1, 0)
            self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, linger)
            self.close_connection = True
            self.connection.close()
        else:
            raise ValueError(f"no such poison: {poison}")


def open_profile(playwright: Playwright, folder: Path, path: str, **options: Any) -> BrowserContext:
    """Start Chromium (at `path`) on a profile kept in `folder`, as a phone does after it was switched off."""
    flags = [*chromium.FLAGS, *options.pop("flags", ())]
    context = playwright.chromium.launch_persistent_context(
        folder, executable_path=path, args=flags, **{"viewport": PHONE, **options})
    context.set_default_timeout(20_000)
    return context


class Handsets:
    """Phones of one browser: each kind is started once, and handed on from test to test with nothing kept on it.

    Its first tab stays open, so that every other one is a tab of that window: to open a window takes longer than to
    load the page in it. The service worker is kept out: its tests have profiles of their own.
    """

    def __init__(self, browser: Browser, served: SiteServer) -> None:
        self.browser, self.served = browser, served
        self.kinds: dict[str, tuple[BrowserContext, CDPSession]] = {}

    def take(self, kind: str = "", script: str = "", **options: Any) -> BrowserContext:
        """Return the phone with these options, which runs `script` before each page; relative addresses start at the
        site. `kind` sets those apart on which a clock is put, which stays, or which a whole file holds on to."""
        key = json.dumps([kind, script, options], sort_keys=True)
        if key not in self.kinds:
            context = self.browser.new_context(
                **{"viewport": PHONE, "base_url": self.served.url, "service_workers": "block", **options})
            context.set_default_timeout(20_000)
            first = context.new_page()
            if script:
                context.add_init_script(script)
            self.kinds[key] = context, context.new_cdp_session(first)
        context, devtools = self.kinds[key]
        for left_open in context.pages[1:]:
            left_open.close()
        context.clear_permissions()
        devtools.send("Storage.clearDataForOrigin", {"origin": self.served.origin, "storageTypes": "all"})
        return context


@dataclass(frozen=True)
class Stored:
    """A host that is stopped, and the profile of a browser that stored its site while there was signal.

    The profile is for copying only. The host keeps its port, which no other one gets by chance.
    """

    server: SiteServer
    profile: Path

    def copy(self, folder: Path) -> Path:
        """Return a profile of one's own in `folder`, with the host as it was, still stopped."""
        self.server.poison.clear()
        self.server.hits.clear()
        return Path(shutil.copytree(self.profile, folder / "profile", ignore=shutil.ignore_patterns("Singleton*")))


def at_a_port_of_its_own(folder: Path, base: str, tls: ssl.SSLContext | None = None) -> SiteServer:
    """Start a host below the ports that systems give out by themselves, so that it can stop and start again."""
    for port in random.sample(range(20_000, 32_000), 50):
        server = SiteServer(folder, base, tls)
        server.port = port
        with suppress(OSError):
            return server.start()
    raise OSError("no port is free")


def watch(page: Page, origin: str, quiet: tuple[str, ...] = ()) -> list[str]:
    """Return a list that grows with every fault of the page: errors, broken policy, requests to other origins.

    The browser's own complaint that it could not load an address ending in one of `quiet` is no fault.
    """
    faults: list[str] = []

    def said(message: ConsoleMessage) -> None:
        expected = quiet and message.text.startswith("Failed to load") and message.location["url"].endswith(quiet)
        if message.type == "error" and not expected:
            faults.append(f"console: {message.text} ({message.location['url']})")

    def asked(request: Request) -> None:
        if not request.url.startswith((origin + "/", "data:", "blob:")):
            faults.append(f"request to another origin: {request.url}")

    page.on("console", said)
    page.on("pageerror", lambda error: faults.append(f"page error: {error}"))
    page.on("request", asked)
    return faults


def site_pages(dist: Path) -> list[str]:
    """Return every page of the output by its canonical path: "" for the root, "cards/p01/", …, without 404.html."""
    found = sorted(path.parent.relative_to(dist).as_posix() for path in dist.rglob("index.html"))
    return ["" if path == "." else path + "/" for path in found]
