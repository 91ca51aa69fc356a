"""Whether records are as they were written, as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.usecases.records_port import ChainVerdict, Records


def verdict_as_json(verdict: ChainVerdict, records: Records) -> dict[str, Any]:
    """The verdict with the code of the last entry, where nothing was altered."""
    last = records.named(str(verdict.entries)) if verdict.entries and not verdict.fault else None
    return {"answer": "no" if verdict.fault else "yes", "last_code": last.code if last else None, **asdict(verdict),
            "unsafe": records.unsafe_because()}  # fmt: skip
