"""Setting a job sheet: content in, PDF out. Same content, same bytes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict
from math import ceil
from typing import Any

from headstock.sheets.content import Block, DetailLine, JobSheetContent, VehicleDrawing
from headstock.sheets.forecast_svg import forecast_svg
from headstock.sheets.forecast_words import forecast_data
from headstock.sheets.setting import as_pdf, joined
from headstock.sheets.svg import FIRST_STRING, STRING_GAP, end_svg, joint_share, role_svg, roles_height, roles_width, train_svg

LAST_WORDS = re.compile(r"(?<= )(\S{1,9} \S{1,6} \S{1,3}|\S{1,6} \S{1,8})$")
"""The last short words of a text of the front, which would look lost apart."""
UNIT_MM = 0.264
"""One unit of the drawing of roles on paper [mm]."""
ROOM_MM, CAUTION_LINE_MM, LETTERS_A_CAUTION_LINE = 234.0, 4.2, 112
"""Height of the front left for blocks, less what each line of cautions takes [mm]."""


def room_mm(cautions: Sequence[str]) -> float:
    """Height between the names of the crew and the signatures [mm]."""
    return ROOM_MM - CAUTION_LINE_MM * ceil(len(" ".join(cautions)) / LETTERS_A_CAUTION_LINE)


def render_job_sheet(content: JobSheetContent) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1): front, then the detail."""
    return as_pdf("job_sheet.typ", _as_data(content), _drawings(content))


def _drawings(content: JobSheetContent) -> dict[str, str]:
    drawn = {"train.svg": train_svg(content.train)}
    drawn |= {f"end-{number}.svg": end_svg(end.marks) for number, end in enumerate(content.ends)}
    if content.forecast is not None:
        drawn["forecast.svg"] = forecast_svg(content.forecast)
    order = [person.letter for person in content.people]
    charge = {person.letter for person in content.people if person.in_charge}
    for block in content.blocks:
        marks = [(letter, "acts", letter in charge) for letter in block.acts]
        marks += [(letter, "hears", letter in charge) for letter in block.hears]
        drawn[f"roles-{block.number}.svg"] = role_svg(marks, block.arrows, order)
    return drawn


def _as_data(content: JobSheetContent) -> dict[str, Any]:
    """Plain values for the setting; drawings stay out, their texts go in."""
    train = content.train
    data: dict[str, Any] = {
        key: value for key, value in asdict(content).items() if key not in ("train", "ends", "blocks", "detail", "forecast")
    }
    data["left_label"], data["middle_label"], data["right_label"] = (
        train.left_label, train.middle_label, train.right_label
    )  # fmt: skip
    data["holds_letters"] = train.holds_note
    data["train_text"], data["joint_share"] = _train_text(content), joint_share(train)
    data["ends"] = [{"title": e.title, "caption": e.caption, "text": f"{e.title}. {e.caption}"} for e in content.ends]
    data["blocks"] = [_block_data(block, content.detail) for block in content.blocks]
    data["detail"] = _detail_data(content)
    data["forecast"] = forecast_data(content.forecast) if content.forecast is not None else None
    data["roles_width_mm"] = roles_width(len(content.people)) * UNIT_MM
    data["first_string_mm"], data["string_gap_mm"] = FIRST_STRING * UNIT_MM, STRING_GAP * UNIT_MM
    return data


def _block_data(block: Block, detail: Sequence[DetailLine]) -> dict[str, Any]:
    acts, hears = " and ".join(block.acts), " and ".join(block.hears)
    text = f"{acts} acts" + (f", {hears} hears" if hears else "")
    numbers = [number for line in detail if line.block == block.number for number in (line.number, line.last_number) if number]
    back = f"lines {min(numbers)} to {max(numbers)}" if len(numbers) > 1 else "".join(f"line {number}" for number in numbers)
    last = {"text": joined(LAST_WORDS, block.text), "caution": joined(LAST_WORDS, block.caution)}
    height = roles_height(len(block.arrows)) * UNIT_MM
    return {**asdict(block), **last, "roles_text": text, "roles_height_mm": height, "back_lines": back}


def _detail_data(content: JobSheetContent) -> list[dict[str, Any]]:
    titles = {block.number: block.title for block in content.blocks}
    rows, before = [], 0
    for line in content.detail:
        row = {**asdict(line), "block_title": titles[line.block], "new_block": line.block != before,
               "because": _sentence(line.because), "allowance": f"{line.allowance_s:g}"}  # fmt: skip
        before = line.block
        rows.append(row)
    return rows


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}{'' if words.endswith('.') else '.'}" if words else ""


def _train_text(content: JobSheetContent) -> str:
    train = content.train
    portions = [", ".join(_vehicle_text(vehicle) for vehicle in portion) for portion in train.portions]
    labels = "; ".join(label for label in (train.left_label, train.middle_label, train.right_label) if label)
    return f"Train from the side: {'; then, apart, '.join(portions)}. {labels}."


def _vehicle_text(vehicle: VehicleDrawing) -> str:
    brake = {"H": "hand brake", "P": "parking brake"}.get(vehicle.hold)
    return f"{vehicle.number} ({brake} {'on' if vehicle.hold_on else 'off'} as found)" if brake else vehicle.number
