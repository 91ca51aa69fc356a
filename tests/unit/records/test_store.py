"""Records: appended once, found, never changed; the same in SQLite and PostgreSQL."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from headstock.base.errors import InputError, StorageError
from headstock.records.database import NEWEST
from headstock.records.store import StoredRecords
from headstock.usecases.records_port import Search
from tests.unit.records.drafts import draft


def test_what_is_appended_is_there_and_the_chain_holds(records: StoredRecords) -> None:
    filed = records.append([draft(1)])[0]
    more = records.append([draft(number) for number in range(2, 30)])
    assert (filed.seq, filed.is_new, more[-1].seq) == (2, True, 30), "the first entry is the key"
    assert records.named(filed.code) == records.named("2") == records.named("key-1")
    found = records.named(filed.code.lower().replace("-", " "))
    assert found is not None and found.draft.body["text"] == "invented ä 1"
    verdict = records.verify()
    assert (verdict.entries, verdict.fault) == (30, "")
    assert [entry.seq for entry in records.every()] == list(range(1, 31))


def test_sending_again_doubles_nothing_and_a_key_holds_one_thing(records: StoredRecords) -> None:
    first = records.append([draft(1), draft(2)])
    again = records.append([draft(2), draft(1), draft(3), draft(3)])
    assert [entry.seq for entry in again] == [first[1].seq, first[0].seq, 4, 4]
    assert [entry.is_new for entry in again] == [False, False, True, True]
    other = draft(4)
    with pytest.raises(InputError, match="already holds something else"):
        records.append([draft(5), type(other)("defect", "key-1", other.at, other.terms, other.body)])
    assert records.named("key-5") is None, "all or none"
    assert records.verify().entries == 4


def test_a_sign_that_is_none_is_refused_and_finds_nothing(records: StoredRecords) -> None:
    """PostgreSQL has no place for it; both say so alike, and neither says that the records cannot be used."""
    records.append([draft(1)])
    one = draft(2)
    for wrong in (
        replace(one, key="a\0"),
        replace(one, kind="\0"),
        replace(one, at="2026\0"),
        replace(one, terms=("kind:defect", "\0")),
    ):
        with pytest.raises(InputError, match="a sign that is none"):
            records.append([one, wrong])
    assert records.named("key-2") is None and records.named("key-1\0") is None
    for nothing in (Search(("217", "\0")), Search(kind="\0"), Search(from_day="\0"), Search(any_of=("\0",))):
        assert records.search(nothing) == ()
    assert [entry.draft.key for entry in records.search(Search(any_of=("\0", "217")))] == ["key-1"]


def test_search_finds_by_all_words_kind_days_and_beginnings_newest_first(records: StoredRecords) -> None:
    records.append([draft(number, ("iden",) if number % 2 else ()) for number in range(1, 41)])
    records.append([draft(100, ("iden",), "isolation")])
    found = records.search(Search(("226",)))
    assert [entry.draft.key for entry in found] == ["key-100", "key-40", "key-30", "key-20", "key-10"]
    assert [entry.draft.key for entry in records.search(Search(("22*", "IDEN")))] == ["key-100"]
    assert records.search(Search(("iden", "226"), kind="defect")) == ()
    assert {entry.draft.at[:10] for entry in records.search(Search(from_day="2026-11-03", to_day="2026-11-04"))} == {
        "2026-11-03", "2026-11-04"}  # fmt: skip
    assert len(records.search(Search(top=7))) == 7
    either = records.search(Search(kind="isolation", any_of=("226", "217")))
    assert [entry.draft.key for entry in either] == ["key-100"]
    assert len(records.search(Search(any_of=("226", "IDEN")))) == 25


COPIED = "kind, at, code, hash, signature, text FROM entry WHERE seq = 2"


@pytest.mark.parametrize("line", [
    "UPDATE entry SET text = 'x' WHERE seq = 2", "DELETE FROM entry WHERE seq = 3", "DELETE FROM mention", "DELETE FROM head",
    "UPDATE mention SET term = 'x'", "UPDATE head SET seq = 1", f"INSERT INTO entry SELECT 9, 'n', {COPIED}",
    f"INSERT INTO entry SELECT 4, 'key-1', {COPIED}",
])  # fmt: skip
def test_the_database_itself_forbids_change(records: StoredRecords, line: str) -> None:
    records.append([draft(1), draft(2)])
    with pytest.raises(DBAPIError), records.engine.begin() as connection:
        connection.execute(text(line))
    assert records.verify() == type(records.verify())(3, records.verify().head)


def test_or_replace_is_forbidden_too(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    records.append([draft(1), draft(2)])
    for seq, key in ((2, "key-1"), (4, "key-1")):
        line = (
            f"INSERT OR REPLACE INTO entry SELECT {seq}, '{key}', kind, at, code, hash, signature, text FROM entry WHERE seq = 2"
        )
        with pytest.raises(DBAPIError), records.engine.begin() as connection:
            connection.execute(text(line))
    records.close()


def test_every_connection_of_sqlite_syncs_each_commit(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    connections = [records.engine.connect() for _ in range(4)]
    for connection in connections:
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        connection.close()
    records.close()


def test_another_key_continues_nothing(records: StoredRecords, tmp_path: Path) -> None:
    records.append([draft(1)])
    database = records.engine.url.render_as_string(hide_password=False)
    other = StoredRecords(database, tmp_path / "elsewhere")
    with pytest.raises(StorageError, match="signed by another key"):
        other.append([draft(2)])
    assert other.verify().fault.endswith(f"not signed by the key {other.signer.public.hex[:16]}")
    assert other.verify(records.signer.public).fault == ""
    other.close()


def test_tables_of_a_newer_version_are_left_alone(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    with records.engine.execution_options(writes=True).begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    records.close()
    with pytest.raises(StorageError, match="newer Headstock"):
        StoredRecords(folder=tmp_path)


def test_the_newest_migration_is_the_one_that_is_there_and_makes_the_tables_as_they_are_used(records: StoredRecords) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from headstock.records.tables import METADATA

    with records.engine.connect() as connection:
        context = MigrationContext.configure(connection)
        assert context.get_current_revision() == NEWEST
        assert compare_metadata(context, METADATA) == []


def test_writers_side_by_side_take_turns_and_lose_nothing(records: StoredRecords, tmp_path: Path) -> None:
    database = records.engine.url.render_as_string(hide_password=False)
    records.append([draft(0)])
    others = [StoredRecords(database, tmp_path / "data") for _ in range(3)]
    with ThreadPoolExecutor(len(others)) as pool:
        filed = list(pool.map(lambda number: others[number % 3].append([draft(number // 2)])[0], range(2, 62)))
    assert len({entry.draft.key: entry.seq for entry in filed}) == 30
    assert sum(entry.is_new for entry in filed) == 30, "each was sent twice, from two places at once"
    assert (records.verify().entries, records.verify().fault) == (32, "")
    for other in others:
        other.close()
