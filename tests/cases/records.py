"""Records of brake tests for tests: a train of so many metres, lines as (stage, who, seconds, what is read)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.equipment.library import load_fleet
from headstock.usecases.judge_readings import JudgedReadings, judge_readings
from headstock.wiring import read_recorder

MULTIPLE_UNIT = {
    "stock": "multiple unit",
    "releases": ["direct"],
    "set_pressure_bar": 5.0,
    "length_m": 90,
    "brakes": 4,
    "electric_brake": True,
}
COACHES = {**MULTIPLE_UNIT, "stock": "coaches", "releases": ["graduated"], "electric_brake": False}
FREIGHT = {
    **MULTIPLE_UNIT,
    "stock": "freight",
    "set_pressure_bar": 6.2053,
    "length_m": 300,
    "brakes": 20,
    "electric_brake": False,
}
"""Freight: 90 psi, which is 6.2053 bar."""
Row = tuple[Any, ...]


def clock(seconds: float) -> str:
    """Seconds after ten o'clock as a time."""
    whole = round(seconds) + 36000
    return f'"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"'


def record_text(
    method: str, train: dict[str, Any], rows: list[Row], more: str = "", rules: tuple[str, str] = ("wending-vale", "3")
) -> str:
    """A readings file; a row is (stage, who, seconds) or also a figure with its unit, or True or False; then further fields."""
    lines = [_line(row) for row in rows]
    described = "".join(f"  {key}: {_value(value)}\n" for key, value in train.items())
    return (
        f"headstock: readings 1\ntitle: A case\ninvented: true\ntrain:\n{described}method: {method}\nlocal_rules: {rules[0]}\n"
        f'rules_edition: "{rules[1]}"\n{more}readings:\n' + "\n".join(lines) + "\n"
    )


def _line(row: Row) -> str:
    stage, who, seconds, *read = row
    fields = {"stage": stage, "who": who, "time": clock(seconds)}
    if read and isinstance(read[0], bool):
        fields["seen"] = _value(read[0])
    elif read:
        figure, unit = str(read[0]).split()
        fields |= {"shows": figure, "unit": unit}
    for extra in read[1:]:
        fields |= {key: _value(value) for key, value in extra.items()}
    return "  - {" + ", ".join(f"{key}: {value}" for key, value in fields.items()) + "}"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return "[" + ", ".join(value) + "]" if isinstance(value, list) else str(value)


def judged(folder: Path, text: str, at: str = "") -> JudgedReadings:
    """The verdict on a record."""
    path = folder / "record.yaml"
    path.write_text(text, encoding="utf-8")
    return judge_readings(path, load_fleet(), read_recorder, at)
