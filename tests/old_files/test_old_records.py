"""Records as each released format stored them are opened, verified, searched and restored for ever. All invented.

A new format gets a new folder beside; what lies here is never made anew.
"""

from __future__ import annotations

import io
import shutil
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from headstock.exchange.records_table import records_csv, records_parquet
from headstock.records.accounts.keeping import StoredAccounts
from headstock.records.certificates import certificate_content
from headstock.records.lines import back_up, restore
from headstock.records.signing import load_public_keys
from headstock.records.store import StoredRecords
from headstock.usecases.accounts_port import NotSignedIn, SignedIn
from headstock.usecases.record_state import state_of_test
from headstock.usecases.records_port import Search

HERE = Path(__file__).parent
FOLDERS = sorted(HERE.glob("records-*"))
HEADS = {"records-1": "6e880b1d6a957d13e76bd886b0f5a8ca71441f19949126bef3e72ef56a10abf5",
         "records-2": "66422bebd6a6eb17c727ba436e76aa9359717c5782684a27811d89ba040f6f1a"}  # fmt: skip
KINDS = {
    "records-1": ["correction", "defect", "isolation", "touch", "test", "key"],
    "records-2": ["correction", "competence", "paper", "sitting", "defect", "isolation", "sheet", "job", "touch", "key", "test",
                  "key"],
}  # fmt: skip
TRACES = {"records-1": 0, "records-2": 4}


def test_every_old_folder_is_opened() -> None:
    assert {folder.name for folder in FOLDERS} == set(HEADS)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_an_old_database_is_verified_searched_and_backed_up_as_it_was(folder: Path, tmp_path: Path) -> None:
    shutil.copy(folder / "records.db", tmp_path / "records.db")
    records = StoredRecords(folder=tmp_path)
    for key in load_public_keys(folder / "public.pem"):
        verdict = records.verify(key)
        wanted = (len(KINDS[folder.name]) + TRACES[folder.name], "", HEADS[folder.name])
        assert (verdict.entries, verdict.fault, verdict.head) == wanted
    (test,) = records.search(Search(("217", "iden"), kind="test"))
    now = state_of_test(test, records)
    assert (now.state, [one.who for one in now.void_by]) == ("void", ["J. Tolk"])
    assert [entry.draft.kind for entry in records.search(Search())] == KINDS[folder.name]
    back_up(records, tmp_path / "again.jsonl")
    assert (tmp_path / "again.jsonl").read_bytes() == (folder / "backup.jsonl").read_bytes()
    records.close()


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_an_old_backup_is_restored_and_an_old_square_code_checked(folder: Path, tmp_path: Path) -> None:
    keys = load_public_keys(folder / "public.pem")
    records = StoredRecords(folder=tmp_path)
    assert restore(records, folder / "backup.jsonl", keys[0]) == len(KINDS[folder.name]) + TRACES[folder.name]
    assert records.verify(keys[0]).head == HEADS[folder.name]
    records.close()
    said = certificate_content((folder / "square-code.txt").read_text(encoding="utf-8"), *keys)
    assert said is not None and (said["state"], said["units"]) == ("stands", ["217", "226"])


def test_old_accounts_sign_in_with_their_old_passwords(tmp_path: Path) -> None:
    shutil.copy(HERE / "records-2" / "records.db", tmp_path / "records.db")
    accounts = StoredAccounts(StoredRecords(folder=tmp_path))
    assert [(one.name, one.role, one.is_locked, one.doubt) for one in accounts.every()] == [
        ("iden", "crew", True, ""), ("oad", "administrator", False, "")]  # fmt: skip
    accounts.records.close()
    restored = StoredRecords(folder=tmp_path / "new")
    restore(restored, HERE / "records-2" / "backup.jsonl", load_public_keys(HERE / "records-2" / "public.pem")[0])
    assert StoredAccounts(restored).every() == (), "a backup brings no accounts back"
    restored.close()


def test_an_old_password_is_still_right(tmp_path: Path) -> None:
    """Into a database of its own key: the old one's signing key is not kept here, so nothing is added to it."""
    from sqlalchemy import insert, select

    from headstock.records.tables import ACCOUNT

    shutil.copy(HERE / "records-2" / "records.db", tmp_path / "records.db")
    old = StoredRecords(folder=tmp_path)
    with old.engine.connect() as connection:
        rows = [row._asdict() for row in connection.execute(select(ACCOUNT))]
    old.close()
    accounts = StoredAccounts(StoredRecords(folder=tmp_path / "new"))
    with accounts._writes() as connection:
        connection.execute(insert(ACCOUNT), rows)
    assert isinstance(accounts.sign_in("oad", "seven wet lamps on a hook", "192.0.2.1"), SignedIn)
    assert isinstance(accounts.sign_in("iden", "nine dry boards in a shed", "192.0.2.1"), NotSignedIn), "locked"
    accounts.records.close()


def test_tables_are_written_as_they_were(tmp_path: Path) -> None:
    """Whoever reads our CSV and Parquet goes on reading them."""
    folder = HERE / "records-2"
    shutil.copy(folder / "records.db", tmp_path / "records.db")
    records = StoredRecords(folder=tmp_path)
    assert records_csv(records.every()) == (folder / "export.csv").read_bytes()
    assert pq.read_table(io.BytesIO(records_parquet(records.every()))) == pq.read_table(folder / "export.parquet")
    records.close()
