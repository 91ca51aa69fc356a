"""Records in SQLite, and in PostgreSQL where a server is installed; never skipped in silence."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from headstock.records.store import StoredRecords
from tests.unit.records.postgres import DURABLE, PostgresServer, binaries


@pytest.fixture(scope="session")
def postgres() -> Iterator[PostgresServer]:
    folder = binaries()
    if folder is None:
        why = "no PostgreSQL server here: install the package postgresql, or set HEADSTOCK_PG_BIN"
        if os.environ.get("CI"):
            pytest.fail(why)
        pytest.skip(why)
    server = PostgresServer(folder)
    yield server
    server.stop()


@pytest.fixture
def durable(postgres: PostgresServer) -> Iterator[PostgresServer]:
    """A server of its own that syncs, and that may be killed."""
    server = PostgresServer(postgres.folder, DURABLE)
    yield server
    server.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def records(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[StoredRecords]:
    database = "" if request.param == "sqlite" else request.getfixturevalue("postgres").new_database()
    store = StoredRecords(database, tmp_path / "data")
    yield store
    store.close()
