"""Whoever alters, removes or re-orders entries behind the product's back is found out, at the first entry."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from headstock.base.errors import InputError, StorageError
from headstock.records.canonical import canonical
from headstock.records.chain import code_of
from headstock.records.lines import back_up, restore, rows_of_backup
from headstock.records.signing import load_public_key, load_signer
from headstock.records.store import StoredRecords
from tests.unit.records.drafts import draft

Plant = Callable[[sqlite3.Connection], None]


def _opened(folder: Path) -> sqlite3.Connection:
    """The file as somebody opens it who takes the triggers out first."""
    base = sqlite3.connect(folder / "records.db", isolation_level=None)
    names = [name for (name,) in base.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")]
    for name in names:
        base.execute(f"DROP TRIGGER {name}")
    return base


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    records = StoredRecords(folder=tmp_path)
    for number in range(1, 6):
        records.append([draft(number)])
    records.append([draft(number) for number in range(6, 12)])
    records.close()
    return tmp_path


def _text(base: sqlite3.Connection) -> None:
    base.execute("UPDATE entry SET text = replace(text, 'invented ä 3', 'invented ä 8') WHERE seq = 4")


def _with_hash(base: sqlite3.Connection, seq: int = 4) -> None:
    ((text,),) = base.execute("SELECT text FROM entry WHERE seq = ?", (seq,))
    text = text.replace("invented", "imagined")
    digest = hashlib.sha256(text.encode()).hexdigest()
    base.execute("UPDATE entry SET text = ?, hash = ?, code = ? WHERE seq = ?", (text, digest, code_of(digest), seq))


def _rewritten(base: sqlite3.Connection) -> None:
    """The whole chain made anew from entry 4 on, by somebody without the key."""
    rows = base.execute("SELECT seq, text, signature FROM entry WHERE seq >= 4 ORDER BY seq").fetchall()
    before = None
    for seq, text, signature in rows:
        said = json.loads(text)
        said["body"] = {"text": "never was"} if seq == 4 else said["body"]
        said["before"] = before or said["before"]
        new = canonical(said)
        before = hashlib.sha256(new.encode()).hexdigest()
        base.execute("UPDATE entry SET text = ?, hash = ?, code = ? WHERE seq = ?", (new, before, code_of(before), seq))
        assert signature or seq > 6
    base.execute("UPDATE head SET hash = ?", (before,))


def _swapped(base: sqlite3.Connection) -> None:
    base.execute("UPDATE entry SET seq = 99 WHERE seq = 4")
    base.execute("UPDATE entry SET seq = 4 WHERE seq = 5")
    base.execute("UPDATE entry SET seq = 5 WHERE seq = 99")


def _run(line: str) -> Plant:
    def plant(base: sqlite3.Connection) -> None:
        base.execute(line)

    return plant


@pytest.mark.parametrize(
    ("plant", "seq", "said"),
    [
        (_text, 4, "entry 4 was altered"),
        (_with_hash, 4, "entry 4 was altered"),
        (_rewritten, 4, "entry 4 was altered: not signed"),
        (_swapped, 4, "entry 4 is out of order: it was written as entry 5"),
        (_run("DELETE FROM entry WHERE seq = 4"), 4, "entry 4 is missing"),
        (_run("DELETE FROM entry WHERE seq = 1"), 1, "entry 1 is missing"),
        (_run("DELETE FROM entry WHERE seq = 12"), 12, "entry 12 is missing: there were 12"),
        (_run("DELETE FROM entry"), 1, "entry 1 is missing"),
        (_run("UPDATE entry SET at = '2020-01-01 00:00:00' WHERE seq = 7"), 7, "entry 7 was altered"),
        (_run("UPDATE entry SET signature = '00' WHERE seq = 3"), 3, "entry 3 was altered: not signed"),
        (_run("UPDATE entry SET signature = 'none' WHERE seq = 12"), 7, "one of entries 7 to 12 was altered: not signed"),
        (_run("UPDATE entry SET signature = '' WHERE seq = 12"), 12, "entry 12 is not signed"),
        (_run("DELETE FROM mention WHERE seq = 5 AND term = '217'"), 5, "entry 5: the words by which it is found"),
        (lambda base: _with_hash(base, 8), 8, "entries 8 and 9 do not belong together"),
    ],
    ids=["text", "text and hash", "chain written anew", "swapped", "one taken out", "the key taken out", "last taken out",
         "all taken out", "a column", "a signature", "signature that is none", "last signature", "a word", "inside a batch"],
)  # fmt: skip
def test_verify_names_the_first_entry_that_is_not_as_written(folder: Path, plant: Plant, seq: int, said: str) -> None:
    base = _opened(folder)
    plant(base)
    base.close()
    records = StoredRecords(folder=folder)
    verdict = records.verify()
    assert said in verdict.fault
    assert verdict.seq == seq
    records.close()


def test_after_an_altered_end_nothing_is_added(folder: Path) -> None:
    base = _opened(folder)
    _with_hash(base, 12)
    base.close()
    records = StoredRecords(folder=folder)
    with pytest.raises(StorageError, match="the last entry was altered"):
        records.append([draft(50)])
    records.close()


def test_a_backup_made_while_others_write_is_whole_and_is_restored_with_its_signatures(
    records: StoredRecords, tmp_path: Path
) -> None:
    records.append([draft(number) for number in range(1, 4)])
    assert back_up(records, tmp_path / "backup.jsonl") == 4
    records.append([draft(4)])
    other = StoredRecords(folder=tmp_path / "other")
    assert restore(other, tmp_path / "backup.jsonl", records.signer.public) == 4
    assert restore(other, tmp_path / "backup.jsonl", records.signer.public) == 0, "again: nothing is doubled"
    assert other.verify(records.signer.public).fault == ""
    assert back_up(records, tmp_path / "later.jsonl") == 5
    assert restore(other, tmp_path / "later.jsonl", records.signer.public) == 1
    assert [entry.hash for entry in other.every()] == [entry.hash for entry in records.every()]
    with pytest.raises(InputError, match="entries would be lost"):
        restore(other, tmp_path / "backup.jsonl", records.signer.public)
    other.close()


@pytest.mark.parametrize(("old", "new", "said"), [
    ("invented ä 2", "invented ä 9", "entry 3 was altered"), ('{"entry"', '{"entri"', "not an entry of a backup"),
    ('"entries":4', '"entries":5', "entry 5 is missing: there were 5"), ("records backup 1", "records backup 7", "not a backup"),
])  # fmt: skip
def test_an_altered_backup_is_refused_and_nothing_restored(folder: Path, old: str, new: str, said: str, tmp_path: Path) -> None:
    source = StoredRecords(folder=tmp_path / "source")
    source.append([draft(number) for number in range(1, 4)])
    path = tmp_path / "backup.jsonl"
    back_up(source, path)
    path.write_text(path.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    other = StoredRecords(folder=tmp_path / "other")
    with pytest.raises(InputError, match=said):
        restore(other, path, source.signer.public)
    assert other.verify().entries == 0
    other.close()
    source.close()


def test_a_line_of_a_backup_is_checked_with_nothing_of_ours(folder: Path, tmp_path: Path) -> None:
    """By hashlib and the signature library alone, as the page on what is promised says."""
    from cryptography.hazmat.primitives.serialization import load_pem_public_key

    records = StoredRecords(folder=folder)
    back_up(records, tmp_path / "backup.jsonl")
    (tmp_path / "public.pem").write_bytes(records.signer.public.pem())
    key = load_pem_public_key((tmp_path / "public.pem").read_bytes())
    before = ("", "")
    for line in (tmp_path / "backup.jsonl").read_text(encoding="utf-8").splitlines()[1:]:
        said = json.loads(line)
        entry = json.dumps(said["entry"], sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
        assert hashlib.sha256(entry).hexdigest() == said["hash"]
        assert (said["entry"]["before"], said["entry"]["before_signature"]) == before
        if said["signature"]:
            key.verify(bytes.fromhex(said["signature"]), b"headstock entry 1\0" + said["hash"].encode())  # type: ignore[union-attr, call-arg]
        before = (said["hash"], said["signature"])
    assert len(list(rows_of_backup(tmp_path / "backup.jsonl"))) == 12
    assert load_public_key(tmp_path / "public.pem").hex == load_signer(folder).public.hex
    records.close()


def test_canonical_json_is_one_text_and_refuses_what_could_be_written_in_two_ways() -> None:
    assert canonical({"b": [1, True, None], "a": "ä\n\u20ac\x0f"}) == '{"a":"ä\\n€\\u000f","b":[1,true,null]}'
    for bad in (1.5, float("nan"), 2**53, {"ä": 1}, {1: 2}, [b"x"], "\ud800"):
        with pytest.raises(ValueError):
            canonical(bad)


def test_looking_makes_no_key(folder: Path, tmp_path: Path) -> None:
    records = StoredRecords(str(folder / "records.db"), tmp_path / "auditor")
    with pytest.raises(InputError, match="no signing key here"):
        records.verify()
    assert list((tmp_path / "auditor").iterdir()) == []
    assert records.verify(load_signer(folder).public).fault == ""
    records.close()
