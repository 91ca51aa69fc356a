"""Entries of records as a table: CSV (RFC 4180, UTF-8) or Parquet; one line each, what differs by kind as JSON in one column."""

from __future__ import annotations

import io
import json
from collections.abc import Iterable

import pyarrow as pa
import pyarrow.parquet as pq

from headstock.exchange.csv_text import csv_bytes
from headstock.usecases.records_port import Filed

COLUMNS = ("entry", "code", "kind", "at", "recorded_at", "clock_behind_s", "key", "hash", "signature", "terms", "body")
NUMBERS = ("entry", "clock_behind_s")


def _values(filed: Filed) -> tuple[str | int, ...]:
    draft = filed.draft
    body = json.dumps(draft.body, sort_keys=True, ensure_ascii=False)
    return (filed.seq, filed.code, draft.kind, draft.at, filed.recorded_at, filed.clock_behind_s, draft.key, filed.hash,
            filed.signature, " | ".join(draft.terms), body)  # fmt: skip


def records_csv(entries: Iterable[Filed]) -> bytes:
    """A line of names, then a line for each entry."""
    return csv_bytes(COLUMNS, (_values(filed) for filed in entries), exact=("key", "hash", "signature"))


def records_parquet(entries: Iterable[Filed]) -> bytes:
    """The same as columns (zstd)."""
    lines = [_values(filed) for filed in entries]
    columns = {name: pa.array([line[number] for line in lines], pa.int64() if name in NUMBERS else pa.string())
               for number, name in enumerate(COLUMNS)}  # fmt: skip
    content = io.BytesIO()
    pq.write_table(pa.table(columns), content, compression="zstd")
    return content.getvalue()
