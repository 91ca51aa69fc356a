"""Ink on a page: the colours of paper as the page's own, elements of a drawing, links to parts."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from headstock.sheets.svg import PRINT

INKS = {"ink": "ink", "soft": "soft", "rule": "rule", "ground": "ground", "plate": "plate", "brake_pipe": "bp",
        "main_reservoir_pipe": "mr", "electrical": "el"}  # fmt: skip
"""The page's name for each ink of the drawings."""
TOLD = "told"


def on_page(svg: str) -> str:
    """A drawing made for paper with the page's palette instead; night or paper then decides."""
    for name, ours in INKS.items():
        svg = svg.replace(f'"{PRINT[name]}"', f'"var(--{ours})"')  # type: ignore[index]
    return svg.replace('"#fff"', '"var(--ground)"')


def part_id(key: str) -> str:
    """A part's name as an element's: `about-217-2-brake_pipe_cock`."""
    return "about-" + "".join(sign if sign.isalnum() or sign == "_" else "-" for sign in key)


def link(key: str, label: str, body: str, how: str = TOLD) -> str:
    """A part of a drawing that leads to what is said of it."""
    return f'<a href="#{part_id(key)}" class="part {how}" aria-label="{escape(label)}">{body}</a>'


def text(x: float, y: float, words: str, *, size: float = 15, anchor: str = "start", bold: bool = False, figures: bool = False,
         ink: str = "ink") -> str:  # fmt: skip
    """Words on a drawing."""
    family = "B612" if figures else "Atkinson Hyperlegible Next"
    return (f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-family="{family}, sans-serif" font-size="{size:g}" '
            f'font-weight="{700 if bold or figures else 400}" fill="var(--{ink})">{escape(words)}</text>')  # fmt: skip


def path(d: str, *, ink: str = "ink", wide: float = 2, fill: str = "none", dash: str = "") -> str:
    """A line or a figure."""
    colour = f"var(--{fill})" if fill != "none" else "none"
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    stroke = f'stroke="var(--{ink})" stroke-width="{wide:g}"' if wide else ""
    return f'<path d="{d}" fill="{colour}" {stroke}{dashed}/>'


def rect(x: float, y: float, wide: float, high: float, *, ink: str = "ink", line: float = 1.6, fill: str = "ground") -> str:
    """A box by its corner; ``fill`` "hatch": not known."""
    filled = f"url(#hatch-{ink})" if fill == "hatch" else "none" if fill == "none" else f"var(--{fill})"
    stroke = f' stroke="var(--{ink})" stroke-width="{line:g}"' if line else ""
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:.1f}" fill="{filled}"{stroke}/>'


def svg(width: float, height: float, parts: Iterable[str], label: str, name: str = "", *, top: float = 0, left: float = 0) -> str:
    """A whole drawing, named for who does not see it."""
    return (f'<svg class="{name}" xmlns="http://www.w3.org/2000/svg" viewBox="{left:g} {top:g} {width:g} {height:g}" '
            f'role="group" aria-label="{escape(label)}">{"".join(parts)}</svg>')  # fmt: skip
