"""Texts that go where no text went before: read by code that tells which of its lines were reached (atheris, libFuzzer).

``python -m tests.hostile.guided KIND FOLDER [options of libFuzzer]``; good files of the kind are put into the folder first.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["headstock"]):
    import headstock.base.documents
    import headstock.base.tree
    import headstock.usecases.read_files  # noqa: F401

from tests.hostile.test_any_file import fleet, said_of, texts


def main(kind: str, begins_from: Path, *options: str) -> None:
    """Reads on until told to stop; what is not answered ends it."""
    for number, text in enumerate(texts()[kind][:20]):
        (begins_from / f"good-{number}").write_text(text, encoding="utf-8")
    fleet()
    path = Path(tempfile.mkdtemp()) / ("file.json" if kind == "air case" else "file.yaml")

    def read(content: bytes) -> None:
        path.write_bytes(content)
        said_of(path)

    atheris.Setup([sys.argv[0], "-max_len=20000", "-timeout=30", "-rss_limit_mb=4000", *options, str(begins_from)], read)
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *sys.argv[3:])
