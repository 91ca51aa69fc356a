"""``table``: which ends of a fleet join which, on the terminal and as files to keep, to read and to print."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path

from headstock.cli.reply import YES, print_json
from headstock.usecases.answers_as_data.table import table_as_json
from headstock.usecases.job_file import load_rules_named
from headstock.usecases.join_table import (
    LEVELS_EXPLAINED,
    SHORT_LEVELS,
    TABLE_CAUTIONS,
    WAYS_EXPLAINED,
    JoinTable,
    join_table,
)
from headstock.usecases.track_given import TrackGiven
from headstock.wiring import fleet_from, write_join_table

WIDE, LEAST_COLUMN, MOST_COLUMN, MOST_LABEL = 100, 8, 14, 20


def run_table(as_json: bool, fleet: Path | None, rules: str, names: Sequence[str], track: TrackGiven, csv: Path | None,
              html: Path | None, sheets: Path | None) -> int:  # fmt: skip
    """Work the table out, write what was asked for, print."""
    table = join_table(fleet_from(fleet), load_rules_named(rules), track, names)
    written = write_join_table(table, csv, html, sheets)
    if as_json:
        print_json({**table_as_json(table), "written": [str(path) for path in written]})
        return YES
    for line in table_lines(table):
        print(line)
    for path in written:
        print(path)
    return YES


def table_lines(table: JoinTable) -> Iterator[str]:
    """The table in at most a hundred columns: head and cautions, the squares, what their words mean."""
    yield from _wrapped(f"What joins what: {len(table.types)} types, {len(table.every)} pairs of ends. {table.invented}".strip())
    yield from _wrapped(table.origin)
    for caution in TABLE_CAUTIONS:
        yield from _wrapped(f"Caution: {caution}")
    names = [row.name for row in table.rows]
    wide = min(MOST_COLUMN, max(LEAST_COLUMN, *(len(name) for name in names)))
    label = min(MOST_LABEL, max(len(name) for name in names))
    across = max(1, (WIDE - label - 1) // (wide + 1))
    for start in range(0, len(names), across):
        yield ""
        yield from _band(table, range(start, min(start + across, len(names))), label, wide)
    yield from _key(table)


def _band(table: JoinTable, columns: range, label: int, wide: int) -> Iterator[str]:
    """Some columns with every row that has a square under them; each pair stands once."""
    yield from _row("", [textwrap.wrap(table.rows[column].name, wide) for column in columns], label, wide)
    for row in range(columns.start, len(table.rows)):
        cells = [_square(table, row, column) for column in columns if column <= row]
        yield from _row(table.rows[row].name, cells, label, wide)


def _square(table: JoinTable, row: int, column: int) -> list[str]:
    """Answer, way and level of a pair, a word each."""
    join = table.pair(column, row).join
    if join.answer == "no":
        return ["no"]
    return [join.answer, join.best.name, SHORT_LEVELS[join.best.level]]


def _row(name: str, cells: Sequence[Sequence[str]], label: int, wide: int) -> Iterator[str]:
    names = textwrap.wrap(name, label)
    for line in range(max(len(names), *(len(cell) for cell in cells))):
        parts = [cell[line] if line < len(cell) else "" for cell in cells]
        head = names[line] if line < len(names) else ""
        yield " ".join([f"{head:<{label}}", *(f"{part:<{wide}}" for part in parts)]).rstrip()
    yield ""


def _key(table: JoinTable) -> Iterator[str]:
    yield "Each pair stands once. A square says the answer, the best way and how far it goes:"
    only_if = ("only if", "yes, once what is asked first is so: see the pair")
    for word, meaning in (only_if, *WAYS_EXPLAINED, *LEVELS_EXPLAINED):
        yield f"  {word:<9} {meaning}"
    both = [row.name for row in table.rows if len(row.ends) == 2]
    if both:
        yield from _wrapped(f"Both ends are alike here: {', '.join(both)}.")
    first, last = table.rows[0].ends[0], table.rows[-1].ends[-1]
    yield from _wrapped(f"One pair with conditions, losses, pins and every reason: headstock join {first} {last}")


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDE, subsequent_indent="  ", break_on_hyphens=False)
