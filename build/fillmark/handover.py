"""`serve --phone`: the site over https on the home network, and all that a person needs to trust it and to undo that.

Beside the site stands a small page over plain http, from which the phone fetches the authority. What it gives out is
public; that it is the right one is seen by the fingerprint in the terminal.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import socket
import ssl
import sys
import threading
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from html import escape
from http import HTTPStatus
from http.server import ThreadingHTTPServer
from ipaddress import IPv4Address
from pathlib import Path
from textwrap import fill

import segno

from fillmark import certificate, serve

FILE = "fillmark-authority.crt"
TYPE = "application/x-x509-ca-cert"  # the type by which phones know a certificate to install
# Asked for the way there, which sends nothing: one address of each kind of home network, and one of the outside.
TOWARDS = ("192.168.255.254", "10.255.255.254", "172.31.255.254", "192.0.2.1")

# Title, then paragraphs; {site} {names} {fingerprint} {file} {folder} are filled in.
WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("What trusting it means", (
        "The certificate was made on this computer, and its key never leaves it. It says of itself that it counts only "
        "for {names}, and newer browsers hold it to that: it cannot speak for your bank or anybody else. An older "
        "browser may not look at that line. So keep the folder {folder} to yourself, and take the certificate away "
        "when you no longer need it.",)),
    ("Trust it", (
        "1. With the phone's own browser fetch {file}, by the link on the page that the first code opens.",
        "2. Phones whose browser has a share button at the bottom: allow the profile, open Settings, tap the profile "
        "that was loaded and install it. Then switch it on under General, About, Certificate Trust Settings.",
        "2. All other phones: open Settings, search for CA certificate, choose Install anyway and pick the file. The "
        "phone needs a screen lock for that, and will say from then on that a network might be watched. It says so of "
        "every certificate that did not come with it.",
        "3. Look at the certificate's details on the phone. Its SHA-256 fingerprint must be the one that stands in the "
        "computer's terminal, whatever a page says: {fingerprint}. If it is another, somebody else's stands there: "
        "remove it.",
        "4. Open {site}, wait for Ready for no signal, and put it on the home screen.")),
    ("Take it away", (
        "Phones of the first kind: Settings, General, the list of profiles, then remove the one called Fillmark. "
        "Other phones: Settings, search for trusted credentials, then the part called User. On this computer: remove "
        "the folder {folder}. What the phone has saved works on without it; a new version does not come.",)),
)


def run(build: Callable[[], str], dist: Path, watched: Sequence[Path], host: str, port: int, folder: Path) -> int:
    """Serve `dist` over https at `port` and the page of trust over http at `port` + 1, until Ctrl-C; return the code.

    `host` is an IPv4 address to listen on, or "" for every one of the home network. `folder` keeps the certificates.
    """
    try:
        found = [IPv4Address(host)] if host else addresses()
    except ValueError:
        return _no(f"--host {host}: with --phone it must be one IPv4 address of this computer, such as 192.168.1.20.")
    if not found:
        return _no("No network address found: this computer is on no network that a phone could share. Join it to the "
                   "home network, or name its address: --host 192.168.1.20")
    names = certificate.Names.of([*found, IPv4Address("127.0.0.1")], ["localhost", *own_name()])
    now = dt.datetime.now(dt.UTC)
    try:
        kept = certificate.kept(folder, names, socket.gethostname().partition(".")[0] or "this computer", now)
    except certificate.CertificateError as refused:
        return _no(str(refused))
    site, trust = f"https://{found[0]}:{port}/", f"http://{found[0]}:{port + 1}/"
    facts = {"site": site, "names": listed(names), "fingerprint": kept.fingerprint, "file": FILE, "folder": folder.name}
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(kept.chain, kept.key)
    answers = {
        "/": serve.Answer(HTTPStatus.OK, serve.TYPES[".html"], trust_page(facts)),
        f"/{FILE}": serve.Answer(HTTPStatus.OK, TYPE, kept.authority),
    }
    listen = host or "0.0.0.0"
    try:
        beside = Beside(answers, listen, port + 1)
    except OSError as error:
        return _no(serve.taken(listen, port + 1, error, f"--port {port + 2}"))
    with beside:
        threading.Thread(target=beside.serve_forever, daemon=True).start()
        code = serve.serve(build, dist, watched, listen, port, tls=tls, said=terminal(facts, trust, kept.new))
        beside.shutdown()
    return code


def addresses() -> list[IPv4Address]:
    """Return this computer's IPv4 addresses on the networks around it, the one most likely the home network's first."""
    found = dict[IPv4Address, None]()
    for far in TOWARDS:
        with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
            way.connect((far, 9))
            found[IPv4Address(way.getsockname()[0])] = None
    with suppress(OSError):
        found |= {IPv4Address(one[4][0]): None for one in socket.getaddrinfo(socket.gethostname(), None,
                                                                            socket.AF_INET)}
    usable = [one for one in found if not (one.is_loopback or one.is_link_local or one.is_unspecified)]
    return sorted(usable, key=lambda one: not one.is_private)


def own_name() -> list[str]:
    """Return the name by which a home network knows this computer, such as shed.local; [] where it has none."""
    name = socket.gethostname().partition(".")[0].lower()
    return [f"{name}.local"] if re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", name) else []


def listed(names: certificate.Names) -> str:
    return ", ".join([*map(str, names.addresses), *names.hosts])


def qr(text: str) -> str:
    """Return the code of `text` as lines for a terminal: black on white where the terminal writes light on dark."""
    out = io.StringIO()
    segno.make(text, error="l", micro=False).terminal(out, border=2, compact=True)
    return out.getvalue()


def terminal(facts: dict[str, str], trust: str, new: bool) -> str:
    """Return what the terminal says: both addresses with their codes, the fingerprint, and the words of the page."""
    first = ("A NEW certificate was made, and the phone must trust it once. If it trusts an older one of this "
             "computer, take that away." if new else "The certificate is the one that was made before.")
    moves = ("Give this computer a fixed address in your router: at another address the phone finds neither the site "
             "nor what you have logged there, and needs a new certificate.")
    lines = [fill(f"{first} Point the phone's camera at this code, on the same network: {trust}", 100), qr(trust)]
    for title, paragraphs in WORDS:
        lines += [title, *(fill(said.format(**facts), 100, initial_indent="  ", subsequent_indent="  ")
                           for said in paragraphs), ""]
    lines += [f"SHA-256 fingerprint, to compare: {facts['fingerprint']}", "", fill(moves, 100), "",
              f"Trusted already? The site is at {facts['site']}", qr(facts["site"])]
    return "\n".join(lines)


def trust_page(facts: dict[str, str]) -> bytes:
    """Return the page from which the phone fetches the authority; it needs no script, and asks for nothing else."""
    def paragraphs(said: Iterable[str]) -> str:
        return "".join(f"<p>{escape(one.format(**facts))}</p>" for one in said)

    sections = "".join(f"<h2>{title}</h2>{paragraphs(said)}" for title, said in WORDS)
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><title>Trust this computer</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" '
        'content="light dark"><h1>Trust this computer</h1><p>So that the phone can keep Fillmark for no signal.</p>'
        f'<p><a href="{FILE}" style="font-size:1.4em">Fetch the certificate, {FILE}</a></p>'
        f'{sections}<p><a href="{escape(facts["site"])}">Open Fillmark</a></p></html>\n'
    ).encode()


class Beside(ThreadingHTTPServer):
    """The few answers beside the site, by path, over plain http."""

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, answers: dict[str, serve.Answer], host: str, port: int) -> None:
        super().__init__((host, port), BesideHandler)
        self.answers = answers


class BesideHandler(serve.Handler):
    def do_GET(self) -> None:  # noqa: N802 - the name that http.server calls
        self.reply(self._answer())

    def do_HEAD(self) -> None:  # noqa: N802
        self.reply(self._answer(), body=False)

    def _answer(self) -> serve.Answer:
        assert isinstance(self.server, Beside)
        lost = serve.Answer(HTTPStatus.NOT_FOUND, serve.TYPES[".txt"], b"Nothing here: open / for the certificate.\n")
        return self.server.answers.get(self.path.partition("?")[0], lost)


def _no(said: str) -> int:
    print(said, file=sys.stderr)
    return 1
