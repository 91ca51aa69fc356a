"""Pictures of a study in one ink: bars under columns, and curves of moved limits; 1 unit = 1 mm on paper.

One by itself says beneath of which study it is and that it is about a model, for pictures are passed on without their page.
"""

from __future__ import annotations

from html import escape

from headstock.sheets.study_bars import bars_drawn
from headstock.sheets.study_curves import curves_drawn
from headstock.sheets.study_marks import LETTER, WIDTH, words, wrapped
from headstock.usecases.study_drawings import Bars, Drawing

FOOT, LINE = 5.0, 3.7


def study_svg(drawing: Drawing, title: str, foot: str = "") -> str:
    """The drawing with how it is to be read above; with ``foot``, by itself: its title over it and ``foot`` at its end."""
    key, feet = wrapped(drawing.key, WIDTH), wrapped(foot, WIDTH) if foot else []
    head = 5.4 if foot else 0.0
    top = head + LINE * len(key) + 2.4
    parts = [words(0, 4.2, title, 'font-weight="800"', 4.4)] if foot else []
    parts += [words(0, head + LINE * (row + 1) - 0.6, line, size=LETTER) for row, line in enumerate(key)]
    body, bottom = bars_drawn(drawing, top) if isinstance(drawing, Bars) else curves_drawn(drawing, top)
    parts += [body, *(words(0, bottom + FOOT + LINE * row, line, ink="soft") for row, line in enumerate(feet))]
    height = bottom + (FOOT + LINE * (len(feet) - 1) if feet else 0.0) + 1.6
    frame = f'viewBox="0 0 {WIDTH:g} {height:.2f}" role="img"'
    said = f"<title>{escape(f'{title}. {drawing.text}')}</title>"
    return f'<svg xmlns="http://www.w3.org/2000/svg" {frame}>{said}{"".join(parts)}</svg>'
