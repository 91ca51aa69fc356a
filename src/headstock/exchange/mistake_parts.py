"""A part of a study of mistakes as a Parquet file: a row for each mistake of one job."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pyarrow as pa

from headstock.exchange.study_parts import file_of, said_inside
from headstock.usecases.fleet_mistakes import MistakeRow, MistakeStudy

WORD, LINE = pa.string(), pa.int32()
WORDS = pa.list_(WORD)
FIELDS = (
    ("scenario", pa.int64(), "number"), ("answer", WORD, "answer"), ("reasons", WORDS, "reasons"), ("lines", LINE, "lines"),
    ("line", LINE, "line"), ("first", LINE, "first"), ("role", WORD, "role"), ("step", WORD, "step"), ("mistake", WORD, "kind"),
    ("how", WORD, "how"), ("plausibility", pa.int8(), "plausibility"), ("verdict", WORD, "verdict"), ("broken", WORDS, "broken"),
    ("broken_line", LINE, "broken_line"), ("hurts", WORDS, "hurts"), ("noticed_line", LINE, "noticed_line"),
    ("noticed_by", WORD, "noticed_by"), ("means", WORD, "means"), ("left_wrong", WORDS, "left"), ("words", WORD, "words"),
)  # fmt: skip


def mistake_part_content(study: MistakeStudy, rows: Sequence[MistakeRow], key: str) -> bytes:
    """One part as a Parquet file (zstd); ``key`` names study and code."""
    schema = pa.schema([pa.field(name, kind) for name, kind, _ in FIELDS], said_inside(study, key))
    columns: list[list[Any]] = [[_plain(getattr(row, own)) for row in rows] for _, _, own in FIELDS]
    return file_of(columns, schema)


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value
