"""All other hosts of the world in one: whatever a browser asks of another host than this machine arrives here.

A page's own events tell of no request of a service worker, and of none that goes ahead of a link. A proxy gets them
all, those of the browser for itself too, which no switch keeps at home: its maker's hosts are let out of the list, and
`test_elsewhere.py` holds that no file of the site names them.
"""

from __future__ import annotations

import re
import socketserver
import threading

BROWSERS_OWN = re.compile(r"(google|googleapis|gstatic|gvt1)\.com")


class Elsewhere:
    """A proxy for a browser started with `flag`: it gives every request the answer 502 and keeps its first line."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self._server = socketserver.ThreadingTCPServer(("127.0.0.1", 0), self._handler(), bind_and_activate=True)
        self._server.daemon_threads = True

    @property
    def flag(self) -> str:
        """What a browser is started with: addresses of this machine it asks itself, all others here."""
        return f"--proxy-server=http://127.0.0.1:{self._server.server_address[1]}"

    def _handler(self) -> type[socketserver.StreamRequestHandler]:
        asked = self.asked

        class Handler(socketserver.StreamRequestHandler):
            def handle(self) -> None:
                line = self.rfile.readline(2000).decode("latin-1").strip()
                if line:
                    if not BROWSERS_OWN.search(line.split("?")[0]):
                        asked.append(line)
                    self.wfile.write(b"HTTP/1.1 502 Bad Gateway\r\nContent-Length: 0\r\nConnection: close\r\n\r\n")

        return Handler

    def __enter__(self) -> Elsewhere:
        threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()
