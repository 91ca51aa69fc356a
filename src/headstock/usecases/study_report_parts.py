"""What a report of a study is made of: sections with picture and table, what was counted, by what, what is not covered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from headstock.usecases.study_drawings import Bars, Drawing, parted, parted_curves
from headstock.usecases.study_questions import StudyAnswer

Ask = Callable[[str], StudyAnswer]
"""Answers a ready question by its name."""
MOST_LINES = 40
"""Lines of a table that a report prints; the rest is said and can be asked for."""


@dataclass(frozen=True, slots=True)
class ReportTable:
    """Heads and lines in words; ``left_out``: how many more lines there are."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: int = 0


@dataclass(frozen=True, slots=True)
class ReportSection:
    """One question: ``name`` also names its pictures; ``says``: the answer in sentences; ``note``: how figures are to be read."""

    name: str
    title: str
    says: tuple[str, ...]
    drawings: tuple[Drawing, ...]
    table: ReportTable
    note: str


@dataclass(frozen=True, slots=True)
class ReportParts:
    """What one kind of study has to say; ``about``: an answer that says of which study; ``what_it_is``: what the figures are."""

    sections: tuple[ReportSection, ...]
    counts: tuple[tuple[str, str], ...]
    versions: tuple[tuple[str, str], ...]
    not_covered: tuple[str, ...]
    what_it_is: tuple[str, ...]
    about: StudyAnswer


@dataclass(frozen=True, slots=True)
class StudyReport:
    """A whole report; ``counts`` and ``versions`` are pairs of what and how much or which."""

    title: str
    subtitle: str
    invented: str
    cautions: tuple[str, ...]
    counts: tuple[tuple[str, str], ...]
    versions: tuple[tuple[str, str], ...]
    sections: tuple[ReportSection, ...]
    not_covered: tuple[str, ...]
    foot: str
    is_whole: bool

    @property
    def pictures(self) -> tuple[tuple[str, str, Drawing], ...]:
        """Name, title and drawing of each picture."""
        return tuple(
            (one.name + (f"-{number}" if number > 1 else ""), one.title, drawing)
            for one in self.sections for number, drawing in enumerate(one.drawings, start=1)
        )  # fmt: skip


def share_text(share: float | None) -> str:
    """A share in words: small ones never as nothing, large ones never as all."""
    if share is None:
        return "not known"
    if 0 < share < 0.001:
        return "< 0.1%"
    if 0.999 < share < 1:
        return "> 99.9%"
    return f"{share:.1%}".replace(".0%", "%")


def rows_of(answer: StudyAnswer) -> list[dict[str, Any]]:
    """The answer's lines by the names of its columns."""
    return [dict(zip(answer.columns, row, strict=True)) for row in answer.rows]


def table_of(heads: tuple[str, ...], rows: list[tuple[str, ...]]) -> ReportTable:
    """A table as far as it is printed."""
    return ReportTable(heads, tuple(rows[:MOST_LINES]), max(0, len(rows) - MOST_LINES))


def drawings_of(drawing: Drawing) -> tuple[Drawing, ...]:
    """In as many pictures as need be."""
    return parted(drawing) if isinstance(drawing, Bars) else parted_curves(drawing)
