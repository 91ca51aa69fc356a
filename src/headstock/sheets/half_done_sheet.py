"""Setting the sheet of a half-done job: front for what is done now, back for the rest of the work where there is one."""

from __future__ import annotations

from dataclasses import asdict

from headstock.sheets.half_done_content import HalfDoneContent
from headstock.sheets.setting import as_pdf


def render_half_done_sheet(content: HalfDoneContent) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1). Same content, same bytes."""
    return as_pdf("half_done_sheet.typ", asdict(content))
