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
    return joined(TOGETHER, value) if isinstance(value, str) else value


def joined(pattern: re.Pattern[str], text: str) -> str:
    """The text with what the pattern finds kept on one line."""
    return pattern.sub(lambda found: found[0].replace(" ", "\u00a0"), text)


def as_pdf(template: str, data: Any, drawings: Mapping[str, str] | None = None) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1); ``drawings`` are SVG by file name."""
    return _compiled(template, data, drawings or {}, format="pdf", pdf_standards=["ua-1"], timestamp=0)[0]


def as_pictures(template: str, data: Any, drawings: Mapping[str, str], pixels_per_inch: float) -> list[bytes]:
    """Each page as PNG."""
    return _compiled(template, data, drawings, format="png", ppi=pixels_per_inch)


def lay_out(root: Path, template: str, data: Any, drawings: Mapping[str, str]) -> None:
    """Everything that a template reads, in one folder."""
    for name in (template, HOUSE):
        (root / name).write_bytes((HERE / name).read_bytes())
    (root / "content.json").write_text(json.dumps(bound(data), ensure_ascii=False), encoding="utf-8")
    for name, drawing in drawings.items():
        (root / name).write_text(drawing, encoding="utf-8")


def _compiled(template: str, data: Any, drawings: Mapping[str, str], **how: Any) -> list[bytes]:
    import typst

    with tempfile.TemporaryDirectory(prefix="hs-sheet-") as folder:
        root = Path(folder)
        lay_out(root, template, data, drawings)
        made = typst.compile(str(root / template), root=str(root), font_paths=[str(HERE / "fonts")],
                             ignore_system_fonts=True, **how)  # fmt: skip
    return [made] if isinstance(made, bytes) else list(made or [])


def plain_name(*words: str) -> str:
    """A file's name without its ending: letters and figures, one dash between them; empty where there are none."""
    said = "".join(sign.lower() if sign.isalnum() else "-" for sign in "-".join(words))
    return "-".join(part for part in said.split("-") if part)
