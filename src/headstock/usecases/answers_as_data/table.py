"""The table of what joins what as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.usecases.join_table import TABLE_CAUTIONS, JoinTable


def table_as_json(table: JoinTable) -> dict[str, Any]:
    """The table with every pair of ends."""
    return {
        "local_rules": {"name": table.rules.name, "edition": table.rules.edition}, "track": table.track.words,
        "invented": table.invented, "cautions": list(TABLE_CAUTIONS),
        "types": [{"type": t.type, "title": t.title, "issue": t.issue, "invented": t.invented} for t in table.types],
        "pairs": [{**asdict(pair.join), "first": pair.first, "second": pair.second} for pair in table.every],
    }  # fmt: skip
