"""The faults of a scenario as columns of a table: kind, place and severity of each, as many as a scenario can have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pyarrow as pa

from headstock.brake_test.causes import Cause

FAULTS = 2


def fault_fields(word: pa.DataType) -> list[pa.Field]:
    """The columns' names and types; ``word``: that of words."""
    kinds = (("kind", word), ("place", word), ("severity", pa.float64()))
    return [pa.field(f"{name}_{number}", kind) for number in range(1, FAULTS + 1) for name, kind in kinds]


def fault_columns(rows: Sequence[Sequence[Cause]]) -> list[list[Any]]:
    """Their values, a row a scenario; nothing where it has fewer faults."""
    found: list[list[Any]] = []
    for number in range(FAULTS):
        faults: list[Cause | None] = [row[number] if number < len(row) else None for row in rows]
        found += [
            [fault and fault.kind for fault in faults], [fault and fault.place for fault in faults],
            [fault and fault.severity for fault in faults],
        ]  # fmt: skip
    return found
