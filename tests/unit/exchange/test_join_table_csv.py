"""The table as CSV: read back by another reader, nothing left out."""

from __future__ import annotations

import csv
import io

from headstock.exchange.join_table_csv import BETWEEN, COLUMNS, join_table_csv
from tests.unit.usecases.test_join_table import FLEET, RULES, TABLE, join_table

ROWS = list(csv.DictReader(io.StringIO(join_table_csv(TABLE).decode("utf-8"), newline=""), strict=True))


def test_there_is_a_line_for_every_two_ends_with_every_column_filled_as_named() -> None:
    assert len(ROWS) == len(TABLE.every) == 136
    assert all(tuple(row) == COLUMNS and None not in row.values() for row in ROWS)
    assert len(set(COLUMNS)) == len(COLUMNS)


def test_lines_end_as_rfc_4180_says() -> None:
    raw = join_table_csv(TABLE)
    assert raw.endswith(b"\r\n")
    assert raw.count(b"\n") == raw.count(b"\r\n") == 137


def test_every_reason_condition_and_loss_is_in_its_line() -> None:
    for row, pair in zip(ROWS, TABLE.every, strict=True):
        assert (row["first"], row["second"], row["answer"]) == (pair.first, pair.second, pair.join.answer)
        for way in pair.join.ways:
            assert row[f"why not {way.name}"] == BETWEEN.join(way.reasons)
        best = pair.join.best
        fields = [("only if", best.conditions), ("change", best.changes), ("needs", best.equipment), ("lost", best.losses),
                  ("restrictions", best.restrictions)]  # fmt: skip
        for column, words in fields:
            assert row[column] == BETWEEN.join(words)


def test_every_line_says_what_it_rests_on_and_that_it_is_invented() -> None:
    assert {(row["local rules"], row["edition"], row["invented"]) for row in ROWS} == {
        ("Wending Vale", "3", "All invented for demonstration.")}  # fmt: skip
    assert all("planning and training aid" in row["caution"] for row in ROWS)


def test_a_bar_in_somebody_s_words_does_not_part_them() -> None:
    gale = FLEET.find("gale")
    wold = FLEET.find("wold")
    gear = tuple(g.model_copy(update={"stowed": "rack | left"}) for g in wold.loose_gear)
    fleet = type(FLEET)([gale, wold.model_copy(update={"loose_gear": gear})])
    text = join_table_csv(join_table(fleet, RULES)).decode("utf-8")
    assert "rack / left" in text and "rack | left" not in text
