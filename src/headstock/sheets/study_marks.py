"""What the pictures of a study are made of: words, hairlines, blocks."""

from __future__ import annotations

from html import escape
from textwrap import wrap

from headstock.devices.marks import Ink
from headstock.sheets.svg import FONT, PRINT

WIDTH, LETTER, LETTER_EM, HAIR = 190.0, 2.95, 0.47, 0.15
"""Width [mm], height of letters [mm], width of one on average [em], the thinnest line [mm]."""


def words(x: float, y: float, text: str, how: str = "", size: float = LETTER, ink: Ink = "ink") -> str:
    """A line of words, its foot at ``y``."""
    font = f'font-family="{FONT}, Headstock, sans-serif" font-size="{size:g}" fill="{PRINT[ink]}"'
    return f'<text x="{x:.2f}" y="{y:.2f}" {font} {how}>{escape(text)}</text>'


def line(x: float, y: float, to: str, width: float = HAIR, ink: str = "rule") -> str:
    """A line from a place, ``to`` in the words of a path."""
    stroke = PRINT["ink"] if ink == "ink" else PRINT["rule"]
    return f'<path d="M{x:.2f} {y:.2f}{to}" stroke="{stroke}" stroke-width="{width:g}" fill="none"/>'


def block(x: float, y: float, wide: float, high: float, ink: Ink = "ink") -> str:
    """A filled rectangle."""
    return f'<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{high:.2f}" fill="{PRINT[ink]}"/>'


def letters_in(wide: float, size: float = LETTER) -> int:
    """About how many letters stand in a width."""
    return max(4, int(wide / (LETTER_EM * size)))


def wrapped(text: str, wide: float, size: float = LETTER) -> list[str]:
    """A text in lines that fit."""
    return wrap(text, letters_in(wide, size), break_on_hyphens=False) or [""]


def cut(text: str, wide: float, size: float = LETTER) -> str:
    """A label that fits; a longer one ends in dots."""
    most = letters_in(wide, size)
    return text if len(text) <= most else f"{text[: most - 1]}…"
