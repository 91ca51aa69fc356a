"""The fonts inside a page, so that it looks alike everywhere and fetches nothing."""

from __future__ import annotations

import base64
from pathlib import Path

FOLDER = Path(__file__).parent / "fonts"
CUTS = (("Regular", 400), ("Bold", 700), ("ExtraBold", 800))


def fonts_inside() -> str:
    """Style rules with the fonts in them."""
    rules = []
    for cut, weight in CUTS:
        data = base64.b64encode((FOLDER / f"AtkinsonHyperlegibleNext-{cut}.ttf").read_bytes()).decode("ascii")
        rules.append(f"@font-face{{font-family:Headstock;font-weight:{weight};src:url(data:font/ttf;base64,{data})}}\n")
    return "".join(rules)
