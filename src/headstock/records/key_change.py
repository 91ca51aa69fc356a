"""A new signing key: the old one hands over to it in the chain, and goes on being good for what it signed.

Three steps, each durable before the next: the new key beside the old one, the entry that hands over, the change of files. A
change that was cut off is ended by asking for it again.
"""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

from headstock.base.durable import sync_folder
from headstock.base.errors import Fault, InputError
from headstock.records.database import told
from headstock.records.key_chain import handover_draft
from headstock.records.signing import KEY_FILE, PublicKey, Signer, load_signer
from headstock.records.store import StoredRecords
from headstock.records.writing import writing
from headstock.usecases.records_port import Filed, Search

NEXT_FILE = "next-signing-key.pem"


def change_key(records: StoredRecords) -> tuple[Filed, Path]:
    """Hand over to a new key; returns the entry that does, and where the old key lies now. Raises InputError, StorageError."""
    records.must_have_key()
    with told(str(records.folder)):
        new = load_signer(records.folder, NEXT_FILE)
    filed = _begun(records, new) or _hand_over(records, new)
    with told(str(records.folder)):
        kept = _exchange(records.folder, str(filed.draft.body["replaces"]))
    records.forget_key()
    return filed, kept


def _begun(records: StoredRecords, new: Signer) -> Filed | None:
    """The entry of a change that was cut off before the files were exchanged."""
    found = records.named(f"key:{new.public.hex[:32]}")
    return found if found is not None and "replaces" in found.draft.body else None


def _hand_over(records: StoredRecords, new: Signer) -> Filed:
    with told(records.where), writing(records.engine) as pen:
        link, last_at = records.following(pen)
        if link.seq == 0:
            fault = Fault("nothing was signed yet", records.where, found="no entry", expected="records with entries")
            raise InputError(fault, cure="Remove the key file; a new one is made with the first entry.")
        stamp = datetime.now(UTC).isoformat(" ", "seconds")[:19]
        draft = handover_draft(records.signer.public, new, link.hash, stamp)
        return records.add(pen, link, last_at, [draft])[draft.key]


def _exchange(folder: Path, old: str) -> Path:
    """The next key becomes the key, the old one stays beside under its own name."""
    kept = folder / f"former-signing-key-{old[:16]}.pem"
    if not kept.exists():
        os.link(folder / KEY_FILE, kept)
    os.replace(folder / NEXT_FILE, folder / KEY_FILE)
    sync_folder(folder)
    return kept


def public_keys_file(records: StoredRecords) -> bytes:
    """The public key in force and all former ones, as one file for whoever verifies."""
    own = records.signer.public
    named = (PublicKey.from_hex(entry.draft.body["public_key"]) for entry in records.search(Search(kind="key", top=1000)))
    former = [key for key in named if key is not None and key.hex != own.hex]
    words = b"".join(b"Former key, for what was signed with it:\n" + key.pem() for key in former)
    return own.pem() + words
