"""The answer of ``join`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from headstock.usecases.join_ends import PairAnswer


def join_as_json(answer: PairAnswer, written: Path | None = None) -> dict[str, Any]:
    """Every way with every reason, and what it was computed with."""
    sheet = str(written) if written is not None else None
    return {**asdict(answer.join), "track": answer.track.words, "invented": answer.invented, "sheet": sheet}
