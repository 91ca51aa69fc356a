"""Setting the table of what joins what: the squares, every pair with every reason, the wires pin by pin; one PDF."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.formation.wires import BOTH_SIDES
from headstock.sheets.joint_square import square_svg
from headstock.sheets.pair_words import PairWords, pair_words, square_words
from headstock.sheets.setting import as_pdf
from headstock.sheets.svg import PRINT
from headstock.sheets.table_key import LANES, MARKS
from headstock.usecases.join_table import LEVELS_EXPLAINED, SHORT_LEVELS, TABLE_CAUTIONS, WAYS_EXPLAINED, JoinTable

A_SIDE = 10
"""Rows and columns of squares that stand on one page."""


def render_table_sheet(table: JoinTable) -> bytes:
    """The table as PDF, tagged (PDF/UA-1). Same table, same bytes."""
    drawings: dict[str, str] = {}
    data = _as_data(table, drawings)
    return as_pdf("table_sheet.typ", data, drawings)


def _as_data(table: JoinTable, drawings: dict[str, str]) -> dict[str, Any]:
    """Plain values for the setting; drawings go into ``drawings`` by file name."""
    only_if = ("only if", "yes, once what is asked first is so")
    words = {(i, j): _words(table, i, j) for i in range(len(table.rows)) for j in range(i, len(table.rows))}
    return {
        "invented": table.invented, "origin": table.origin, "cautions": TABLE_CAUTIONS,
        "footer": f"{table.rules.name}, edition {table.rules.edition}. {table.invented}".strip(),
        "parts": list(_parts(table, drawings)), "key": _key(drawings), "both_sides": BOTH_SIDES,
        "words": [only_if, *WAYS_EXPLAINED, *LEVELS_EXPLAINED], "notes": _notes(table),
        "rows": [{"name": row.name, "coupler": row.coupler,
                  "pairs": [asdict(words[number, other]) for other in range(number, len(table.rows))]}
                 for number, row in enumerate(table.rows)],
        "pin_tables": [{"title": f"{pair.first} with {pair.second}", **asdict(pins)}
                       for pair in words.values() for pins in pair.pins if pins.rows],
    }  # fmt: skip


def _words(table: JoinTable, first: int, second: int) -> PairWords:
    pair = table.pair(first, second)
    return pair_words(pair.join, pair.first, pair.second)


def _notes(table: JoinTable) -> list[str]:
    both = ", ".join(row.name for row in table.rows if len(row.ends) == 2)
    return [f"Both ends are alike here: {both}."] if both else []


def _key(drawings: dict[str, str]) -> list[dict[str, str]]:
    found = []
    for number, (crossing, words) in enumerate((*LANES, *MARKS)):
        drawings[f"key-{number}.svg"] = square_svg(crossing, PRINT)
        found.append({"drawing": f"key-{number}.svg", "words": words})
    return found


def _parts(table: JoinTable, drawings: dict[str, str]) -> list[dict[str, Any]]:
    """The squares by pages: under the diagonal, so many rows and columns at a time."""
    starts = range(0, len(table.rows), A_SIDE)
    return [_part(table, range(row, min(row + A_SIDE, len(table.rows))), range(column, min(column + A_SIDE, len(table.rows))),
                  drawings) for row in starts for column in starts if column <= row]  # fmt: skip


def _part(table: JoinTable, rows: range, columns: range, drawings: dict[str, str]) -> dict[str, Any]:
    lines = [{"name": table.rows[row].name, "coupler": table.rows[row].coupler,
              "cells": [_square(table, row, column, drawings) if column <= row else None for column in columns]}
             for row in rows]  # fmt: skip
    return {"columns": [table.rows[column].name for column in columns], "rows": lines, "triangle": rows == columns}


def _square(table: JoinTable, row: int, column: int, drawings: dict[str, str]) -> dict[str, str]:
    pair, name = table.pair(column, row), f"square-{row}-{column}.svg"
    drawings[name] = square_svg(_words(table, column, row).crossing, PRINT)
    return {"drawing": name, "answer": pair.join.answer, "level": SHORT_LEVELS[pair.join.best.level],
            "text": f"{pair.first} with {pair.second}: {square_words(pair.join)}"}  # fmt: skip
