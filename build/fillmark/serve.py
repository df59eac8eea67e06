"""The local server: the built site as a plain static host would serve it, rebuilt when a source changes.

It keeps serving the last good build while a file is wrong, and prints the problems.
"""

from __future__ import annotations

import os
import socket
import ssl
import sys
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import watchfiles

PACKAGE = Path(__file__).resolve().parent
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
}


@dataclass(frozen=True)
class Answer:
    """What the server says to one request; `location` is set for a redirect."""

    status: int
    content_type: str
    body: bytes
    location: str = ""


def answer(folder: Path, target: str) -> Answer:
    """Return the answer of a plain static host for the request target `/path?query`, seen from the site's root.

    A folder without its slash is a redirect, a folder is its index.html, anything unknown is 404.html.
    """
    parts = urlsplit(target)
    path = folder.joinpath(*(part for part in unquote(parts.path).split("/") if part))
    inside = ".." not in Path(unquote(parts.path)).parts and path.resolve().is_relative_to(folder.resolve())
    if inside and path.is_dir() and not parts.path.endswith("/"):
        query = f"?{parts.query}" if parts.query else ""
        return Answer(HTTPStatus.MOVED_PERMANENTLY, TYPES[".txt"], b"", f"{parts.path}/{query}")
    if inside and path.is_dir():
        path = path / "index.html"
    elif parts.path.endswith("/"):
        inside = False  # `/a.css/` is not `/a.css`
    if inside and path.is_file():
        return Answer(HTTPStatus.OK, TYPES.get(path.suffix, "application/octet-stream"), path.read_bytes())
    lost = folder / "404.html"
    return Answer(HTTPStatus.NOT_FOUND, TYPES[".html"], lost.read_bytes() if lost.exists() else b"Not found")


class Handler(BaseHTTPRequestHandler):
    """Answers GET and HEAD from the server's folder; the browser must ask again each time."""

    protocol_version = "HTTP/1.1"
    # Head and body go out one after the other: without this the body waits for the browser to say that the head came.
    disable_nagle_algorithm = True
    server: Server

    def do_GET(self) -> None:
        self.reply(answer(self.server.folder, self.path))

    def do_HEAD(self) -> None:
        self.reply(answer(self.server.folder, self.path), body=False)

    def reply(self, said: Answer, body: bool = True) -> None:
        self.send_response(said.status)
        self.send_header("Content-Type", said.content_type)
        self.send_header("Content-Length", str(len(said.body)))
        self.send_header("Cache-Control", "no-cache")
        if said.location:
            self.send_header("Location", said.location)
        self.end_headers()
        if body:
            self.wfile.write(said.body)

    def log_message(self, format: str, *args: object) -> None:
        """Stay quiet: the terminal is for build problems."""


class Server(ThreadingHTTPServer):
    """One folder on one port, over https where there is a certificate; every request in a thread of its own."""

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, folder: Path, host: str, port: int, tls: ssl.SSLContext | None = None) -> None:
        super().__init__((host, port), Handler)
        self.folder, self.tls = folder, tls

    def get_request(self) -> tuple[socket.socket, Any]:
        connection, address = super().get_request()
        if self.tls:  # greeted at its first read, in its own thread: one that says nothing must not hold up the others
            connection = self.tls.wrap_socket(connection, server_side=True, do_handshake_on_connect=False)
        return connection, address

    def handle_error(self, request: object, client_address: object) -> None:
        """A browser that hangs up, or does not trust us yet, is not worth a traceback; anything else is."""
        if not isinstance(sys.exc_info()[1], (ConnectionError, ssl.SSLError)):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


def serve(
    build: Callable[[], str], dist: Path, watched: Sequence[Path], host: str = "127.0.0.1", port: int = 8000, *,
    tls: ssl.SSLContext | None = None, said: str = "",
) -> int:
    """Build, serve and rebuild on change until Ctrl-C; return the exit code.

    `build()` writes `dist` and returns "", or leaves it as it was and returns the report of problems. With `tls` it is
    served over https. `said` is what the terminal says of it before the address.
    """
    try:
        server = Server(dist, host, port, tls)
    except OSError as error:
        print(taken(host, port, error, f"--port {port + 1}"), file=sys.stderr)
        return 1
    with server:
        print(_line(build(), "built"), flush=True)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        shown = f"[{host}]" if ":" in host else host.replace("0.0.0.0", "localhost")
        address = f"{'https' if tls else 'http'}://{shown}:{server.server_address[1]}/"
        print(f"{said}Serving {address}   Ctrl-C stops it.", flush=True)
        try:
            folders = [path for path in (*watched, PACKAGE) if path.exists()]
            for changes in watchfiles.watch(*folders, raise_interrupt=True):
                if any(path.endswith(".py") for _, path in changes):
                    print("The build itself changed: starting again.", flush=True)
                    server.server_close()
                    os.execv(sys.executable, sys.orig_argv)
                print(_line(build(), "rebuilt"), flush=True)
        except KeyboardInterrupt:
            print()
        server.shutdown()
    return 0


def taken(host: str, port: int, error: OSError, other: str) -> str:
    """Return the one line for a port that cannot be had; `other` is what to write instead."""
    return f"Cannot serve at {host}:{port}: {error.strerror or error}. Stop what uses it, or name another: {other}"


def _line(report: str, verb: str) -> str:
    clock = datetime.now().strftime("%H:%M:%S")
    if not report:
        return f"{clock}  {verb}"
    return f"{report.rstrip()}\n{clock}  Not {verb}: the last good build is still served."
