"""Which key signs which entries: the first entry names the first key, a later one of kind `key` hands over to the next.

The old key signs the entry that hands over, and the new one its own proof, bound to the hash before: nobody hands over to a key
that is not theirs, and no proof serves in another chain.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headstock.records.signing import PublicKey, Signer
from headstock.usecases.records_port import Draft

DOMAIN = b"headstock entry 1\0"
PROOF_DOMAIN = b"headstock key 1\0"


def signed_words(digest: str) -> bytes:
    """What is signed of an entry."""
    return DOMAIN + digest.encode()


def is_signed(digest: str, signature: str, key: PublicKey) -> bool:
    """Whether this key signed an entry; a signature that is none counts as not."""
    return _has_signed(key, signed_words(digest), signature)


def key_draft(key: PublicKey, stamp: str) -> Draft:
    """The first entry of records: the key that signs them."""
    return Draft("key", f"key:{key.hex[:32]}", stamp, ("kind:key",), {"public_key": key.hex})


def handover_draft(old: PublicKey, new: Signer, before: str, stamp: str) -> Draft:
    """The entry that hands over to a new key; ``before``: hash of the entry before it."""
    proof = new.sign(_proof_words(before, old.hex, new.public.hex)).hex()
    body = {"public_key": new.public.hex, "replaces": old.hex, "proof": proof}
    return Draft("key", f"key:{new.public.hex[:32]}", stamp, ("kind:key",), body)


def continues(said: Mapping[str, Any], digest: str, signature: str, key: PublicKey) -> bool:
    """Whether the next entry is this key's to sign: it signed this one, or this one hands over to it."""
    if _hands_over(said):
        old = PublicKey.from_hex(said["body"]["replaces"])
        return said["body"]["public_key"] == key.hex and old is not None and is_signed(digest, signature, old)
    return is_signed(digest, signature, key)


class KeysInForce:
    """The keys of a chain, gathered entry by entry."""

    def __init__(self) -> None:
        self._since: list[tuple[int, PublicKey]] = []

    def take(self, said: Mapping[str, Any], digest: str, signature: str) -> str:
        """Gather from an entry of kind `key`; what is wrong with it, "" where nothing is."""
        seq, body = said["seq"], said["body"]
        key = PublicKey.from_hex(body["public_key"])
        if key is None:
            return f"entry {seq} was altered: its key is none"
        if self._since or "replaces" in body:
            old = self.at(seq)
            if old is None or body["replaces"] != old.hex or not is_signed(digest, signature, old):
                return f"entry {seq} was altered: the key before did not hand over"
            if not _has_signed(key, _proof_words(said["before"], old.hex, key.hex), body["proof"]):
                return f"entry {seq} was altered: the new key did not prove itself"
        self._since.append((seq, key))
        return ""

    def at(self, seq: int) -> PublicKey | None:
        """The key that signs an entry: an entry that hands over is signed by the old one."""
        return next((key for since, key in reversed(self._since) if since < seq or since == 1), None)

    def is_among(self, key: PublicKey) -> bool:
        """Whether this is or was the key of the chain."""
        return any(one.hex == key.hex for _, one in self._since)


def _hands_over(said: Mapping[str, Any]) -> bool:
    return said["kind"] == "key" and "replaces" in said["body"]


def _proof_words(before: str, old: str, new: str) -> bytes:
    return PROOF_DOMAIN + f"{before} {old} {new}".encode()


def _has_signed(key: PublicKey, words: bytes, signature: str) -> bool:
    try:
        return key.has_signed(words, bytes.fromhex(signature))
    except ValueError:
        return False
