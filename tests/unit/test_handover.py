"""`serve --phone` as a person meets it: the terminal's words and codes, the page of trust, and the site over https."""

from __future__ import annotations

import hashlib
import os
import re
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from ipaddress import IPv4Address
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from fillmark import handover
from harness import ROOT

SCRIPT = """
from pathlib import Path
from fillmark import handover, write
def build():
    write.swap({{'index.html': b'today', 'sw.js': b''}}, Path({dist!r}))
    return ''
raise SystemExit(handover.run(build, Path({dist!r}), [], {host!r}, {port}, Path({folder!r})))
"""


def free_pair() -> int:
    """Return a port that is free, and the next one with it."""
    for port in range(21_000 + os.getpid() % 5_000, 32_000, 2):
        try:
            for one in (port, port + 1):
                with closing(socket.socket()) as tried:
                    tried.bind(("127.0.0.1", one))
        except OSError:
            continue
        return port
    raise OSError("no two ports are free")


def started(tmp_path: Path, host: str, port: int) -> subprocess.Popen[str]:
    script = tmp_path / "run.py"
    folder, dist = tmp_path / ".certificate", tmp_path / "dist"
    script.write_text(SCRIPT.format(dist=str(dist), host=host, port=port, folder=str(folder)))
    return subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                            env={**os.environ, "PYTHONPATH": str(ROOT / "build"), "PYTHONUNBUFFERED": "1"})


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, str]]:
    """The port of the site, and what the terminal said."""
    port = free_pair()
    process = started(tmp_path_factory.mktemp("phone"), "127.0.0.1", port)
    said = ""
    assert process.stdout is not None
    for line in process.stdout:
        said += line
        if "Ctrl-C stops it" in line:
            break
    yield port, said
    process.terminate()
    process.wait()


def authority(port: int) -> bytes:
    with urllib.request.urlopen(f"http://127.0.0.1:{port + 1}/{handover.FILE}", timeout=5) as answer:
        assert answer.headers["Content-Type"] == "application/x-x509-ca-cert"
        return bytes(answer.read())


def codes(said: str) -> list[str]:
    """Read the codes in a terminal's text: half blocks are two rows of dots, light on dark."""
    lines = [line for line in said.splitlines() if re.fullmatch(r"[ ▀▄█]{20,}", line)]
    dots = {" ": (0, 0), "▀": (255, 0), "▄": (0, 255), "█": (255, 255)}
    picture = Image.new("L", (max(map(len, lines)), 2 * len(lines)), 0)
    for row, line in enumerate(lines):
        for column, mark in enumerate(line):
            for half in (0, 1):
                picture.putpixel((column, 2 * row + half), dots[mark][half])
    framed = Image.new("L", (picture.width + 8, picture.height + 8), 255)
    framed.paste(picture, (4, 4))
    big = framed.resize((framed.width * 6, framed.height * 6), Image.Resampling.NEAREST)
    return [one.text for one in zxingcpp.read_barcodes(big)]


def test_the_terminal_gives_both_addresses_as_codes_that_read_and_the_words(running: tuple[int, str]) -> None:
    port, said = running
    assert sorted(codes(said)) == [f"http://127.0.0.1:{port + 1}/", f"https://127.0.0.1:{port}/"]
    assert f"Serving https://127.0.0.1:{port}/   Ctrl-C stops it." in said
    flat = " ".join(said.split())
    assert "A NEW certificate was made" in flat and "fixed address in your router" in flat
    for title, paragraphs in handover.WORDS:
        assert title in said and all(one.partition("{")[0][:60] in flat for one in paragraphs)


def test_the_fingerprint_in_the_terminal_is_that_of_the_file_the_phone_gets(running: tuple[int, str]) -> None:
    port, said = running
    mark = hashlib.sha256(authority(port)).hexdigest().upper()
    found = re.search(r"SHA-256 fingerprint, to compare: ([0-9A-F ]+)", said)
    assert found and found[1].replace(" ", "") == mark
    with urllib.request.urlopen(f"http://127.0.0.1:{port + 1}/", timeout=5) as answer:
        page = answer.read().decode()
    assert mark in page.replace(" ", "") and f'href="{handover.FILE}"' in page
    assert f"https://127.0.0.1:{port}/" in page and "counts only for 127.0.0.1, localhost" in page


def test_the_site_opens_with_that_trust_and_not_without_it(running: tuple[int, str]) -> None:
    port, _ = running
    trusting = ssl.create_default_context(cadata=authority(port))
    for host in ("127.0.0.1", "localhost"):
        with urllib.request.urlopen(f"https://{host}:{port}/", timeout=5, context=trusting) as answer:
            assert answer.read() == b"today"
    with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
        urllib.request.urlopen(f"https://127.0.0.1:{port}/", timeout=5)


def test_nothing_else_stands_beside_the_site(running: tuple[int, str]) -> None:
    port, _ = running
    for path in ("authority.key", "server.key", "../.certificate/authority.key", "index.html"):
        with pytest.raises(urllib.error.HTTPError, match="404"):
            urllib.request.urlopen(f"http://127.0.0.1:{port + 1}/{path}", timeout=5)


def test_one_that_connects_and_says_nothing_holds_nobody_up(running: tuple[int, str]) -> None:
    port, _ = running
    trusting = ssl.create_default_context(cadata=authority(port))
    with socket.create_connection(("127.0.0.1", port)):
        before = time.monotonic()
        urllib.request.urlopen(f"https://127.0.0.1:{port}/", timeout=5, context=trusting).close()
        assert time.monotonic() - before < 2


@pytest.mark.parametrize("beside", [0, 1])
def test_a_port_in_use_is_one_clear_line(tmp_path: Path, beside: int) -> None:
    port = free_pair()
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", port + beside))
        taken.listen()
        said, _ = started(tmp_path, "127.0.0.1", port).communicate(timeout=20)
    assert said.startswith(f"Cannot serve at 127.0.0.1:{port + beside}: Address already in use.")
    assert len(said.splitlines()) == 1


@pytest.mark.parametrize("host", ["garage", "::1", "192.168.1", "http://192.168.1.20"])
def test_a_host_that_is_no_address_is_one_clear_line(
    tmp_path: Path, host: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert handover.run(lambda: "", tmp_path, [], host, 1, tmp_path / "c") == 1
    assert capsys.readouterr().err == (
        f"--host {host}: with --phone it must be one IPv4 address of this computer, such as 192.168.1.20.\n")


def test_no_network_is_one_clear_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A system that knows no way out, as with its network switched off, is stood in for: this machine has one."""
    def no_way(*_: object) -> None:
        raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", no_way)
    monkeypatch.setattr(socket, "getaddrinfo", no_way)
    assert handover.run(lambda: "", tmp_path, [], "", 1, tmp_path / "c") == 1
    assert capsys.readouterr().err.startswith("No network address found: ")


def test_a_folder_that_cannot_be_used_is_one_clear_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "c").write_text("a file")
    assert handover.run(lambda: "", tmp_path, [], "127.0.0.1", 1, tmp_path / "c") == 1
    said = capsys.readouterr().err
    assert said.startswith(f"Cannot use the certificates in {tmp_path / 'c'}: File exists. ")
    assert len(said.splitlines()) == 1


def test_the_addresses_found_are_ones_a_phone_can_reach() -> None:
    found = handover.addresses()
    assert all(isinstance(one, IPv4Address) and not one.is_loopback and not one.is_link_local for one in found)
    assert found == sorted(found, key=lambda one: not one.is_private) and len(set(found)) == len(found)
