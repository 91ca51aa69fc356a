"""Setting the sheet of a pair of ends: one side of A4 where it fits, the wires behind it where it does not."""

from __future__ import annotations

from dataclasses import asdict

from headstock.sheets.joint_square import square_svg
from headstock.sheets.pair_content import PairContent
from headstock.sheets.setting import as_pdf
from headstock.sheets.svg import PRINT, end_svg


def render_pair_sheet(content: PairContent) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1). Same content, same bytes."""
    data = {key: value for key, value in asdict(content).items() if key != "ends"}
    data["ends"] = [{"title": end.title, "caption": end.caption, "text": f"{end.title}. {end.caption}"} for end in content.ends]
    drawings = {f"end-{number}.svg": end_svg(end.marks) for number, end in enumerate(content.ends)}
    drawings["square.svg"] = square_svg(content.words.crossing, PRINT)
    return as_pdf("pair_sheet.typ", data, drawings)
