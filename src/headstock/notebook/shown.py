"""What an answer shows: lines, tables and pictures, set as plain text or as HTML for a notebook."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from typing import Any

from headstock.usecases.standing_caution import STANDING_CAUTION

STYLE = "font-family:Verdana,sans-serif;color:#17140f;background:#fff;padding:10px 14px;max-width:1000px"
CELL = "text-align:left;vertical-align:top;padding:2px 12px 2px 0;border-bottom:1px solid #9c917b;color:#17140f"
"""On white always: the drawings are those of paper, and a notebook may be dark."""


@dataclass(frozen=True, slots=True)
class Lines:
    """A heading ("" for none) with its lines."""

    heading: str
    lines: tuple[str, ...]

    def text(self) -> str:
        """As plain text."""
        return "\n".join(([self.heading] if self.heading else []) + [f"  {line}" for line in self.lines])

    def html(self) -> str:
        """As HTML."""
        items = "".join(f"<li>{escape(line)}</li>" for line in self.lines)
        head = f"<h4 style='margin:10px 0 2px'>{escape(self.heading)}</h4>" if self.heading else ""
        return f"{head}<ul style='margin:2px 0'>{items}</ul>"


@dataclass(frozen=True, slots=True)
class Table:
    """A table: what it shows, its headings, rows as texts."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def text(self) -> str:
        """As plain text in columns."""
        cells = [self.headings, *self.rows]
        wide = [max(len(row[column]) for row in cells) for column in range(len(self.headings))]
        lines = ["  ".join(f"{cell:<{width}}" for cell, width in zip(row, wide, strict=True)).rstrip() for row in cells]
        return "\n".join(([self.caption] if self.caption else []) + [f"  {line}".rstrip() for line in lines])

    def html(self) -> str:
        """As HTML."""
        heads = "".join(f'<th scope="col" style="{CELL}">{escape(head)}</th>' for head in self.headings)
        rows = ("".join(f'<td style="{CELL}">{escape(cell)}</td>' for cell in row) for row in self.rows)
        body = "".join(f"<tr>{cells}</tr>" for cells in rows)
        caption = f'<caption style="text-align:left;color:#17140f">{escape(self.caption)}</caption>' if self.caption else ""
        whole = f"{caption}<thead><tr>{heads}</tr></thead><tbody>{body}</tbody>"
        return f'<table style="margin:8px 0;border-collapse:collapse">{whole}</table>'

    def _repr_html_(self) -> str:
        return f'<div style="{STYLE}">{self.html()}</div>'


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing (SVG) and what it shows, in words for whoever does not see it."""

    shows: str
    svg: str

    def text(self) -> str:
        """What it shows."""
        return f"[{self.shows}]"

    def html(self) -> str:
        """The drawing as wide as there is room, with its words beneath."""
        drawn = self._repr_svg_()
        return f"<figure style='margin:10px 0'>{drawn}<figcaption>{escape(self.shows)}</figcaption></figure>"

    def _repr_svg_(self) -> str:
        told = f'<svg role="img" aria-label="{escape(self.shows)}" style="background:#fff;max-width:1000px;overflow:visible" '
        return self.svg.replace("<svg ", told, 1)

    def __repr__(self) -> str:
        return f"Picture({self.shows!r})"


Part = Lines | Table | Picture


class Answer(ABC):
    """What all answers have in common; each shows itself as text and, in a notebook, with its drawings and tables."""

    @property
    @abstractmethod
    def title(self) -> str:
        """What was asked of what."""

    @property
    @abstractmethod
    def answer(self) -> str:
        """The answer in a word or two, as the command line gives it in JSON."""

    @property
    @abstractmethod
    def data(self) -> Any:
        """The value that the command line gives with ``--json``; units stand in the names."""

    @property
    def reasons(self) -> tuple[str, ...]:
        """Every reason of a no, in words; empty where there is none."""
        return ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What is said above every answer."""
        return (STANDING_CAUTION,)

    @abstractmethod
    def parts(self) -> Iterator[Part]:
        """Lines, tables and pictures in order."""

    def __repr__(self) -> str:
        return f"{type(self).__name__}: {self.title}: {self.answer}"

    def __str__(self) -> str:
        head = (repr(self), *(f"Caution: {caution}" for caution in self.cautions), *(f"  - {reason}" for reason in self.reasons))
        return "\n".join((*head, *(part.text() for part in self.parts())))

    def _repr_html_(self) -> str:
        head = f"<h3 style='margin:0 0 4px'>{escape(self.title)}: {escape(self.answer)}</h3>"
        cautions = "".join(f"<p style='margin:2px 0'><b>Caution:</b> {escape(caution)}</p>" for caution in self.cautions)
        reasons = Lines("", self.reasons).html() if self.reasons else ""
        body = "".join(part.html() for part in self.parts())
        return f'<div style="{STYLE}">{head}{cautions}{reasons}{body}</div>'
