"""Killed, out of room, read-only, a clock that goes back, two writers: a clear message, and nothing acknowledged is lost."""

from __future__ import annotations

import os
import random
import re
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from headstock.base.errors import StorageError
from headstock.records import store
from headstock.records.store import StoredRecords
from tests.promises.tree import ROOT
from tests.unit.records.drafts import draft

NOBODY = 65534


def writer(
    folder: Path, first: int, count: int, batch: int = 1, before: tuple[str, ...] = (), database: str = "", **how: object
) -> subprocess.Popen[str]:
    """Appends in a process of its own."""
    words = [
        *before,
        sys.executable,
        "-m",
        "tests.unit.records.writer",
        str(folder),
        str(first),
        str(count),
        str(batch),
        database,
    ]
    environment = {**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"}
    return subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **how)


def acknowledged(said: str) -> dict[str, int]:
    """What was acknowledged on whole lines."""
    return {key: int(seq) for key, seq in re.findall(r"^(key-\d+) (\d+)\n", said, re.MULTILINE)}


def test_twenty_kills_under_load_lose_and_double_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    chance, told = random.Random(20), {}
    for round_ in range(20):
        running = writer(tmp_path, round_ * 100_000, 100_000, batch=(1, 7)[round_ % 2])
        assert running.stdout is not None and running.stderr is not None
        said = [running.stdout.readline() for _ in range(chance.randrange(2, 40))]
        running.kill()
        rest, faults = running.communicate()
        assert faults == ""
        told |= acknowledged("".join(said) + rest)
    assert len(told) > 100
    records = StoredRecords(folder=tmp_path)
    assert records.verify().fault == ""
    there = [(entry.draft.key, entry.seq) for entry in records.every()]
    assert told.items() <= dict(there).items()
    assert max(Counter(key for key, _ in there).values()) == 1
    again = records.append([draft(int(key.removeprefix("key-"))) for key in told])
    assert not any(entry.is_new for entry in again), "a client that sends again after a crash doubles nothing"
    with sqlite3.connect(tmp_path / "records.db") as base:
        assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    records.close()


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not here: syncs are not counted, only the setting is read")
def test_each_acknowledged_commit_is_synced(tmp_path: Path) -> None:
    """The kernel's own count: one fdatasync (or fsync) for each commit, and those of making the file."""
    StoredRecords(folder=tmp_path).append([draft(1)])
    counts = []
    for first, commits in ((100, 0), (200, 40)):
        trace = tmp_path / f"trace-{first}"
        running = writer(tmp_path, first, commits, before=("strace", "-f", "-e", "trace=fdatasync,fsync", "-o", str(trace)))
        said, faults = running.communicate(timeout=120)
        if running.returncode and "ptrace" in faults:
            pytest.skip("strace may not trace here: syncs are not counted, only the setting is read")
        assert len(acknowledged(said)) == commits, faults
        counts.append(len(re.findall(r"f(?:data)?sync\(.*= 0", trace.read_text(encoding="utf-8"))))
    assert 40 <= counts[1] - counts[0] <= 44


def test_out_of_room_is_said_and_nothing_is_lost(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    records.append([draft(1)])

    def no_more_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))

    running = writer(tmp_path, 100, 5000, batch=50, preexec_fn=no_more_room)
    said, faults = running.communicate(timeout=120)
    assert running.returncode == 3
    assert "Make room" in faults and "Whatever was acknowledged before is on record" in faults and "Traceback" not in faults
    told = acknowledged(said)
    assert len(told) > 50
    assert records.verify().fault == ""
    assert told.items() <= {entry.draft.key: entry.seq for entry in records.every()}.items()
    assert records.append([draft(6000)])[0].is_new, "with room again it goes on"
    records.close()


@pytest.mark.skipif(
    os.geteuid() != 0, reason="only the administrator can make a small file system; a limit of size is tried above"
)
def test_a_small_file_system_that_is_full_is_said_and_nothing_is_lost(tmp_path: Path) -> None:
    with small_place(tmp_path / "small", "3m") as folder:
        running = writer(folder, 100, 20_000, batch=50)
        said, faults = running.communicate(timeout=120)
        assert running.returncode == 3, faults
        assert (
            "the disk is full" in faults
            and "Whatever was acknowledged before is on record" in faults
            and "Traceback" not in faults
        )
        told = acknowledged(said)
        assert len(told) > 50
        records = StoredRecords(folder=folder)
        assert records.verify().fault == "", "what is there can be read and verified with no room at all"
        assert told.items() <= {entry.draft.key: entry.seq for entry in records.every()}.items()
        subprocess.run(["mount", "-o", "remount,size=20m", str(folder)], check=True)
        assert records.append([draft(60_000)])[0].is_new, "with room again it goes on"
        records.close()


@contextmanager
def small_place(folder: Path, size: str) -> Iterator[Path]:
    """A file system of its own in memory."""
    folder.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)], capture_output=True, check=False)
    if made.returncode:
        pytest.skip("no file system can be made here, though by the administrator; a limit of size is tried above")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


@pytest.mark.skipif(not hasattr(os, "seteuid"), reason="needs accounts")
def test_records_that_may_only_be_read_say_so(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    records.append([draft(1)])
    is_root = os.geteuid() == 0
    tmp_path.chmod(0o755)
    for path in tmp_path.iterdir():
        path.chmod(0o444)
    key = records.signer
    records.close()
    for path in tmp_path.iterdir():
        path.chmod(0o444)
    if is_root:  # for the administrator permissions mean nothing: become somebody else for a moment
        for folder in (tmp_path, *tmp_path.parents):
            if folder == Path(tempfile.gettempdir()):
                break
            folder.chmod(0o755)
        os.seteuid(NOBODY)
    try:
        reader = StoredRecords(folder=tmp_path)
        assert reader.verify(key.public).entries == 2, "an auditor's copy is read"
        reader._signer = key
        with pytest.raises(StorageError) as caught:
            reader.append([draft(2)])
        reader.close()
    finally:
        if is_root:
            os.seteuid(0)
    assert "can be read but not written" in caught.value.text()
    tmp_path.chmod(0o755)
    for path in tmp_path.iterdir():
        path.chmod(0o644)
    records = StoredRecords(folder=tmp_path)
    assert (records.verify().entries, records.verify().fault) == (2, "")
    records.close()


def test_a_clock_that_goes_back_is_recorded_and_the_order_is_the_chain_s(
    records: StoredRecords, monkeypatch: pytest.MonkeyPatch
) -> None:
    records.append([draft(1)])

    class Slow(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return datetime(2020, 1, 1, tzinfo=UTC)

    monkeypatch.setattr(store, "datetime", Slow)
    late = records.append([draft(2)])[0]
    assert late.clock_behind_s > 86400 * 365
    assert [entry.draft.key for entry in records.every()][1:] == ["key-1", "key-2"]
    assert records.verify().fault == ""


def test_two_servers_on_one_file_take_turns(tmp_path: Path) -> None:
    both = [writer(tmp_path, first, 60) for first in (1000, 2000)]
    told = {}
    for running in both:
        said, faults = running.communicate(timeout=180)
        assert running.returncode == 0, faults
        told |= acknowledged(said)
    assert len(told) == len(set(told.values())) == 120
    records = StoredRecords(folder=tmp_path)
    assert (records.verify().entries, records.verify().fault) == (121, "")
    records.close()


def test_a_writer_that_never_lets_go_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("headstock.records.database.BUSY_S", 0.2)
    records = StoredRecords(folder=tmp_path)
    records.append([draft(1)])
    base = sqlite3.connect(tmp_path / "records.db", isolation_level=None)
    base.execute("BEGIN IMMEDIATE")
    with pytest.raises(StorageError, match="somebody else is writing for too long"):
        records.append([draft(2)])
    assert records.named("key-1") is not None, "reading goes on"
    base.execute("ROLLBACK")
    base.close()
    assert records.append([draft(2)])[0].is_new
    records.close()


@pytest.mark.parametrize("content", [b"no database at all, but long enough to be looked at" * 40, b""])
def test_a_file_that_is_no_database_is_told_of(content: bytes, tmp_path: Path) -> None:
    (tmp_path / "records.db").write_bytes(content)
    if not content:
        assert StoredRecords(folder=tmp_path).verify().entries == 0
        return
    with pytest.raises(StorageError, match="no database of records"):
        StoredRecords(folder=tmp_path)
    assert (tmp_path / "records.db").read_bytes() == content
