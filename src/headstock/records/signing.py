"""The key that signs the chain (Ed25519, RFC 8032): made once for a data folder, kept readable by its owner alone."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from pathlib import Path

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
    load_pem_public_key,
)

from headstock.base.begun import begun, take_away_left
from headstock.base.durable import sync_folder
from headstock.base.errors import Fault, FileError

KEY_FILE = "signing-key.pem"
BEGUN = ".key-"
"""How a key file begins that is being made."""
PEM_BLOCK = re.compile(rb"-----BEGIN [A-Z ]+-----.*?-----END [A-Z ]+-----\n?", re.DOTALL)


class Signer:
    """Signs with a private key."""

    def __init__(self, key: Ed25519PrivateKey) -> None:
        self._key = key
        self.public = PublicKey(key.public_key())

    def sign(self, message: bytes) -> bytes:
        """64 bytes."""
        return self._key.sign(message)


class PublicKey:
    """Checks signatures."""

    def __init__(self, key: Ed25519PublicKey) -> None:
        self._key = key
        self.hex = key.public_bytes(Encoding.Raw, PublicFormat.Raw).hex()

    @classmethod
    def from_hex(cls, words: str) -> PublicKey | None:
        """A key from its hex; None for what is none."""
        try:
            return cls(Ed25519PublicKey.from_public_bytes(bytes.fromhex(words)))
        except (ValueError, TypeError):
            return None

    def has_signed(self, message: bytes, signature: bytes) -> bool:
        """Whether the owner of the key signed the message."""
        try:
            self._key.verify(signature, message)
        except InvalidSignature:
            return False
        return True

    def pem(self) -> bytes:
        """The key as a file for others."""
        return self._key.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo)


def load_signer(folder: Path, name: str = KEY_FILE) -> Signer:
    """The key of a data folder, made where there is none. Raises FileError for one that cannot be read; OSError."""
    path = folder / name
    take_away_left(folder, BEGUN)  # a killed maker's copy would outlive the key
    if not path.exists():
        _make(path)
    try:
        key = load_pem_private_key(path.read_bytes(), None)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, Ed25519PrivateKey):
        fault = Fault("not a signing key", str(path), expected="an Ed25519 private key (PEM) without a password")
        raise FileError(fault, cure="Bring the key back from where its copy is kept; a new one cannot continue old records.")
    return Signer(key)


def load_public_keys(path: Path) -> tuple[PublicKey, ...]:
    """The public keys in a file, the one in force first. Raises FileError."""
    try:
        blocks = PEM_BLOCK.findall(path.read_bytes())
        keys = [load_pem_public_key(block) for block in blocks]
    except OSError as error:
        raise FileError(Fault("cannot be read", str(path), found=error.strerror or str(error))) from None
    except (ValueError, UnsupportedAlgorithm):
        keys = []
    good = tuple(PublicKey(key) for key in keys if isinstance(key, Ed25519PublicKey))
    if not good or len(good) < len(keys):
        raise FileError(Fault("not a public key of records", str(path), expected="an Ed25519 public key (PEM)"),
                        cure="Export it where the records are kept: headstock records key --out FILE.")  # fmt: skip
    return good


def load_public_key(path: Path) -> PublicKey:
    """The public key in force from a file. Raises FileError."""
    return load_public_keys(path)[0]


def _make(path: Path) -> None:
    """Written beside and linked, so that of two makers one wins and nobody reads half a key."""
    pem = Ed25519PrivateKey.generate().private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    with begun(path.parent, BEGUN) as (handle, name), suppress(FileExistsError):
        with open(handle, "wb", closefd=False) as file:
            file.write(pem)
            file.flush()
            os.fsync(handle)
        os.link(name, path)
        sync_folder(path.parent)
