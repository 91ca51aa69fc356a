"""Names in folders are brought to the disk."""

import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from headstock.base.durable import sync_folder
from headstock.records.signing import load_signer
from headstock.records.sitting_files import SittingFiles


@pytest.fixture
def synced(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Numbers (inodes) of the folders that were synced."""
    found: list[int] = []
    real = os.fsync

    def noted(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            found.append(os.fstat(handle).st_ino)
        real(handle)

    monkeypatch.setattr(os, "fsync", noted)
    return found


def _sitting_begun(folder: Path) -> None:
    SittingFiles(folder).begin("ABCDE", "demo", "2026-01-01 00:00:00")


def _name_taken_out(folder: Path) -> None:
    (folder / "ABCDE.sitting.jsonl").write_text('{"kind": "took", "person": "J. Tolk", "role": "driver"}\n')
    assert SittingFiles(folder).unname("ABCDE", "J. Tolk", "somebody")


@pytest.mark.outside(source="POSIX.1", clause="fsync: a file, not the entry in the folder that names it", status="from memory")
@pytest.mark.parametrize("made", [sync_folder, _sitting_begun, _name_taken_out, load_signer])
def test_the_folder_of_a_new_name_is_synced(tmp_path: Path, synced: list[int], made: Callable[[Path], object]) -> None:
    made(tmp_path)
    assert tmp_path.stat().st_ino in synced


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        sync_folder(tmp_path / "none")
