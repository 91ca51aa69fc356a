"""What is kept: records, accounts, keys, sittings, and what is handed out of them."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from headstock.wiring.files import put_into, write_whole

if TYPE_CHECKING:
    from headstock.records.accounts.keeping import StoredAccounts
    from headstock.records.signing import PublicKey
    from headstock.records.sitting_files import SittingFiles
    from headstock.records.store import StoredRecords
    from headstock.usecases.listening import TlsFiles
    from headstock.usecases.record_state import TestNow
    from headstock.usecases.records_port import Filed


def data_folder() -> Path:
    """Where records, keys and what else is kept for this user lie."""
    from headstock.records.database import data_folder as kept_in

    return kept_in()


def open_records(database: str | None) -> StoredRecords:
    """The records: a file, an address, or those of the data folder. Raises StorageError, InputError."""
    from headstock.records.store import StoredRecords

    return StoredRecords(database or os.environ.get("HEADSTOCK_RECORDS", ""))


def open_accounts(database: str | None) -> StoredAccounts:
    """The accounts beside the records. Raises StorageError, InputError."""
    return accounts_of(open_records(database))


def accounts_of(records: StoredRecords) -> StoredAccounts:
    """The accounts beside records that are open."""
    from headstock.records.accounts.keeping import StoredAccounts

    return StoredAccounts(records)


def sitting_log() -> SittingFiles:
    """Sittings, kept in the data folder. Raises StorageError."""
    from headstock.records.sitting_files import SittingFiles

    return SittingFiles(data_folder() / "sittings")


def paper_log() -> SittingFiles:
    """Papers sat on screen, kept in the data folder. Raises StorageError."""
    from headstock.records.sitting_files import PAPER_FORM, PAPER_SUFFIX, SittingFiles

    return SittingFiles(data_folder() / "papers", PAPER_SUFFIX, PAPER_FORM)


def tls_files(certificate: Path | None, key: Path | None) -> TlsFiles | None:
    """The files for TLS with every fault in them; None where neither is given."""
    from headstock.exchange.tls_files import read_tls_files

    return read_tls_files(certificate, key)


def public_key(path: Path) -> PublicKey:
    """A public key from a file. Raises InputError."""
    from headstock.records.signing import load_public_key

    return load_public_key(path)


def public_keys(path: Path) -> tuple[PublicKey, ...]:
    """The public keys in a file, the one in force first. Raises InputError."""
    from headstock.records.signing import load_public_keys

    return load_public_keys(path)


def print_certificate(now: TestNow, records: StoredRecords, folder: Path) -> tuple[Path, str]:
    """Write a test's certificate into a folder; returns its path and the line in its square code. Raises InputError."""
    from headstock.records.certificates import certificate_text
    from headstock.sheets.certificate_sheet import certificate_name, render_certificate
    from headstock.usecases.certificate import certificate_of
    from headstock.usecases.records_port import Search

    (last,) = records.search(Search(top=1))
    line = certificate_text(certificate_of(now, last.code), records.signer)
    return put_into(folder, certificate_name(now), render_certificate(now, last.code, line)), line


def export_records(entries: Iterable[Filed], path: Path) -> None:
    """Write entries as a table: CSV, or Parquet by the file's ending. Raises InputError."""
    from headstock.exchange.records_table import records_csv, records_parquet

    write_whole({path: (records_parquet if path.suffix == ".parquet" else records_csv)(entries)})
