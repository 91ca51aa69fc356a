"""The signing key is changed: both keys verify, nobody slips a key of their own in, and a change that was cut off is ended."""

from __future__ import annotations

import json
import os
import sqlite3
from pathlib import Path

import pytest

from headstock.base.errors import InputError, StorageError
from headstock.records import key_change
from headstock.records.certificates import certificate_content, certificate_text
from headstock.records.chain import Link, Row, chain_verdict, row_after
from headstock.records.key_chain import handover_draft, key_draft, signed_words
from headstock.records.key_change import change_key, public_keys_file
from headstock.records.lines import back_up, restore
from headstock.records.signing import Signer, load_public_keys, load_signer
from headstock.records.store import StoredRecords
from tests.unit.records.drafts import draft


def test_old_and_new_key_both_verify_what_was_written_before_and_after(records: StoredRecords, tmp_path: Path) -> None:
    records.append([draft(1)])
    old = records.signer
    filed, kept = change_key(records)
    records.append([draft(2)])
    new = records.signer
    assert (filed.seq, filed.draft.kind, new.public.hex == old.public.hex) == (3, "key", False)
    assert load_signer(kept.parent, kept.name).public.hex == old.public.hex
    for key in (old.public, new.public):
        assert (records.verify(key).entries, records.verify(key).fault) == (4, "")
    back_up(records, tmp_path / "backup.jsonl")
    other = StoredRecords(folder=tmp_path / "other")
    assert restore(other, tmp_path / "backup.jsonl", old.public) == 4
    other.close()
    stranger = load_signer(tmp_path).public
    assert "not signed by the key" in records.verify(stranger).fault
    again, _ = change_key(records)
    assert again.seq == 5 and records.verify(old.public).fault == "" and records.verify(new.public).fault == ""


def test_the_old_key_signs_nothing_any_more(records: StoredRecords, tmp_path: Path) -> None:
    records.append([draft(1)])
    database = records.engine.url.render_as_string(hide_password=False)
    other = StoredRecords(database, tmp_path / "data")
    far = StoredRecords(database, tmp_path / "far")
    (tmp_path / "far" / "signing-key.pem").write_bytes((tmp_path / "data" / "signing-key.pem").read_bytes())
    assert other.append([draft(2)])[0].is_new and far.append([draft(3)])[0].is_new
    change_key(records)
    assert other.append([draft(4)])[0].is_new, "another program in the same folder reads the new key"
    with pytest.raises(StorageError, match="signed by another key"):
        far.append([draft(5)])
    assert records.verify().fault == ""
    other.close()
    far.close()


@pytest.mark.parametrize("step", ["hand over", "exchange"])
def test_a_change_that_was_cut_off_is_ended_by_asking_again(
    step: str, records: StoredRecords, monkeypatch: pytest.MonkeyPatch
) -> None:
    records.append([draft(1)])

    def cut_off(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(key_change, "_hand_over" if step == "hand over" else "_exchange", cut_off)
        with pytest.raises(KeyboardInterrupt):
            change_key(records)
    if step == "exchange":
        with pytest.raises(StorageError, match="signed by another key") as caught:
            records.append([draft(2)])
        assert "end the change of key" in caught.value.text()
    change_key(records)
    assert records.append([draft(2)])[0].is_new
    assert (records.verify().entries, records.verify().fault) == (4, "")


def test_records_without_entries_have_no_key_to_change(records: StoredRecords) -> None:
    with pytest.raises(InputError, match="no signing key here"):
        change_key(records)
    assert records.signer
    with pytest.raises(InputError, match="nothing was signed yet"):
        change_key(records)


def _chain(*drafts_and_signers: tuple[object, Signer]) -> list[Row]:
    rows: list[Row] = []
    link = Link()
    for made, signer in drafts_and_signers:
        draft_ = made(link.hash) if callable(made) else made
        row = row_after(link, draft_, "2026-11-26T10:00:00.000+00:00", 0)
        rows.append(row._replace(signature=signer.sign(signed_words(row.hash)).hex()))
        link = Link(row.seq, row.hash, rows[-1].signature)
    return rows


def test_a_forged_chain_that_hands_over_to_the_trusted_key_is_found(tmp_path: Path) -> None:
    """A forger names the trusted key, which proved nothing here; or brings its proof from the true chain."""
    for name in ("true", "old", "forger"):
        (tmp_path / name).mkdir()
    trusted, old, forger = (load_signer(tmp_path / name) for name in ("true", "old", "forger"))
    stamp = "2026-11-26 10:00:00"
    good = _chain((key_draft(old.public, stamp), old), (draft(1), old),
                  (lambda before: handover_draft(old.public, trusted, before, stamp), old))  # fmt: skip
    assert chain_verdict(lambda: good, trusted.public).fault == ""
    proof = json.loads(good[-1].text)["body"]["proof"]

    def stolen(before: str) -> object:
        made = handover_draft(forger.public, forger, before, stamp)
        body = {**made.body, "public_key": trusted.public.hex, "proof": proof}
        return type(made)("key", made.key, made.at, made.terms, body)

    forged = _chain((key_draft(forger.public, stamp), forger), (draft(2), forger), (stolen, forger))
    assert chain_verdict(lambda: forged, trusted.public).fault == "entry 3 was altered: the new key did not prove itself"
    slipped = _chain((key_draft(old.public, stamp), old), (draft(1), old),
                     (lambda before: handover_draft(old.public, forger, before, stamp), forger), (draft(2), forger))  # fmt: skip
    for key in (old.public, forger.public):
        assert chain_verdict(lambda: slipped, key).fault == "entry 3 was altered: the key before did not hand over"


def test_an_entry_altered_before_the_change_is_the_one_that_is_named(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    records.append([draft(1), draft(2)])
    change_key(records)
    records.append([draft(3)])
    with sqlite3.connect(tmp_path / "records.db") as base:
        base.execute("DROP TRIGGER entry_no_update")
        base.execute("UPDATE entry SET text = replace(text, 'invented ä 1', 'invented ä 8') WHERE seq = 2")
    verdict = records.verify()
    assert (verdict.seq, verdict.fault) == (2, "entry 2 was altered: its hash does not belong to its text")
    records.close()


def test_a_certificate_of_the_former_key_is_checked_with_the_file_of_keys(records: StoredRecords, tmp_path: Path) -> None:
    records.append([draft(1)])
    line = certificate_text({"code": "x"}, records.signer)
    change_key(records)
    (tmp_path / "public.pem").write_bytes(public_keys_file(records))
    keys = load_public_keys(tmp_path / "public.pem")
    assert keys[0].hex == records.own_key.hex and len(keys) == 2
    assert certificate_content(line, *keys) == {"code": "x"}
    assert certificate_content(line, keys[0]) is None
    assert all(path.stat().st_mode & 0o077 == 0 for path in (tmp_path / "data").glob("*key*.pem")), os.listdir(tmp_path / "data")
