"""Backup and restore as JSON lines: a first line, then each entry with its hash and signature; the same for either database."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from sqlalchemy import select

from headstock.base.durable import sync_folder
from headstock.base.errors import Fault, FileError, InputError
from headstock.base.kept_json import kept_json
from headstock.records.canonical import canonical
from headstock.records.chain import Link, Row, chain_verdict, code_of
from headstock.records.database import told
from headstock.records.signing import PublicKey
from headstock.records.store import StoredRecords
from headstock.records.tables import HEAD
from headstock.records.writing import AT_ONCE, writing

HEADER = "records backup 1"


def back_up(records: StoredRecords, path: Path) -> int:
    """Write all entries as of one moment; the file is whole or not there. Returns how many. Raises StorageError."""
    with told(str(path)):
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:80]}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file, records.snapshot() as connection:
                seq, digest = connection.execute(select(HEAD.c.seq, HEAD.c.hash)).one()
                file.write(canonical({"entries": seq, "head": digest, "headstock": HEADER}) + "\n")
                for row in records.rows(connection):
                    file.write(f'{{"entry":{row.text},"hash":"{row.hash}","signature":"{row.signature}"}}\n')
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
            sync_folder(path.parent)
        finally:
            Path(name).unlink(missing_ok=True)
    return int(seq)


def rows_of_backup(path: Path) -> Iterator[Row]:
    """The entries of a backup. Raises FileError, InputError with the line."""
    try:
        with path.open(encoding="utf-8") as file:
            _head(file.readline(), path)
            for number, line in enumerate(file, start=2):
                yield _row(line, number, path)
    except (OSError, UnicodeDecodeError) as error:
        found = getattr(error, "strerror", None) or str(error)
        raise FileError(Fault("the backup cannot be read", str(path), found=found, expected="a file")) from None


def _head(line: str, path: Path) -> Link:
    """The end of the chain as the first line says it. Raises InputError."""
    try:
        said = kept_json(line)
        seq, digest = said["entries"], said["head"]
        is_ours = said["headstock"] == HEADER and type(seq) is int and isinstance(digest, str)
    except (ValueError, KeyError, TypeError):
        is_ours = False
    if not is_ours:
        raise InputError(
            Fault("not a backup of records", str(path), 1, found=line[:60].strip(), expected=f'"headstock":"{HEADER}"')
        )
    return Link(seq, digest)


def _row(line: str, number: int, path: Path) -> Row:
    try:
        said = kept_json(line)
        entry = said["entry"]
        row = Row(entry["seq"], entry["key"], entry["kind"], entry["at"], code_of(said["hash"]), said["hash"], said["signature"],
                  canonical(entry))  # fmt: skip
        if type(row.seq) is not int or not all(isinstance(part, str) for part in row[1:]):
            raise TypeError
    except (ValueError, KeyError, TypeError):
        fault = Fault("not an entry of a backup", str(path), number, found=line[:60].strip(), expected="entry, hash, signature")
        raise InputError(fault, cure="Take another copy of the backup; this one was altered or cut off.") from None
    return row


OTHER_KEY_OR_COPY = (
    "Where the signing key was changed since, name the public key of that time with --public-key; else take another copy of the "
    "backup."
)


def restore(records: StoredRecords, path: Path, key: PublicKey) -> int:
    """Add what the backup holds and the records lack, others may be writing. Returns how many. Raises InputError."""
    next(rows_of_backup(path), None)
    verdict = chain_verdict(lambda: rows_of_backup(path), key, _head_of(path))
    if verdict.fault:
        raise InputError(Fault(verdict.fault, str(path), verdict.seq + 1), cure=OTHER_KEY_OR_COPY)
    with told(records.where), writing(records.engine) as pen:
        head = pen.head()
        rows = rows_of_backup(path)
        last = Link()
        for row in islice(rows, head.seq):
            last = Link(row.seq, row.hash)
        if (last.seq, last.hash) != (head.seq, head.hash):
            raise _parted(records, path, last, head.seq)
        added = 0
        while some := list(islice(rows, AT_ONCE)):
            pen.put(some, (json.loads(row.text)["terms"] for row in some))
            added += len(some)
    return added


def _head_of(path: Path) -> Link:
    with path.open(encoding="utf-8") as file:
        return _head(file.readline(), path)


def _parted(records: StoredRecords, path: Path, last: Link, seq: int) -> InputError:
    more = f"the records hold {seq} entries, the backup {last.seq}" if last.seq < seq else "they differ from the backup"
    fault = Fault(
        "nothing was restored: entries would be lost", str(path), found=more, expected="records that the backup continues"
    )
    return InputError(fault, cure=f"Restore into a new place and compare; {records.where} was left as it is.")
