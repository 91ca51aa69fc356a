"""Writes one file of every format, as people write it now:  python -m tests.old_files.keep_formats

Until the first release these may be made anew. From then on what lies here stays as it is, and a new version of a format gets a
folder of its own beside.
"""

from __future__ import annotations

import re
from pathlib import Path

from tests.promises import air_case_page
from tests.promises.formats_page import FORMATS

FOLDER = Path(__file__).parent / "formats-1"


def name_of(kind: str) -> str:
    """The file of a kind."""
    return f"{kind.replace(' ', '-')}.yaml"


def main() -> None:
    """Write what is not there yet."""
    FOLDER.mkdir(exist_ok=True)
    wanted = {name_of(kind): text.read_text(encoding="utf-8") if isinstance(text, Path) else text for kind, _, text, _ in FORMATS}
    found = re.search(r"```json\n(.*?)```", air_case_page.PAGE.read_text(encoding="utf-8"), re.DOTALL)
    wanted["air-case.json"] = found[1] if found else ""
    for name, text in wanted.items():
        if not (FOLDER / name).exists():
            (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
