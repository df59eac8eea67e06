"""Over https with the authority of `serve --phone`, and with the headers that a host is told: refused without trust;
with it stored, then no host at all, a whole job, a new version taken, a backup, and that brought back on another phone.

A browser comes to trust the authority as a person would make it, through the system's own list of authorities, where
`certutil` (Debian: libnss3-tools) is there to fill it. Where it is not, the browser is told the server's key by hash.
"""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import os
import re
import shutil
import socket
import ssl
import subprocess
from collections.abc import Callable, Iterator
from ipaddress import IPv4Address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)
from playwright.sync_api import BrowserContext, Error, Page, Playwright, expect

from backuppage import pick
from deploys import redeployed
from fillmark import certificate
from fillmark.certificate import Names
from harness import LONDON, SiteServer, at_a_port_of_its_own, open_profile, watch
from jobs import Worker, p01_signed_off

pytestmark = pytest.mark.apart

HOME = Names.of([IPv4Address("127.0.0.1")], ["localhost", "shed.local"])
CHANGED = b"The three vehicles that come with the site are invented"
OFFLINE = "[data-module=offline]"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> certificate.Kept:
    folder = tmp_path_factory.mktemp("home") / ".certificate"
    return certificate.kept(folder, HOME, "shed", dt.datetime.now(dt.UTC))


@pytest.fixture(scope="module")
def host(kept: certificate.Kept, dist: Path) -> Iterator[SiteServer]:
    """The site over https, with every header of its own `_headers`."""
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(kept.chain, kept.key)
    server = at_a_port_of_its_own(dist, "/", tls)
    server.headers = headers(dist)
    yield server
    server.stop()


def headers(dist: Path) -> dict[str, str]:
    """Return the headers of `_headers` for every path: below the line `/*`, indented, one to a line."""
    first, *lines = (dist / "_headers").read_text("utf-8").splitlines()
    assert first == "/*" and all(line.startswith("  ") for line in lines)
    return dict(line.strip().split(": ", 1) for line in lines)


class Browsers:
    """Browsers with profiles of their own, each of which trusts the authority, or not."""

    def __init__(self, playwright: Playwright, path: str, folder: Path, kept: certificate.Kept) -> None:
        self.playwright, self.path, self.folder, self.kept = playwright, path, folder, kept
        self.certutil = shutil.which("certutil")
        self.opened: list[BrowserContext] = []

    def open(self, name: str, url: str, trusting: bool = True) -> BrowserContext:
        home = self.folder / "homes" / ("trusting" if trusting else "not")
        store = home / ".pki/nssdb"
        flags = []
        if self.certutil and not store.exists():
            store.mkdir(parents=True)
            self._certutil("-N", "--empty-password", "-d", f"sql:{store}")
            if trusting:
                (home / "authority.crt").write_bytes(self.kept.authority)
                self._certutil("-A", "-n", "fillmark", "-t", "C,,", "-i", str(home / "authority.crt"),
                               "-d", f"sql:{store}")
        elif trusting and not self.certutil:
            leaf = x509.load_pem_x509_certificate(self.kept.chain.read_bytes())
            key = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
            flags = ["--ignore-certificate-errors-spki-list=" + base64.b64encode(hashlib.sha256(key).digest()).decode()]
        home.mkdir(parents=True, exist_ok=True)
        context = open_profile(self.playwright, self.folder / name, self.path, flags=flags, base_url=url,
                               env={**os.environ, "HOME": str(home)}, **LONDON)
        self.opened.append(context)
        return context

    def _certutil(self, *arguments: str) -> None:
        assert self.certutil
        subprocess.run([self.certutil, *arguments], check=True, capture_output=True)


@pytest.fixture
def browsers(
    playwright: Playwright, chromium_path: str, tmp_path: Path, kept: certificate.Kept,
    record_property: Callable[..., None],
) -> Iterator[Browsers]:
    found = Browsers(playwright, chromium_path, tmp_path, kept)
    how = "the system's list of authorities" if found.certutil else "the server's key by hash: no certutil here"
    record_property("trusted through", how)
    print("trusted through", how)
    yield found
    for context in found.opened:
        context.close()


def tab(context: BrowserContext, url: str) -> tuple[Page, list[str]]:
    page = context.new_page()
    return page, watch(page, url.rstrip("/"), quiet=("/sw.js",))


def changed(body: bytes) -> bytes:
    assert CHANGED in body
    return body.replace(CHANGED, b"A second edition. " + CHANGED)


def test_the_chain_is_right_against_the_authoritys_file_and_for_no_other_name(
    host: SiteServer, kept: certificate.Kept
) -> None:
    """Python's own TLS holds the chain to the one file that the phone gets, name by name."""
    trusting = ssl.create_default_context(cadata=kept.authority)
    trusting.verify_flags |= ssl.VERIFY_X509_STRICT
    for name in ("127.0.0.1", "localhost", "shed.local"):
        with socket.create_connection(("127.0.0.1", host.port)) as way, trusting.wrap_socket(way, server_hostname=name):
            pass
    with (socket.create_connection(("127.0.0.1", host.port)) as way,
          pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"),
          trusting.wrap_socket(way, server_hostname="bank.example")):
        pass


def test_what_the_authoritys_key_signs_for_another_name_is_refused(
    dist: Path, kept: certificate.Kept, tmp_path: Path
) -> None:
    """Whoever stole the key in `.certificate/` could sign for a bank; the authority's own constraint is against it."""
    folder = kept.chain.parent
    key = load_pem_private_key((folder / certificate.KEY).read_bytes(), None)
    assert isinstance(key, EllipticCurvePrivateKey)
    own = x509.load_pem_x509_certificate((folder / certificate.AUTHORITY).read_bytes())
    stolen = certificate.server(Names.of([], ["bank.example"]), certificate.Signed(own, key), dt.datetime.now(dt.UTC))
    (tmp_path / "crt").write_bytes(stolen.certificate.public_bytes(Encoding.PEM))
    (tmp_path / "key").write_bytes(stolen.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(tmp_path / "crt", tmp_path / "key")
    trusting = ssl.create_default_context(cadata=kept.authority)
    with (SiteServer(dist, "/", tls) as bank, socket.create_connection(("127.0.0.1", bank.port)) as way,
          pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"),
          trusting.wrap_socket(way, server_hostname="bank.example")):
        pass


def test_a_browser_that_does_not_trust_it_opens_nothing(browsers: Browsers, host: SiteServer) -> None:
    page = browsers.open("stranger", host.url, trusting=False).new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(host.url)


def test_another_site_cannot_put_it_in_a_frame(browsers: Browsers, host: SiteServer, served: SiteServer) -> None:
    """Of the headers, frame-ancestors is what no page can say for itself. The site without them shows in a frame."""
    page = browsers.open("framed", host.url).new_page()
    frames = f'<iframe src="{host.url}"></iframe><iframe src="/"></iframe>'
    served.extra["/framing.html"] = ("text/html", frames.encode())
    page.goto(f"http://localhost:{served.port}/framing.html")
    framed, other = page.frames[1:]
    expect(other.get_by_role("heading", name="Today")).to_be_visible()
    assert framed.url == "chrome-error://chromewebdata/"
    page.goto(host.url)  # by itself it opens
    expect(page.get_by_role("heading", name="Today")).to_be_visible()


def test_a_whole_job_without_a_host_then_a_new_version_and_a_backup_on_another_phone(
    browsers: Browsers, host: SiteServer, dist: Path, tmp_path: Path
) -> None:
    # Stored while the computer is there; none of the headers is one that the browser does not know.
    context = browsers.open("phone", host.url)
    page, faults = tab(context, host.url)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(host.url)
    expect(page.locator(OFFLINE)).to_have_text("Ready for no signal", timeout=30_000)
    assert page.evaluate("isSecureContext") is True and [one for one in said if "olicy" in one] == []
    assert faults == []
    context.close()

    # Away from home: the host is gone, the browser was closed in between.
    host.stop()
    host.hits.clear()
    context = browsers.open("phone", host.url)
    page, faults = tab(context, host.url)
    page.clock.install()
    p01_signed_off(Worker(page))
    [entry] = [one["entry"] for one in Worker(page).log()]
    assert (entry["procedure"], entry["finished"]) == ("P01", True)
    assert faults == [] and host.hits.total() == 0
    page.close()

    # Home again, where the site has changed meanwhile: offered, and taken at a tap.
    host.folder = redeployed(dist, tmp_path / "second", "about/index.html", changed)
    host.headers = headers(host.folder)
    host.start()
    page, faults = tab(context, host.url)
    page.goto("about/")
    expect(page.locator("main")).not_to_contain_text("A second edition.")
    page.get_by_role("button", name="Use it").click(timeout=30_000)
    expect(page.locator("main")).to_contain_text("A second edition.")
    expect(page.locator(OFFLINE)).to_have_text("Ready for no signal")
    host.stop()
    page.goto("about/")
    expect(page.locator("main")).to_contain_text("A second edition.")

    # The log goes out as a file, and comes in on a phone that was never here.
    page.goto("backup/")
    with page.expect_download() as caught:
        page.get_by_role("button", name=re.compile("^Give out the backup, ")).click()
    text = Path(caught.value.path()).read_text("utf-8")
    assert faults == []
    host.start()
    other, faults = tab(browsers.open("another phone", host.url), host.url)
    other.goto("backup/")
    pick(other, text)
    other.locator("[data-take]").click()
    expect(other.locator("section [role=alert]")).to_contain_text("Taken in and read back. 1 job, 1 log entry")
    assert [one["entry"] for one in Worker(other).log()] == [entry]
    assert faults == []
