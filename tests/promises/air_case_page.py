"""The table of keys in docs/reference/air-case.md, made from the model that reads the file, so that it cannot fall behind.

``python -m tests.promises.air_case_page`` puts it into the page; a test compares.
"""

from __future__ import annotations

import json
import re

from headstock.usecases.air_case_file import AirCase
from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "reference" / "air-case.md"
HEAD = "| key | default | what |\n|---|---|---|\n"
TABLE = re.compile(re.escape(HEAD) + r"(?:\|.*\|\n)*")


def table() -> str:
    """The whole table."""
    rows = []
    for key, field in AirCase.model_fields.items():
        default = "[]" if field.default == () else json.dumps(field.default)
        rows.append(f"| `{key}` | `{default}` | {field.description} |\n")
    return HEAD + "".join(rows)


if __name__ == "__main__":
    PAGE.write_text(TABLE.sub(lambda _: table(), PAGE.read_text(encoding="utf-8"), count=1), encoding="utf-8")
