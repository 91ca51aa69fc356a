"""Printed: all that is answered stands on the sheet, the same bytes every time."""

from __future__ import annotations

from headstock.sheets.can_sheet import can_sheet_name, render_can_sheet
from headstock.usecases.can_sections import CanTable, can_sections
from tests.unit.sheets.test_pair_sheet import squeezed, text_of
from tests.unit.usecases.test_can_job import WHOLE


def test_every_line_caption_and_figure_stands_on_the_sheet() -> None:
    pdf = render_can_sheet(WHOLE)
    pages = text_of(pdf)
    assert len(pages) == 2
    paper = squeezed(" ".join(pages))
    for section in can_sections(WHOLE):
        assert squeezed(section.title) in paper
        for part in section.parts:
            said = [part] if isinstance(part, str) else _texts(part)
            # A page ends within a table's caption or a line at most once; its footer then stands between.
            assert [words for words in said if squeezed(words) not in paper] == []
    assert "All invented for demonstration." in pages[0]
    assert render_can_sheet(WHOLE) == pdf
    assert can_sheet_name(WHOLE) == "can-attach-217-to-226.pdf"


def _texts(table: CanTable) -> list[str]:
    return [table.caption, "".join(table.headings), *("".join(row) for row in table.rows)]
