"""Records as each released format stored them are opened, verified, searched and restored for ever. All invented.

A new format gets a new folder beside; what lies here is never made anew.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from headstock.records.certificates import certificate_content
from headstock.records.lines import back_up, restore
from headstock.records.signing import load_public_key
from headstock.records.store import StoredRecords
from headstock.usecases.record_state import state_of_test
from headstock.usecases.records_port import Search

HERE = Path(__file__).parent
FOLDERS = sorted(HERE.glob("records-*"))
HEADS = {"records-1": "6e880b1d6a957d13e76bd886b0f5a8ca71441f19949126bef3e72ef56a10abf5"}


def test_every_old_folder_is_opened() -> None:
    assert {folder.name for folder in FOLDERS} == set(HEADS)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_an_old_database_is_verified_searched_and_backed_up_as_it_was(folder: Path, tmp_path: Path) -> None:
    shutil.copy(folder / "records.db", tmp_path / "records.db")
    records = StoredRecords(folder=tmp_path)
    verdict = records.verify(load_public_key(folder / "public.pem"))
    assert (verdict.entries, verdict.fault, verdict.head) == (6, "", HEADS[folder.name])
    (test,) = records.search(Search(("217", "iden"), kind="test"))
    now = state_of_test(test, records)
    assert (now.state, [one.who for one in now.void_by]) == ("void", ["J. Tolk"])
    assert [entry.draft.kind for entry in records.search(Search())] == [
        "correction", "defect", "isolation", "touch", "test", "key"]  # fmt: skip
    back_up(records, tmp_path / "again.jsonl")
    assert (tmp_path / "again.jsonl").read_bytes() == (folder / "backup.jsonl").read_bytes()
    records.close()


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_an_old_backup_is_restored_and_an_old_square_code_checked(folder: Path, tmp_path: Path) -> None:
    key = load_public_key(folder / "public.pem")
    records = StoredRecords(folder=tmp_path)
    assert restore(records, folder / "backup.jsonl", key) == 6
    assert records.verify(key).head == HEADS[folder.name]
    records.close()
    said = certificate_content((folder / "square-code.txt").read_text(encoding="utf-8"), key)
    assert said is not None and (said["state"], said["units"]) == ("stands", ["217", "226"])
