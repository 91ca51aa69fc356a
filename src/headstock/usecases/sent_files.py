"""Files that came over a wire: laid side by side in a folder of their own, naming nothing outside it but what is built in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from headstock.base.documents import document_from_text, is_file
from headstock.base.errors import Fault, InputError
from headstock.base.located import Document, DocumentPath, path_text

PLAIN = re.compile(r"[^\W_][\w .-]{0,79}")
"""A file's name: letters, figures, spaces, dots and hyphens; no folder."""
NAMING: tuple[DocumentPath, ...] = (
    ("place",), ("local_rules",), ("method",), ("job",), ("triggers",), ("recorder", "file"),
)  # fmt: skip
"""Where a file names another."""
EXPECTED = "a built-in name, or the name of a file that is sent with it, without a folder"


@contextmanager
def laid_out(files: Mapping[str, str]) -> Iterator[Path]:
    """A folder with the files, gone afterwards; errors name the files without it. Raises InputError for what leads outside."""
    check_named_papers(files)
    with TemporaryDirectory(prefix="headstock-sent-") as made:
        folder = Path(made)
        for name, text in files.items():
            (folder / name).write_bytes(text.encode("utf-8", "surrogatepass"))
        try:
            yield folder
        except InputError as error:
            raise _without(error, f"{folder}/") from None


def check_named_papers(files: Mapping[str, str]) -> None:
    """Refuse names that lead to a folder, of the files and in them. Raises InputError with every one."""
    faults = [Fault("not a name of a file", path="files", found=name, expected="letters, figures, spaces, dots and hyphens")
              for name in files if not is_plain(name)]  # fmt: skip
    for name, text in files.items():
        faults += _faults_of(text, name)
    if faults:
        raise InputError(faults)


def is_plain(name: str) -> bool:
    """Whether a name leads to no other folder."""
    return PLAIN.fullmatch(name) is not None


def named_here(name: str | None, files: Mapping[str, str], folder: Path) -> str | None:
    """What a question names: the path of a file that was sent, else a built-in name. Raises InputError for a folder."""
    if name is None or name in files:
        return None if name is None else str(folder / name)
    if not is_plain(name) or is_file(Path(name)):
        raise InputError(Fault("leads outside what was sent", found=name, expected=EXPECTED))
    return name


def _faults_of(text: str, name: str) -> Iterator[Fault]:
    try:
        document = document_from_text(text, name)
    except InputError:
        return  # whoever reads it says what is wrong with it
    for path in NAMING:
        found = _at(document, path)
        if isinstance(found, str) and not is_plain(found):
            yield Fault("leads outside what was sent", name, document.line_of(path), path_text(path), found, EXPECTED)


def _at(document: Document, path: DocumentPath) -> Any:
    here: Any = document.value
    for part in path:
        here = here.get(part) if isinstance(here, dict) else None
    return here


def _without(error: InputError, folder: str) -> InputError:
    """The same error with the files' names alone."""

    def cut(text: str | None) -> Any:
        return None if text is None else text.replace(folder, "").replace(folder.rstrip("/"), "what was sent")

    faults = [
        replace(one, what=cut(one.what), file=cut(one.file), found=cut(one.found), expected=cut(one.expected),
                nearest=cut(one.nearest)) for one in error.faults
    ]  # fmt: skip
    return type(error)(faults, what=cut(error.what), where=cut(error.where), why=cut(error.why), cure=cut(error.cure))
