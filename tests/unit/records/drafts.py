"""Entries for tests of records."""

from __future__ import annotations

from headstock.usecases.records_port import Draft


def draft(number: int, words: tuple[str, ...] = (), kind: str = "defect") -> Draft:
    """An invented defect of unit 217; every tenth of 226."""
    unit = "226" if number % 10 == 0 else "217"
    terms = (f"kind:{kind}", unit, *words)
    return Draft(
        kind, f"key-{number}", f"2026-11-{number % 28 + 1:02d} 10:00:00", terms, {"text": f"invented ä {number}", "unit": unit}
    )
