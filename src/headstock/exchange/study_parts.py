"""A study's results: a folder of Parquet files, a part each, under job, method and weather; ``study.json`` says what they are.

Every file says of which study and which code it is, so that results of another are not taken for these.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from headstock import __version__
from headstock.base.errors import Fault, InputError
from headstock.base.kept_json import kept_json
from headstock.exchange.fault_columns import fault_columns, fault_fields
from headstock.exchange.whole_files import write_whole
from headstock.usecases.any_study import FORMAT, Study
from headstock.usecases.fleet_study import FleetStudy, StudyRow
from headstock.usecases.standing_caution import STANDING_CAUTION

MANIFEST = "study.json"
KEY = "headstock study"


def part_content(study: FleetStudy, rows: Sequence[StudyRow], key: str) -> bytes:
    """One part as a Parquet file (zstd); ``key`` names study and code."""
    schema = _schema(study, key)
    columns: list[list[Any]] = [[row.number for row in rows], [row.signature.draw for row in rows],
                                [len(row.signature.faults) for row in rows]]  # fmt: skip
    columns += fault_columns([row.signature.faults for row in rows])
    columns += [[row.weight for row in rows], [row.signature.readings for row in rows],
                [[None if isnan(one) else one for one in row.margins] for row in rows]]  # fmt: skip
    columns += [[row.fails[number] for row in rows] for number in range(len(study.file.limits))]
    return file_of(columns, schema)


def file_of(columns: Sequence[Sequence[Any]], schema: pa.Schema) -> bytes:
    """Columns as a Parquet file (zstd); the same columns, the same bytes."""
    table = pa.Table.from_arrays([pa.array(own, field.type) for own, field in zip(columns, schema, strict=True)], schema=schema)
    sink = pa.BufferOutputStream()
    pq.write_table(table, sink, compression="zstd")
    return bytes(sink.getvalue())


def _schema(study: FleetStudy, key: str) -> pa.Schema:
    word, figures = pa.string(), pa.list_(pa.float64())
    fields = [pa.field("scenario", pa.int64()), pa.field("draw", pa.int32()), pa.field("faults", pa.int8())]
    fields += [*fault_fields(word), pa.field("weight", pa.float64()), pa.field("readings", figures), pa.field("margins", figures)]
    fields += [pa.field(f"fails_{limits.name}", pa.bool_()) for limits in study.file.limits]
    return pa.schema(fields, said_inside(study, key))


def said_inside(study: Study, key: str) -> dict[str, str]:
    """What every file of a study carries, so that it cannot be taken for another's."""
    return {KEY: key, "headstock": __version__, "caution": STANDING_CAUTION, "study": study.file.model_dump_json()}


@dataclass(frozen=True)
class StudyFolder:
    """The folder of one study's results, by its code."""

    folder: Path
    study: Study
    code: str

    @property
    def key(self) -> str:
        """Names study and code in every file."""
        return f"{self.study.key}-{self.code}"

    def open(self) -> None:
        """Make it, or see that it is this study's. Raises InputError; then nothing in it has changed."""
        said = manifest_of(self.folder) if self.folder.exists() else None
        if said is None:
            if self.folder.is_dir() and any(self.folder.iterdir()):
                raise _refused(self.folder, "a folder with something else in it", "an empty folder, or none")
            try:
                self.folder.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise _refused(self.folder, error.strerror or str(error), "a folder one can write to") from None
            write_whole({self.folder / MANIFEST: json.dumps(self._said(), indent=1, ensure_ascii=False).encode()})
        elif said["key"] != self.key:
            is_same = said["key"].partition("-")[0] == self.study.key
            other = f"{said['name']}, edition {said['edition']}, Headstock {said['headstock']}"
            what = "results of the same study by other code" if is_same else "results of another study"
            raise _refused(self.folder, f"{what} ({other})", f"results of {self.study.file.name}, by this code")

    def has(self, part: int) -> bool:
        """Whether a part is there, whole. Raises InputError for one of another study."""
        path = self._path(part)
        if not path.is_file():
            return False
        try:
            key = pq.read_schema(path).metadata[KEY.encode()].decode()
        except (OSError, pa.ArrowException, KeyError, TypeError):
            return False
        if key != self.key:
            raise _refused(path, "a part of another study or of other code", "parts of this one alone")
        return True

    def keep(self, part: int, content: bytes) -> None:
        """Write a part whole or not at all; what a killed run left half written of it goes. Raises InputError."""
        path = self._path(part)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _refused(path.parent, error.strerror or str(error), "a folder one can write to") from None
        try:
            write_whole({path: content})
        except InputError:
            if not self.has(part):  # else somebody else was quicker with the very same
                raise
        for left in path.parent.glob(f".{path.name}.*"):
            left.unlink(missing_ok=True)

    def _path(self, part: int) -> Path:
        return self.folder / self.study.folder_of(part) / f"part-{part:09d}.parquet"

    def _said(self) -> dict[str, Any]:
        file = self.study.file
        return {
            "key": self.key, "format": FORMAT, "kind": self.study.kind, "headstock": __version__, "caution": STANDING_CAUTION,
            "name": file.name, "edition": file.edition, "invented": file.invented, "study": json.loads(file.model_dump_json()),
            **self.study.said(),
        }  # fmt: skip


def manifest_of(folder: Path) -> dict[str, Any] | None:
    """What a folder of results says of itself; None where it has no such file. Raises InputError for one that cannot be read."""
    path = folder / MANIFEST
    if not path.exists():
        return None
    try:
        said = kept_json(path.read_text(encoding="utf-8"))
        if (
            isinstance(said, dict)
            and {"key", "name", "edition", "headstock", "parts"} <= said.keys()
            and said["format"] == FORMAT
        ):
            return said
    except (OSError, ValueError, KeyError):
        pass
    raise _refused(path, "something else", f"what headstock study writes there, format {FORMAT}")


def _refused(path: Path, found: str, expected: str) -> InputError:
    return InputError(Fault("not a place for these results", str(path), found=found, expected=expected),
                      cure="Name another folder.")  # fmt: skip
