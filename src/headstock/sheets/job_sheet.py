"""Setting a job sheet: content in, PDF (or a picture of a page) out. Same content, same bytes."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from dataclasses import asdict
from math import ceil
from pathlib import Path
from typing import Any

from headstock.sheets.content import Block, JobSheetContent
from headstock.sheets.svg import end_svg, role_svg, train_svg

HERE = Path(__file__).parent
ROOM_MM, CAUTION_LINE_MM, LETTERS_A_CAUTION_LINE = 226.0, 4.2, 112
"""Height of the front left for blocks, less what each line of cautions takes [mm]."""


def room_mm(cautions: Sequence[str]) -> float:
    """Height between the names of the crew and the signatures [mm]."""
    return ROOM_MM - CAUTION_LINE_MM * ceil(len(" ".join(cautions)) / LETTERS_A_CAUTION_LINE)


def render_job_sheet(content: JobSheetContent) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1): front, then the detail."""
    return _compiled(content, format="pdf", pdf_standards=["ua-1"], timestamp=0)[0]


def render_job_sheet_png(content: JobSheetContent, pixels_per_inch: float = 110.0) -> list[bytes]:
    """Each page as PNG, to look at."""
    return _compiled(content, format="png", ppi=pixels_per_inch)


def _compiled(content: JobSheetContent, **how: Any) -> list[bytes]:
    import typst

    with tempfile.TemporaryDirectory(prefix="hs-sheet-") as folder:
        root = Path(folder)
        (root / "sheet.typ").write_bytes((HERE / "job_sheet.typ").read_bytes())
        (root / "content.json").write_text(json.dumps(_as_data(content), ensure_ascii=False), encoding="utf-8")
        _draw(content, root)
        made = typst.compile(str(root / "sheet.typ"), root=str(root), font_paths=[str(HERE / "fonts")],
                             ignore_system_fonts=True, **how)  # fmt: skip
    return [made] if isinstance(made, bytes) else list(made or [])


def _draw(content: JobSheetContent, root: Path) -> None:
    (root / "train.svg").write_text(train_svg(content.train), encoding="utf-8")
    for number, end in enumerate(content.ends):
        (root / f"end-{number}.svg").write_text(end_svg(end.marks), encoding="utf-8")
    order = [person.letter for person in content.people]
    charge = {person.letter for person in content.people if person.in_charge}
    for block in content.blocks:
        marks = [(letter, "acts", letter in charge) for letter in block.acts]
        marks += [(letter, "hears", letter in charge) for letter in block.hears]
        drawn = role_svg(marks, block.arrows, order)
        (root / f"roles-{block.number}.svg").write_text(drawn, encoding="utf-8")


def _as_data(content: JobSheetContent) -> dict[str, Any]:
    """Plain values for the setting; drawings stay out, their texts go in."""
    train = content.train
    data: dict[str, Any] = {
        key: value for key, value in asdict(content).items() if key not in ("train", "ends", "blocks", "detail")
    }
    data["left_label"], data["middle_label"], data["right_label"] = (
        train.left_label, train.middle_label, train.right_label
    )  # fmt: skip
    data["train_text"] = _train_text(content)
    data["ends"] = [{"title": end.title, "caption": end.caption} for end in content.ends]
    data["blocks"] = [_block_data(block) for block in content.blocks]
    data["detail"] = _detail_data(content)
    data["room_mm"] = room_mm(content.cautions)
    return data


def _block_data(block: Block) -> dict[str, Any]:
    acts, hears = " and ".join(block.acts), " and ".join(block.hears)
    text = f"{acts} acts" + (f", {hears} hears" if hears else "")
    return {**asdict(block), "roles_text": text, "roles_height": 10.2 + 2.15 * min(len(block.arrows), 4)}


def _detail_data(content: JobSheetContent) -> list[dict[str, Any]]:
    titles = {block.number: block.title for block in content.blocks}
    rows, before = [], 0
    for line in content.detail:
        row = {**asdict(line), "block_title": titles[line.block], "new_block": line.block != before,
               "allowance": f"{line.allowance_s:g}"}  # fmt: skip
        before = line.block
        rows.append(row)
    return rows


def _train_text(content: JobSheetContent) -> str:
    portions = [", ".join(vehicle.number for vehicle in portion) for portion in content.train.portions]
    return f"Train from the side: {'; then '.join(portions)}. {content.train.left_label}; {content.train.right_label}."
