"""A file of every format, as people wrote it, is read for ever. All invented. ``keep_formats`` says when one may be made anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.documents import read_document
from headstock.base.loading import load_as
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.read_files import KINDS
from tests.old_files.keep_formats import FOLDER, name_of
from tests.promises.formats_page import FORMATS

FOLDERS = sorted(FOLDER.parent.glob("formats-*"))


def test_a_file_of_every_format_is_kept() -> None:
    assert {kind for kind, *_ in FORMATS} == set(KINDS)
    assert {path.name for path in FOLDER.iterdir()} == {*(name_of(kind) for kind in KINDS), "air-case.json"}


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
@pytest.mark.parametrize("row", FORMATS, ids=lambda row: row[0])
def test_an_old_file_is_read(row: tuple[str, type, Path | str, str], folder: Path) -> None:
    kind, model, _, _ = row
    path = folder / name_of(kind)
    assert f"headstock: {kind} 1\n" in path.read_text(encoding="utf-8")
    assert isinstance(load_as(read_document(path), model, kind), model)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_an_old_air_case_is_read(folder: Path) -> None:
    assert len(load_air_cases(folder / "air-case.json").cases) == 1
