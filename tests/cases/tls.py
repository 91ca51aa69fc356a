"""Certificates for tests, signed by themselves."""

from __future__ import annotations

import ipaddress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import NameOID

Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey


def new_key() -> Key:
    return ec.generate_private_key(ec.SECP256R1())


def write_key(path: Path, key: Key, password: bytes = b"") -> Path:
    how = BestAvailableEncryption(password) if password else NoEncryption()
    path.write_bytes(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, how))
    path.chmod(0o600)
    return path


def write_certificate(path: Path, key: Key, days: tuple[float, float] = (-1, 60), name: str = "depot.example") -> Path:
    now = datetime.now(UTC)
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    names = [x509.DNSName(name), x509.DNSName("localhost"), x509.IPAddress(ipaddress.ip_address("127.0.0.1"))]
    made = (x509.CertificateBuilder().subject_name(who).issuer_name(who).public_key(key.public_key())
            .serial_number(x509.random_serial_number()).not_valid_before(now + timedelta(days=days[0]))
            .not_valid_after(now + timedelta(days=days[1])).add_extension(x509.SubjectAlternativeName(names), False)
            .add_extension(x509.BasicConstraints(True, None), True).sign(key, hashes.SHA256()))  # fmt: skip
    path.write_bytes(made.public_bytes(Encoding.PEM))
    return path
