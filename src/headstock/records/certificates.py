"""Certificates as one line of text that anybody checks with the public key alone: HS1.CONTENT.SIGNATURE, both base64url."""

from __future__ import annotations

import base64
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.base.kept_json import kept_json
from headstock.records.canonical import canonical
from headstock.records.signing import PublicKey, Signer

DOMAIN = b"headstock certificate 1\0"
HEAD = "HS1"


def certificate_text(content: dict[str, Any], signer: Signer) -> str:
    """The signed line."""
    words = canonical(content).encode()
    return f"{HEAD}.{_letters(words)}.{_letters(signer.sign(DOMAIN + words))}"


def certificate_content(text: str, *keys: PublicKey) -> dict[str, Any] | None:
    """What a certificate says; None where none of the keys signed it. Raises InputError for what is no certificate."""
    parts = "".join(text.split()).split(".")
    try:
        if len(parts) != 3 or parts[0] != HEAD:
            raise ValueError
        words, signature = (base64.b64decode(part + "=" * (-len(part) % 4), b"-_", validate=True) for part in parts[1:])
        said: dict[str, Any] = kept_json(words)
    except ValueError:
        fault = Fault("no certificate", found=text[:40], expected=f"the whole line of its square code, {HEAD}.….…")
        raise InputError(fault, cure="Read the square code again, or copy the line whole.") from None
    return said if any(key.has_signed(DOMAIN + words, signature) for key in keys) else None


def _letters(content: bytes) -> str:
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()
