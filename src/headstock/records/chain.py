"""The chain: each entry's text holds the hash (SHA-256) and the signature of the one before, so that none goes unnoticed.

The last entry of a commit is signed; its signature covers everything before it. Without the private key nobody can write a
chain that ends in a good signature.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, NamedTuple

from headstock.base.kept_json import kept_json
from headstock.records.canonical import canonical
from headstock.records.key_chain import KeysInForce, is_signed
from headstock.records.signing import PublicKey
from headstock.usecases.records_port import ChainVerdict, Draft, Filed

CODE_SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Of a short code: no I, L, O, U."""
CODE_LENGTH = 12


class Row(NamedTuple):
    """An entry as it is stored."""

    seq: int
    key: str
    kind: str
    at: str
    code: str
    hash: str
    signature: str
    text: str


@dataclass(frozen=True, slots=True)
class Link:
    """What the next entry hangs on."""

    seq: int = 0
    hash: str = ""
    signature: str = ""


def row_after(before: Link, draft: Draft, recorded_at: str, behind_s: int) -> Row:
    """The entry that follows, not signed."""
    text = canonical({
        "at": draft.at, "before": before.hash, "before_signature": before.signature, "body": dict(draft.body),
        "clock_behind_s": behind_s, "key": draft.key, "kind": draft.kind, "recorded_at": recorded_at, "seq": before.seq + 1,
        "terms": sorted(set(draft.terms)),
    })  # fmt: skip
    digest = hash_of(text)
    return Row(before.seq + 1, draft.key, draft.kind, draft.at, code_of(digest), digest, "", text)


def hash_of(text: str) -> str:
    """SHA-256 of an entry's text (hex)."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def code_of(digest: str) -> str:
    """The short code: the first 60 bits of the hash, three groups of four."""
    bits = int(digest[:15], 16)
    signs = "".join(CODE_SIGNS[bits >> 5 * place & 31] for place in reversed(range(CODE_LENGTH)))
    return "-".join(signs[start : start + 4] for start in range(0, CODE_LENGTH, 4))


def plain_code(typed: str) -> str:
    """A short code as somebody typed it, in the form in which it is kept."""
    signs = typed.upper().replace("-", "").replace(" ", "").translate(str.maketrans("ILO", "110"))
    return "-".join(signs[start : start + 4] for start in range(0, len(signs), 4))


def filed_of(row: Row) -> Filed:
    """The entry as use cases take it."""
    said = json.loads(row.text)
    draft = Draft(said["kind"], said["key"], said["at"], tuple(said["terms"]), said["body"])
    return Filed(row.seq, row.code, row.hash, row.signature, said["recorded_at"], said["clock_behind_s"], draft)


class ChainCheck:
    """Takes entries in their order; the first fault stays."""

    def __init__(self, terms_of: Callable[[int], int] | None = None) -> None:
        self.link, self.fault, self.seq, self.keys = Link(), "", 0, KeysInForce()
        self._terms_of = terms_of

    def take(self, row: Row) -> bool:
        """Whether all is well up to this entry."""
        fault = self._fault_of(row)
        if fault:
            self.fault, self.seq = fault, self.seq or row.seq
            return False
        self.link = Link(row.seq, row.hash, row.signature)
        return True

    def _fault_of(self, row: Row) -> str:
        due = self.link.seq + 1
        if row.seq > due:
            self.seq = due
            return f"entry {due} is missing"
        if hash_of(row.text) != row.hash:
            return f"entry {row.seq} was altered: its hash does not belong to its text"
        try:
            return self._fault_in(row, due, kept_json(row.text))
        except (ValueError, KeyError, TypeError):
            return f"entry {row.seq} was altered: its text is no entry"

    def _fault_in(self, row: Row, due: int, said: dict[str, Any]) -> str:
        if said["seq"] != row.seq or row.seq != due:
            return f"entry {row.seq} is out of order: it was written as entry {said['seq']}"
        if (said["before"], said["before_signature"]) != (self.link.hash, self.link.signature):
            if not self.link.signature and self.link.seq:
                self.seq = self.link.seq
                return f"entries {self.link.seq} and {row.seq} do not belong together: one of the two was altered"
            return f"entry {row.seq} was altered: it does not follow the entry before it"
        if (said["key"], said["kind"], said["at"], code_of(row.hash)) != (row.key, row.kind, row.at, row.code):
            return f"entry {row.seq} was altered: its columns differ from its text"
        if self._terms_of is not None and self._terms_of(row.seq) != sum(map(hash, said["terms"])):
            return f"entry {row.seq}: the words by which it is found were altered"
        return self.keys.take(said, row.hash, row.signature) if said["kind"] == "key" else ""


def chain_verdict(rows: Callable[[], Iterable[Row]], key: PublicKey, head: Link | None = None,
                  terms_of: Callable[[int], int] | None = None) -> ChainVerdict:  # fmt: skip
    """Check all entries with a public key that one trusts, be it the newest of the chain or a former one.

    ``head``: the end that the store itself keeps.
    """
    check = ChainCheck(terms_of)
    for row in rows():
        if not check.take(row):
            break
    link = check.link
    if not check.fault and head is not None and head.seq > link.seq:
        check.fault, check.seq = f"entry {link.seq + 1} is missing: there were {head.seq}", link.seq + 1
    is_known = check.keys.is_among(key) or (check.fault and _is_named(rows, key))
    key_at = check.keys.at if is_known else lambda _: key
    if link.seq and not is_signed(link.hash, link.signature, key_at(link.seq) or key):
        fault, seq = _first_unsigned(rows, key_at, link.seq) or (
            check.fault or f"entry {link.seq} is not signed",
            check.seq or link.seq,
        )
        return ChainVerdict(link.seq, link.hash, fault, seq)
    return ChainVerdict(link.seq, link.hash, check.fault, check.seq)


def _is_named(rows: Callable[[], Iterable[Row]], key: PublicKey) -> bool:
    """Whether an entry behind the first fault hands over to this key; it is not trusted for that, only the fault is named."""
    return any(row.kind == "key" and key.hex in row.text for row in rows())


def _first_unsigned(
    rows: Callable[[], Iterable[Row]], key_at: Callable[[int], PublicKey | None], last: int
) -> tuple[str, int] | None:
    """The first signature that is not the key's, among the first ``last`` entries: a chain that was written anew from there."""
    first = 1
    for row in rows():
        if row.seq > last:
            break
        if row.signature:
            key = key_at(row.seq)
            if key is None or not is_signed(row.hash, row.signature, key):
                where = f"entry {row.seq} was" if first == row.seq else f"one of entries {first} to {row.seq} was"
                named = f" by the key {key.hex[:16]}" if key else ""
                return f"{where} altered: not signed{named}", first
            first = row.seq + 1
    return None
