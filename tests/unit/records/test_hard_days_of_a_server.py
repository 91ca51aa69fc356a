"""PostgreSQL that syncs: its writers killed, the server itself killed, no room, read-only; nothing acknowledged is lost."""

from __future__ import annotations

import os
import random
import re
import shutil
from collections import Counter
from pathlib import Path

import psycopg
import pytest
from psycopg import sql

from headstock.base.errors import StorageError
from headstock.records.store import StoredRecords
from tests.unit.records.drafts import draft
from tests.unit.records.postgres import DURABLE, PostgresServer
from tests.unit.records.test_hard_days import acknowledged, small_place, writer


def test_twenty_kills_of_writer_and_server_lose_and_double_nothing_that_was_acknowledged(
    durable: PostgresServer, tmp_path: Path
) -> None:
    """Every fourth time it is the server, all of its processes at once; it recovers from what it had synced."""
    assert [durable.run(f"SHOW {name}") for name in ("fsync", "synchronous_commit", "full_page_writes")] == ["on"] * 3
    database, chance, told = durable.new_database(), random.Random(21), {}
    for round_ in range(20):
        running = writer(tmp_path, round_ * 100_000, 100_000, batch=(1, 7)[round_ % 2], database=database)
        assert running.stdout is not None
        said = [running.stdout.readline() for _ in range(chance.randrange(4, 60))]
        if round_ % 4 == 3:
            durable.kill()
            rest, faults = running.communicate(timeout=120)
            assert running.returncode == 3 and "Whatever was acknowledged before is on record" in faults, faults
            durable.start()
        else:
            running.kill()
            rest, faults = running.communicate(timeout=120)
            assert faults == ""
        told |= acknowledged("".join(said) + rest)
    assert len(told) > 100
    records = StoredRecords(database, tmp_path)
    assert (records.verify().fault, records.unsafe_because()) == ("", "")
    there = [(entry.draft.key, entry.seq) for entry in records.every()]
    assert told.items() <= dict(there).items()
    assert max(Counter(key for key, _ in there).values()) == 1
    again = records.append([draft(int(key.removeprefix("key-"))) for key in told])
    assert not any(entry.is_new for entry in again)
    records.close()


@pytest.mark.skipif(
    shutil.which("strace") is None, reason="strace is not here: syncs are not counted, only the settings are read"
)
def test_each_acknowledged_commit_is_synced_by_the_server(postgres: PostgresServer, tmp_path: Path) -> None:
    trace = ("strace", "-f", "-e", "trace=fdatasync,fsync", "-o", "ROOT/trace")
    try:
        server = PostgresServer(postgres.folder, DURABLE, trace)
    except psycopg.OperationalError:
        pytest.skip("strace may not trace here: syncs are not counted, only the settings are read")
    records = StoredRecords(server.new_database(), tmp_path)
    records.append([draft(1)])

    def synced() -> int:
        return len(re.findall(r"f(?:data)?sync\(.*= 0", (server.root / "trace").read_text(encoding="utf-8")))

    before = synced()
    for number in range(2, 42):
        records.append([draft(number)])
        assert synced() >= before + number - 1, "synced before it was acknowledged"
    records.close()
    server.stop()


def test_a_server_told_not_to_wait_for_the_disk_waits_for_records(postgres: PostgresServer, tmp_path: Path) -> None:
    database = postgres.new_database()
    name = database.partition("@/")[2].partition("?")[0]
    with psycopg.connect(database, autocommit=True) as connection:
        connection.execute(sql.SQL("ALTER DATABASE {} SET synchronous_commit = off").format(sql.Identifier(name)))
    records = StoredRecords(database, tmp_path)
    assert "fsync = off" in records.unsafe_because(), "the quick server of most tests"
    for _ in range(3):
        with records.engine.connect() as connection:
            assert connection.exec_driver_sql("SHOW synchronous_commit").scalar() == "on"
    records.close()


def test_a_database_that_may_only_be_read_says_so(postgres: PostgresServer, tmp_path: Path) -> None:
    database = postgres.new_database()
    records = StoredRecords(database, tmp_path)
    records.append([draft(1)])
    records.close()
    name = database.partition("@/")[2].partition("?")[0]
    with psycopg.connect(database, autocommit=True) as connection:
        connection.execute(sql.SQL("ALTER DATABASE {} SET default_transaction_read_only = on").format(sql.Identifier(name)))
    records = StoredRecords(database, tmp_path)
    with pytest.raises(StorageError, match="can be read but not written"):
        records.append([draft(2)])
    assert (records.verify().entries, records.verify().fault) == (2, "")
    records.close()


@pytest.mark.skipif(os.geteuid() != 0, reason="only the administrator can make a small file system for the server")
def test_a_server_without_room_is_told_of_and_nothing_is_lost(durable: PostgresServer, tmp_path: Path) -> None:
    """Its tables lie on a file system of their own, so that the server lives on and only the entry fails."""
    with small_place(durable.root / "small", "16m") as folder:
        owner = durable.root.stat()
        os.chown(folder, owner.st_uid, owner.st_gid)
        durable.run(f"CREATE TABLESPACE small LOCATION '{folder}'")
        database = durable.new_database("TABLESPACE small")
        running = writer(tmp_path / "data", 100, 100_000, batch=200, database=database)
        said, faults = running.communicate(timeout=240)
        assert running.returncode == 3, faults
        assert "the disk is full" in faults and "Make room" in faults and "Traceback" not in faults
        told = acknowledged(said)
        assert len(told) > 100
        records = StoredRecords(database, tmp_path / "data")
        assert records.verify().fault == ""
        assert told.items() <= {entry.draft.key: entry.seq for entry in records.every()}.items()
        records.close()
        durable.stop()
