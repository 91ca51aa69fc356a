"""Setting a sheet: a template, its content as plain values, and its drawings; same content, same bytes."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
HOUSE = "house.typ"
"""What templates share."""
TOGETHER = re.compile(
    r"\d (m|mm|km/h|s|min|bar|kN|t|per mille|degrees)\b|\blines? \d+( to \d+)?|\b[A-Z]\. (?=[A-Z][a-z])|All else stowed|"
    r"(?<=[a-z]) [A-Z]{1,2}\b"
)
"""A figure and its unit, the lines a text points to, initial and name, a kind and the letter of its pattern."""


def bound(value: Any) -> Any:
    """The same data; in every text what belongs together on one line stays there."""
    if isinstance(value, dict):
        return {key: bound(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [bound(part) for part in value]
    return TOGETHER.sub(lambda found: found[0].replace(" ", "\u00a0"), value) if isinstance(value, str) else value


def compiled(template: str, data: Any, drawings: Mapping[str, str], **how: Any) -> list[bytes]:
    """The sheet, or each of its pages where ``how`` asks for pictures; ``drawings`` are SVG by file name."""
    import typst

    with tempfile.TemporaryDirectory(prefix="hs-sheet-") as folder:
        root = Path(folder)
        for name in (template, HOUSE):
            (root / name).write_bytes((HERE / name).read_bytes())
        (root / "content.json").write_text(json.dumps(bound(data), ensure_ascii=False), encoding="utf-8")
        for name, drawing in drawings.items():
            (root / name).write_text(drawing, encoding="utf-8")
        made = typst.compile(str(root / template), root=str(root), font_paths=[str(HERE / "fonts")],
                             ignore_system_fonts=True, **how)  # fmt: skip
    return [made] if isinstance(made, bytes) else list(made or [])
