"""Sittings, and papers sat, kept as files of JSON lines, one each; every event is on the disk before anybody is told of it."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from headstock.base.begun import begun, take_away_left
from headstock.base.durable import sync_folder
from headstock.base.errors import Fault, InputError, StorageError
from headstock.base.kept_json import kept_json
from headstock.records.database import told
from headstock.usecases.record_terms import name_key
from headstock.usecases.sitting_log_port import KeptSitting

SUFFIX, FORM = ".sitting.jsonl", "sitting 1"
PAPER_SUFFIX, PAPER_FORM = ".paper.jsonl", "paper sat 1"
BEGUN = ".begun-"
"""How files begin that are being made; the folder is cleared of those of killed writers when it is opened."""


class SittingFiles:
    """Sittings in a folder; ``suffix`` and ``form``: how their files end, and the words of their first line."""

    def __init__(self, folder: Path, suffix: str = SUFFIX, form: str = FORM) -> None:
        self.folder, self.suffix, self.form = folder, suffix, form
        with told(str(folder)):
            folder.mkdir(parents=True, exist_ok=True)
            take_away_left(folder, BEGUN)

    def begin(self, code: str, exercise: str, began: str, *events: Mapping[str, Any]) -> None:
        """A new sitting, with its first events: whole or not there. Raises InputError for a code that is there, StorageError."""
        path = self._path(code)
        with told(str(self.folder)):
            try:
                with begun(self.folder, BEGUN) as (handle, name), open(handle, "w", encoding="utf-8", closefd=False) as file:
                    file.write(_line({"headstock": self.form, "exercise": exercise, "began": began}))
                    _durable(file, *events)
                    os.link(name, path)
                    sync_folder(self.folder)
            except FileExistsError:
                raise InputError(Fault("a sitting of that code is there already", found=code)) from None

    def add(self, code: str, event: Mapping[str, Any]) -> None:
        """One event more, durable on return. Raises StorageError."""
        with told(str(self.folder)), self._path(code).open("a", encoding="utf-8") as file:
            if file.tell() and not _ends_whole(file.name):  # a torn line is closed first, so that it can never join this one
                file.write("\n")
            _durable(file, event)

    def mark_clock(self, code: str, t_s: float) -> None:
        """How far the clock is, not waited for."""
        with told(str(self.folder)), self._path(code).open("a", encoding="utf-8") as file:
            file.write(json.dumps({"clock_s": round(t_s, 3)}) + "\n")

    def kept(self, code: str) -> KeptSitting | None:
        """A sitting as it was kept; a last line that was not written whole was never acknowledged. Raises StorageError."""
        path = self._path(code)
        if not path.exists():
            return None
        with told(str(path)):
            lines = path.read_bytes().split(b"\n")
        whole = [one for line in lines[:-1] if (one := _read(line)) is not None]
        try:
            return _kept(code, whole, self.form)
        except (IndexError, KeyError, TypeError, ValueError, OverflowError):
            raise StorageError(f"this is no sitting @ {path}", where=str(path), cure="Name another one.") from None

    def unname(self, code: str, person: str, instead: str) -> bool:
        """Write another name wherever a sitting has somebody's; whether it had. The file is whole or as it was."""
        path = self._path(code)
        with told(str(path)):
            lines = path.read_bytes().split(b"\n")
            new = [_unnamed(line, name_key(person), instead) for line in lines]
            if new == lines:
                return False
            beside = path.with_suffix(".part")
            with beside.open("wb") as file:
                file.write(b"\n".join(new))
                file.flush()
                os.fsync(file.fileno())
            os.replace(beside, path)
            sync_folder(self.folder)
        return True

    def codes(self) -> Sequence[str]:
        """All sittings, newest first."""
        with told(str(self.folder)):
            found = sorted(self.folder.glob(f"*{self.suffix}"), key=lambda path: path.stat().st_mtime, reverse=True)
        return [path.name.removesuffix(self.suffix) for path in found]

    def _path(self, code: str) -> Path:
        if not (code.isascii() and code.isalnum() and len(code) <= 12):
            raise InputError(Fault("not a code of a sitting", found=code, expected="letters and figures"))
        return self.folder / f"{code}{self.suffix}"


def _kept(code: str, whole: Sequence[Mapping[str, Any]], form: str) -> KeptSitting:
    """A sitting from its lines. Raises what Python raises for lines that we never wrote."""
    first, *rest = whole
    if first["headstock"] != form:
        raise ValueError(first["headstock"])
    times_s = [float(one.get("clock_s", one.get("t_s", 0.0))) for one in rest]
    if not all(map(math.isfinite, times_s)):
        raise ValueError("a clock that never was")
    events = tuple(one for one in rest if "clock_s" not in one)
    return KeptSitting(code, str(first["exercise"]), str(first["began"]), events, max(times_s, default=0.0))


def _read(line: bytes) -> dict[str, Any] | None:
    """A line; one that a killed server tore was acknowledged to nobody."""
    try:
        found = kept_json(line)
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


def _unnamed(line: bytes, person: str, instead: str) -> bytes:
    """A line with another name in place of somebody's; as it was where it has none."""
    found = _read(line)
    if found is None or name_key(found.get("person", "")) != person:
        return line
    return json.dumps({**found, "person": instead}, ensure_ascii=False, sort_keys=True).encode("utf-8")


def _line(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True) + "\n"


def _durable(file: Any, *values: Mapping[str, Any]) -> None:
    """Written, and on the disk."""
    file.writelines(map(_line, values))
    file.flush()
    os.fdatasync(file.fileno()) if hasattr(os, "fdatasync") else os.fsync(file.fileno())


def _ends_whole(path: str) -> bool:
    with open(path, "rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
