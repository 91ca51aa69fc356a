"""Files of answers: all of them or none, in a folder that is made where it is not there."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path


def check_writable(paths: Mapping[str, Path], kept: Path | None = None) -> None:
    """Raises InputError for what could not be written, before long work; `kept`, a file that is read, stays as it is."""
    from headstock.exchange import whole_files

    whole_files.check_writable(paths, kept)


def write_whole(contents: Mapping[Path, bytes], cure: str = "Name another file.") -> None:
    """Write all files or none. Raises InputError."""
    from headstock.exchange import whole_files

    whole_files.write_whole(contents, cure)


def put_into(folder: Path, name: str, content: bytes) -> Path:
    """Write a sheet whole into the folder of sheets; returns its path. Raises InputError."""
    path = in_folder(folder, name)
    write_whole({path: content}, "Name another folder with --sheets.")
    return path


def in_folder(folder: Path, name: str, option: str = "--sheets") -> Path:
    """A file in a folder for answers, made if it is not there. Raises InputError."""
    from headstock.base.errors import Fault, InputError

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = {"--sheets": "the sheet", "--out": "the report"}.get(option, "the task")
        fault = Fault(f"{what} cannot be written", str(folder), found=error.strerror or str(error),
                      expected="a folder one can write to")  # fmt: skip
        raise InputError(fault, cure=f"Name another folder with {option}.") from None
    return folder / name
