"""Sign-offs as CSV: out and in again adds nothing; every fault has its line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.exchange.competence_csv import ASKED, competences_csv, competences_from_csv
from headstock.records.store import StoredRecords
from headstock.usecases.competence_now import held_by_all

HEAD = ",".join(ASKED)
GOOD = 'J. Tolk,shunter,tarn + kestle,Harrow Ings,2026-01-10,2026-12-31,M. Iden,"217 and 226, Harrow Ings"'


@pytest.fixture
def records(tmp_path: Path) -> Iterator[StoredRecords]:
    store = StoredRecords(folder=tmp_path)
    yield store
    store.close()


def _read(text: str, records: StoredRecords) -> tuple[int, int]:
    read = competences_from_csv(text.encode(), "people.csv", records)
    records.append(read.drafts)
    return len(read.drafts), read.known


@pytest.mark.outside(source="RFC 4180", clause="2, definition of the format", status="from memory")
def test_what_goes_out_is_csv_and_comes_in_again_and_adds_nothing(records: StoredRecords) -> None:
    assert _read(f"{HEAD}\r\n{GOOD}\r\n{GOOD}\r\n", records) == (1, 1)
    content = competences_csv(held_by_all(records, date(2026, 12, 1)))
    assert content.count(b"\r\n") == 2 and content.endswith(b"\r\n")
    (row,) = csv.DictReader(io.StringIO(content.decode(), newline=""))
    assert row["units"] == "tarn + kestle" and row["watched"] == "217 and 226, Harrow Ings" and row["state"] == "in date"
    assert row["left_days"] == "30"
    assert _read(content.decode(), records) == (0, 1)
    assert _read("\ufeff" + HEAD.replace(",", ";") + "\n" + "K. Ray;guard;tarn;Harrow Ings;2026-01-10;2026-12-31;M. Iden;217\n",
                 records) == (1, 0)  # fmt: skip


def test_every_fault_has_its_line_and_nothing_is_taken(records: StoredRecords) -> None:
    lines = [HEAD, GOOD, "J. Tolk,,tarn,Harrow Ings,soon,2026-12-31,j. tolk,217", "",
             "K. Ray,guard,,Harrow Ings,2026-12-31,2026-01-01,M. Iden,217", "too,few"]  # fmt: skip
    with pytest.raises(InputError) as caught:
        competences_from_csv("\n".join(lines).encode(), "people.csv", records)
    said = [fault.text() for fault in caught.value.faults]
    assert [fault.line for fault in caught.value.faults] == sorted(fault.line or 0 for fault in caught.value.faults)
    for words in ("nothing is said @ people.csv:3 role", "nobody signs themselves off @ people.csv:3 assessor",
                  "day not understood @ people.csv:3 since", "for which units? @ people.csv:5 units",
                  "it would end before it begins @ people.csv:5 until",
                  "not as many cells as columns @ people.csv:6"):  # fmt: skip
        assert any(one.startswith(words) for one in said), (words, said)
    assert records.verify().entries == 0 and "Nothing was recorded" in caught.value.cure


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "nothing in it @ people.csv:1"), (b"person,roll\n", "no such column @ people.csv:1"),
     (f"{HEAD},person\n".encode(), "a column twice @ people.csv:1"),
     (f"{HEAD}\n\xe5,".encode("latin-1"), "not UTF-8 @ people.csv:2"),
     (f'{HEAD}\n"J. Tolk" x,'.encode(), "not CSV @ people.csv:2"),
     (f"{HEAD}\n".encode() + b"\n" * 5000 + GOOD.encode(), "too long")],
)  # fmt: skip
def test_what_is_no_such_file_says_so(content: bytes, words: str, records: StoredRecords) -> None:
    with pytest.raises(InputError) as caught:
        competences_from_csv(content, "people.csv", records)
    assert any(fault.text().startswith(words) for fault in caught.value.faults), caught.value.faults
