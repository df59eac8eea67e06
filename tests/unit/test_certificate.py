"""The authority is narrow, as RFC 5280 (Internet X.509 PKI Certificate Profile, May 2008) words it, and a second
implementation, OpenSSL, takes it so; what is kept is private, is used again, and is made anew when it must be."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import stat
import subprocess
from ipaddress import IPv4Address, ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fillmark import certificate
from fillmark.certificate import Names, Signed

NOW = dt.datetime.now(dt.UTC).replace(microsecond=0)
HOME = Names.of([IPv4Address("192.168.1.20"), IPv4Address("127.0.0.1")], ["shed.local", "localhost"])
DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def root() -> Signed:
    return certificate.authority(HOME, NOW, "shed")


def openssl(
    folder: Path, root: Signed, leaf: x509.Certificate, *more: str, between: x509.Certificate | None = None
) -> str:
    """Return what OpenSSL says of the chain: "" where it is right."""
    files = {"root": root.certificate, "leaf": leaf, **({"between": between} if between else {})}
    for name, one in files.items():
        (folder / f"{name}.pem").write_bytes(one.public_bytes(Encoding.PEM))
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", "root.pem",
               *(["-untrusted", "between.pem"] if between else []), *more, "leaf.pem"]
    said = subprocess.run(command, cwd=folder, capture_output=True, text=True)
    return "" if said.returncode == 0 else said.stdout + said.stderr


def signed_for(names: list[x509.GeneralName], root: Signed, ca: bool = False) -> Signed:
    """Return what the authority's key could be made to sign by whoever stole it."""
    key = ec.generate_private_key(ec.SECP256R1())
    made = (
        x509.CertificateBuilder().subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "stolen")]))
        .issuer_name(root.certificate.subject).public_key(key.public_key()).serial_number(7)
        .not_valid_before(NOW - DAY).not_valid_after(NOW + DAY)
        .add_extension(x509.BasicConstraints(ca, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(root.key.public_key()), critical=False)
    )
    if ca:
        usage = x509.KeyUsage(False, False, False, False, False, True, False, False, False)
        made = made.add_extension(usage, critical=True)
    else:
        made = made.add_extension(x509.SubjectAlternativeName(names), critical=False)
    return Signed(made.sign(root.key, hashes.SHA256()), key)


def test_the_authority_says_what_rfc_5280_asks_of_one(root: Signed) -> None:
    """4.2.1.3: keyCertSign; 4.2.1.9: cA, critical, and no authority below; 4.2.1.10: name constraints, critical."""
    found = root.certificate.extensions
    basic = found.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    usage = found.get_extension_for_class(x509.KeyUsage)
    assert usage.critical and usage.value.key_cert_sign and not usage.value.digital_signature
    names = found.get_extension_for_class(x509.NameConstraints)
    assert names.critical and names.value.excluded_subtrees is None
    assert {str(one.value) for one in names.value.permitted_subtrees or []} == {
        "127.0.0.1/32", "192.168.1.20/32", "localhost", "shed.local"}
    assert certificate.permits(root.certificate) == HOME


def test_the_servers_certificate_is_one_that_phones_take(root: Signed) -> None:
    """398 days at most (CA/Browser Forum Baseline Requirements 6.3.2, as they stood from September 2020); serverAuth
    and the alternative names, since browsers read no common name (RFC 9525, 2)."""
    leaf = certificate.server(HOME, root, NOW).certificate
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= 397 * DAY
    use = leaf.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(use) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert leaf.extensions.get_extension_for_class(x509.BasicConstraints).value.ca is False
    assert certificate.covers(leaf) == HOME
    late = root.certificate.not_valid_after_utc - 40 * DAY
    assert certificate.server(HOME, root, late).certificate.not_valid_after_utc == root.certificate.not_valid_after_utc


@pytest.mark.parametrize("asked", [("-verify_ip", "192.168.1.20"), ("-verify_ip", "127.0.0.1"),
                                   ("-verify_hostname", "shed.local"), ("-verify_hostname", "localhost")])
def test_the_chain_is_right_for_each_of_its_names(root: Signed, tmp_path: Path, asked: tuple[str, str]) -> None:
    assert openssl(tmp_path, root, certificate.server(HOME, root, NOW).certificate, *asked) == ""


@pytest.mark.parametrize("other", ["192.168.1.21", "8.8.8.8", "::1", "fe80::1", "bank.example", "shed.local.example",
                                   "example"])
def test_a_stolen_key_speaks_for_nobody_else(root: Signed, tmp_path: Path, other: str) -> None:
    """RFC 5280 6.1.3 (b): each name of the certificate must be within the permitted ones of its form."""
    try:
        name: x509.GeneralName = x509.IPAddress(ip_address(other))
    except ValueError:
        name = x509.DNSName(other)
    own = [x509.DNSName("shed.local"), x509.IPAddress(IPv4Address("192.168.1.20"))]
    assert openssl(tmp_path, root, signed_for(own, root).certificate) == "", "else the next line proves nothing"
    assert "permitted subtree violation" in openssl(tmp_path, root, signed_for([*own, name], root).certificate)


def test_a_stolen_key_makes_no_other_authority(root: Signed, tmp_path: Path) -> None:
    between = signed_for([], root, ca=True)
    leaf = signed_for([x509.DNSName("shed.local")], between)
    assert "path length constraint exceeded" in openssl(
        tmp_path, root, leaf.certificate, between=between.certificate)


def made(folder: Path, names: Names = HOME, now: dt.datetime = NOW) -> tuple[certificate.Kept, bytes]:
    kept = certificate.kept(folder, names, "shed", now)
    return kept, kept.chain.read_bytes()


def test_what_was_made_is_used_again_and_is_for_its_owner_alone(tmp_path: Path) -> None:
    folder = tmp_path / ".certificate"
    first, leaf = made(folder)
    assert first.new
    again, same = made(folder, now=NOW + 100 * DAY)
    assert not again.new and (again.authority, same) == (first.authority, leaf)
    if os.name != "nt":
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        assert {stat.S_IMODE(one.stat().st_mode) for one in folder.iterdir()} == {0o600}
    assert sorted(one.name for one in folder.iterdir()) == [
        "authority.crt", "authority.key", "server.crt", "server.key"]
    assert bytes.fromhex(first.fingerprint) == x509.load_der_x509_certificate(first.authority).fingerprint(
        hashes.SHA256())


def test_fewer_names_and_a_near_end_need_a_new_certificate_but_no_new_trust(tmp_path: Path) -> None:
    first, leaf = made(tmp_path / "c")
    fewer, other = made(tmp_path / "c", Names.of([IPv4Address("127.0.0.1")], ["localhost"]))
    assert not fewer.new and fewer.authority == first.authority and other != leaf
    later, third = made(tmp_path / "c", now=NOW + 365 * DAY)
    assert not later.new and later.authority == first.authority and third not in (leaf, other)


@pytest.mark.parametrize("why", ["another address", "its end is near", "the clock was wrong when it was made"])
def test_the_authority_is_made_anew_only_where_it_must_be(tmp_path: Path, why: str) -> None:
    first, _ = made(tmp_path / "c")
    other = Names.of([IPv4Address("192.168.1.21"), *HOME.addresses], HOME.hosts)
    when = {"its end is near": 1070 * DAY, "the clock was wrong when it was made": -30 * DAY}.get(why, 0 * DAY)
    second, leaf = made(tmp_path / "c", other if why == "another address" else HOME, NOW + when)
    assert second.new and second.authority != first.authority
    x509.load_pem_x509_certificate(leaf).verify_directly_issued_by(x509.load_der_x509_certificate(second.authority))


def test_a_server_certificate_of_an_older_authority_is_not_used(tmp_path: Path) -> None:
    made(tmp_path / "a")
    made(tmp_path / "b")
    for name in ("server.crt", "server.key"):
        shutil.copy(tmp_path / "a" / name, tmp_path / "b" / name)
    kept, leaf = made(tmp_path / "b")
    assert not kept.new
    x509.load_pem_x509_certificate(leaf).verify_directly_issued_by(x509.load_der_x509_certificate(kept.authority))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [(lambda folder: (folder / "authority.crt").write_text("none"), "authority.crt or authority.key is spoilt"),
     (lambda folder: (folder / "authority.key").write_bytes(b""), "authority.crt or authority.key is spoilt"),
     (lambda folder: shutil.copy(folder / "server.key", folder / "authority.key"), "do not belong together"),
     (lambda folder: (folder / "authority.key").chmod(0o644), "others on this computer may read authority.key"),
     (lambda folder: (shutil.rmtree(folder), folder.write_text("a file")), "File exists")],
    ids=["no certificate", "empty key", "another key", "open to others", "a file in its place"],
)
def test_what_cannot_be_used_is_said_with_what_to_do(tmp_path: Path, spoil: object, said: str) -> None:
    made(tmp_path / "c")
    spoil(tmp_path / "c")  # type: ignore[operator]
    with pytest.raises(certificate.CertificateError) as refused:
        made(tmp_path / "c")
    text = str(refused.value)
    assert text.startswith(f"Cannot use the certificates in {tmp_path / 'c'}: ") and said in text
    assert "or remove it: a new authority is made, which the phone must trust anew." in text
