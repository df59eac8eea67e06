"""Certificates for serving the site at home over https: an own small authority, and what it signs for the server.

The authority is narrow by its own words (RFC 5280, 4.2.1.10): it counts for the addresses and names that it was made
for and for nothing else, and it signs servers only, no other authority. `kept` is the edge that reads and writes files;
what makes certificates takes the time as an argument.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_LASTS = dt.timedelta(days=3 * 365)
SERVER_LASTS = dt.timedelta(days=390)  # phones refuse a server's certificate of more than 398 days
NEAR = dt.timedelta(days=30)  # before its end a certificate is made anew
EARLIER = dt.timedelta(days=1)  # it begins so much before now: a phone's clock may be slow
OPEN = 0o077  # the bits that let others on this computer at a file

KEY, AUTHORITY, SERVER_KEY, SERVER = "authority.key", "authority.crt", "server.key", "server.crt"


class CertificateError(Exception):
    """What is kept cannot be used; the text says what, where and what to do."""


@dataclass(frozen=True)
class Names:
    """What the server is reached by: IPv4 addresses and host names, each in a fixed order."""

    addresses: tuple[IPv4Address, ...]
    hosts: tuple[str, ...]

    @staticmethod
    def of(addresses: Iterable[IPv4Address], hosts: Iterable[str]) -> Names:
        return Names(tuple(sorted(set(addresses))), tuple(sorted(set(hosts))))

    def within(self, other: Names) -> bool:
        """Say if every one of these is among `other`."""
        return set(self.addresses) <= set(other.addresses) and set(self.hosts) <= set(other.hosts)


@dataclass(frozen=True)
class Signed:
    """A certificate with its private key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


@dataclass(frozen=True)
class Kept:
    """What the server needs: files in PEM, the authority in DER for the phone, and whether it is a new one to trust."""

    chain: Path
    key: Path
    authority: bytes
    fingerprint: str
    new: bool


def authority(names: Names, now: dt.datetime, maker: str) -> Signed:
    """Return a new authority for `names` alone; `maker` names the computer in the phone's list of authorities."""
    key = ec.generate_private_key(ec.SECP256R1())
    # The day and a piece of its key tell this authority from an older one of the same computer.
    subject = _name(f"Fillmark on {maker}, {now:%Y-%m-%d}, {_identity(key).hex()[:6]}"[:64])
    permitted: list[x509.GeneralName] = [x509.IPAddress(IPv4Network(address)) for address in names.addresses]
    permitted += [x509.DNSName(host) for host in names.hosts]
    made = (
        _begun(subject, subject, key, now, now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
    )
    return Signed(made.sign(key, hashes.SHA256()), key)


def server(names: Names, by: Signed, now: dt.datetime) -> Signed:
    """Return a new certificate of the server for `names`, signed by the authority and not outliving it."""
    key = ec.generate_private_key(ec.SECP256R1())
    end = min(now + SERVER_LASTS, by.certificate.not_valid_after_utc)
    alternatives: list[x509.GeneralName] = [x509.IPAddress(address) for address in names.addresses]
    alternatives += [x509.DNSName(host) for host in names.hosts]
    made = (
        _begun(_name("Fillmark at home"), by.certificate.subject, key, now, end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by.key.public_key()), critical=False)
    )
    return Signed(made.sign(by.key, hashes.SHA256()), key)


def permits(certificate: x509.Certificate) -> Names:
    """Return what an authority of ours may sign for."""
    found = certificate.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    return Names.of((one.value.network_address for one in found if isinstance(one.value, IPv4Network)),
                    (one.value for one in found if isinstance(one, x509.DNSName)))


def covers(certificate: x509.Certificate) -> Names:
    """Return what a server's certificate stands for."""
    found = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return Names.of((one for one in found.get_values_for_type(x509.IPAddress) if isinstance(one, IPv4Address)),
                    found.get_values_for_type(x509.DNSName))


def fingerprint(certificate: x509.Certificate) -> str:
    """Return the SHA-256 of the certificate as phones show it: pairs of hexadecimal digits with a space between."""
    return certificate.fingerprint(hashes.SHA256()).hex(" ").upper()


def kept(folder: Path, names: Names, maker: str, now: dt.datetime) -> Kept:
    """Return what serves `names`, from `folder` or made anew there.

    The server's certificate is made anew when the names are others or its end is near; the authority, which the phone
    must then trust anew, only when it does not cover the names or its own end is near. Raises CertificateError.
    """
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        root = _read(folder / AUTHORITY, folder / KEY)
        new = root is None or not names.within(permits(root.certificate)) or _ends(root, now)
        if root is None or new:
            root = authority(names, now, maker)
            _write(folder / KEY, _private(root.key))
            _write(folder / AUTHORITY, _pem(root))
        leaf = None if new else _read(folder / SERVER, folder / SERVER_KEY)
        if leaf is None or covers(leaf.certificate) != names or _ends(leaf, now) or not _signed(leaf, root):
            leaf = server(names, root, now)
            _write(folder / SERVER_KEY, _private(leaf.key))
            _write(folder / SERVER, _pem(leaf))
    except (OSError, ValueError, x509.ExtensionNotFound) as error:
        said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise CertificateError(
            f"Cannot use the certificates in {folder}: {said}. Make that folder readable and writable for you alone, "
            "or remove it: a new authority is made, which the phone must trust anew.") from error
    der = root.certificate.public_bytes(serialization.Encoding.DER)
    return Kept(folder / SERVER, folder / SERVER_KEY, der, fingerprint(root.certificate), new)


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _identity(key: ec.EllipticCurvePrivateKey) -> bytes:
    return x509.SubjectKeyIdentifier.from_public_key(key.public_key()).digest


def _usage(signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(digital_signature=not signs, key_cert_sign=signs, crl_sign=False, content_commitment=False,
                         key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False,
                         decipher_only=False)


def _begun(subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: dt.datetime,
           end: dt.datetime) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
        .serial_number(x509.random_serial_number()).not_valid_before(now - EARLIER).not_valid_after(end)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _ends(one: Signed, now: dt.datetime) -> bool:
    """Say if it is near its end, or not yet valid, as after a clock that was set wrong."""
    return not one.certificate.not_valid_before_utc <= now < one.certificate.not_valid_after_utc - NEAR


def _signed(leaf: Signed, root: Signed) -> bool:
    try:
        leaf.certificate.verify_directly_issued_by(root.certificate)
    except Exception:  # another name, another key or another kind of key: whichever, it is not of this authority
        return False
    return True


def _read(certificate: Path, key: Path) -> Signed | None:
    """Return what is kept, None where either file is missing; ValueError where they are spoilt or open to others."""
    if not certificate.exists() or not key.exists():
        return None
    if os.name != "nt" and key.stat().st_mode & OPEN:
        raise ValueError(f"others on this computer may read {key.name} (its mode is not 600)")
    try:
        cert = x509.load_pem_x509_certificate(certificate.read_bytes())
        private = serialization.load_pem_private_key(key.read_bytes(), None)
    except (ValueError, TypeError) as error:
        raise ValueError(f"{certificate.name} or {key.name} is spoilt") from error
    if not isinstance(private, ec.EllipticCurvePrivateKey) or private.public_key() != cert.public_key():
        raise ValueError(f"{certificate.name} and {key.name} do not belong together")
    return Signed(cert, private)


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8,
                             serialization.NoEncryption())


def _pem(one: Signed) -> bytes:
    return one.certificate.public_bytes(serialization.Encoding.PEM)


def _write(path: Path, body: bytes) -> None:
    """Write a file that only its owner may read, whole or not at all."""
    new = path.with_name(path.name + ".new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(body)
    new.replace(path)
