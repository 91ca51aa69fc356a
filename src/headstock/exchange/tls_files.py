"""The files for TLS, looked at before a server starts: are they there, are they what they should be, do they belong together."""

from __future__ import annotations

import os
import ssl
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.rsa import RSAPublicKey
from cryptography.hazmat.primitives.asymmetric.types import CertificatePublicKeyTypes
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat, load_pem_private_key

from headstock.usecases.listening import TlsFiles

SHORTEST_RSA = 2048
"""Bits; common practice, no source."""

NO_CERTIFICATE = (ValueError, UnsupportedAlgorithm, x509.InvalidVersion, x509.DuplicateExtension, x509.UnsupportedGeneralNameType)


@dataclass(frozen=True, slots=True)
class _Leaf:
    """What is looked at of a certificate."""

    public: CertificatePublicKeyTypes
    names: tuple[str, ...]
    since: datetime
    until: datetime


def read_tls_files(certificate: Path | None, key: Path | None) -> TlsFiles | None:
    """What is in them, with every fault; None where neither is given."""
    if certificate is None and key is None:
        return None
    if certificate is None or key is None:
        missing, there = ("--tls-certificate", "--tls-key") if certificate is None else ("--tls-key", "--tls-certificate")
        return TlsFiles(str(certificate or ""), str(key or ""), (f"{there} is given without {missing}: give both",))
    names = str(certificate), str(key)
    contents, faults = zip(*(_content(path, option) for path, option in
                             ((certificate, "--tls-certificate"), (key, "--tls-key"))), strict=True)  # fmt: skip
    found = [fault for fault in faults if fault]
    if found:
        return TlsFiles(*names, tuple(found))
    leaf = _leaf_of(contents[0])
    if leaf is None:
        fault = f"--tls-certificate {certificate} is no certificate: a PEM file is expected, the server's own certificate first"
        return TlsFiles(*names, (fault,))
    return TlsFiles(*names, tuple(_faults(leaf, contents[1], certificate, key)), leaf.names, leaf.since, leaf.until)


def _leaf_of(pem: bytes) -> _Leaf | None:
    """The server's own certificate; None where a part that is looked at is none: each is understood only when it is asked for."""
    try:
        first = x509.load_pem_x509_certificates(pem)[0]
        return _Leaf(first.public_key(), _names_of(first), first.not_valid_before_utc, first.not_valid_after_utc)
    except NO_CERTIFICATE:
        return None


def _content(path: Path, option: str) -> tuple[bytes, str]:
    try:
        return path.read_bytes(), ""
    except OSError as error:
        return b"", f"{option} {path} cannot be read: {error.strerror or error}"


def _faults(leaf: _Leaf, pem: bytes, certificate: Path, key: Path) -> Iterator[str]:
    """What is wrong with two files that could be read; nothing of the key's content is ever said."""
    public = leaf.public
    if isinstance(public, RSAPublicKey) and public.key_size < SHORTEST_RSA:
        yield f"the key of {certificate} has {public.key_size} bits: at least {SHORTEST_RSA} are expected"
    mode = key.stat().st_mode
    if os.name == "posix" and mode & (stat.S_IRWXO | stat.S_IWGRP):
        yield f"others may read or change the key {key}: take the rights away with chmod 600"
    try:
        private = load_pem_private_key(pem, None)
    except TypeError:
        yield f"the key {key} needs a password: give one without, readable by the server's account alone"
        return
    except (ValueError, UnsupportedAlgorithm):
        yield f"--tls-key {key} is no private key: a PEM file is expected"
        return
    form = (Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    if private.public_key().public_bytes(*form) != public.public_bytes(*form):
        yield f"the key {key} does not belong to the certificate {certificate}"
        return
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key)
    except (ssl.SSLError, OSError) as error:
        yield f"the certificate {certificate} cannot be used: {getattr(error, 'reason', None) or error}"


def _names_of(leaf: x509.Certificate) -> tuple[str, ...]:
    try:
        held = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return ()
    return (*held.get_values_for_type(x509.DNSName), *(str(one) for one in held.get_values_for_type(x509.IPAddress)))
