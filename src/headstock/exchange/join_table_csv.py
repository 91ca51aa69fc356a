"""The table of what joins what as CSV (RFC 4180, UTF-8): a line for every two ends, with every reason."""

from __future__ import annotations

from collections.abc import Iterable

from headstock.exchange.csv_text import csv_bytes
from headstock.formation.brake_across import is_electric
from headstock.formation.joinability import Way
from headstock.formation.wires import function_lines, wire_words
from headstock.usecases.join_table import TABLE_CAUTIONS, JoinTable, TablePair

BETWEEN = " | "
"""Between several things said in one field."""
WAYS = ("direct", "screw", "adapter")
COLUMNS = (
    "first", "second", "answer", "best way", "level", "main reservoir pipe through", "brake across by", "only if", "change",
    "needs", "lost", "restrictions", *(f"why not {name}" for name in WAYS), "wires", "functions",
    "height apart mm", "heads gather vertically mm", "track", "sideways apart mm", "heads gather horizontally mm",
    "angle of heads degrees", "local rules", "edition", "invented", "caution",
)  # fmt: skip


def join_table_csv(table: JoinTable) -> bytes:
    """Every pair of ends, one line each under a line of names."""
    last = (table.rules.name, table.rules.edition, table.invented or "no", " ".join(TABLE_CAUTIONS))
    return csv_bytes(COLUMNS, ([*_answer(pair), *_wires(pair), *_geometry(pair), *last] for pair in table.every))


def _answer(pair: TablePair) -> list[str]:
    join, best = pair.join, pair.join.best
    through = "yes" if best.main_reservoir_through else "no"
    ways = {way.name: way for way in join.ways}
    head = [pair.first, pair.second, join.answer, best.name if best.answer != "no" else "", best.level, through, best.across]
    lists = (best.conditions, best.changes, best.equipment, best.losses, best.restrictions)
    return [*head, *(_joined(words) for words in lists), *(_why_not(ways[name]) for name in WAYS)]  # type: ignore[index]


def _why_not(way: Way) -> str:
    return _joined(way.reasons) if way.answer == "no" else ""


def _wires(pair: TablePair) -> list[str]:
    first, second = pair.join.first, pair.join.second
    said = [wire_words(match, first, second) for match in pair.join.wires]
    functions = [line for match in pair.join.wires if match.verdict != "nothing to join"
                 for line in function_lines(match, first, second, is_electric(pair.join.best.level))]  # fmt: skip
    return [_joined(said), _joined(functions)]


def _geometry(pair: TablePair) -> list[str]:
    found = pair.join.geometry
    return [_figure(found.height_apart_mm), _figure(found.gathers_vertically_mm), found.track,
            _figure(found.sideways_apart_mm), _figure(found.gathers_horizontally_mm), _figure(found.angle_deg)]  # fmt: skip


def _figure(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}".removesuffix(".0")


def _joined(words: Iterable[str]) -> str:
    return BETWEEN.join(word.replace("|", "/") for word in words)
