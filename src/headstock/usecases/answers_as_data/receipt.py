"""What is said of an entry that was put on record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from headstock.devices.key_words import device_in_words
from headstock.usecases.record_state import TestNow
from headstock.usecases.records_port import Draft, Filed


def receipt(filed: Filed) -> dict[str, Any]:
    """What whoever sent it keeps."""
    return {"filed": True, "is_new": filed.is_new, "entry": filed.seq, "code": filed.code, "hash": filed.hash,
            "key": filed.draft.key, "kind": filed.draft.kind}  # fmt: skip


def receipt_line(filed: Filed) -> str:
    """The same in words."""
    behind = f" The clock here stands {filed.clock_behind_s} s before that of the last entry." if filed.clock_behind_s else ""
    how = "On record" if filed.is_new else "Was on record already, nothing was added"
    return f"{how}: {filed.draft.kind}, entry {filed.seq}, code {filed.code}.{behind}"


WHO = {"sitting": "led by", "paper": "marked by", "competence": "assessor"}


def body_lines(draft: Draft) -> Iterator[str]:
    """Everything that an entry holds in words, a line for each part; its text stands in the entry's own line."""
    for key, value in draft.body.items():
        if value in (None, "", []) or key == "text":
            continue
        parts = [value] if isinstance(value, str | int | float | bool) else list(value)
        said = "; ".join(", ".join(map(str, one.values())) if isinstance(one, Mapping) else str(one) for one in parts)
        yield f"  {WHO.get(draft.kind, key) if key == 'who' else key.replace('_', ' ')}: {said}"


def void_words(now: TestNow) -> list[str]:
    """Each touch that makes a test void."""
    return [f"{device_in_words(one.device)} touched by {one.who} at {one.when}"
            f"{f', entry {one.code}' if one.code else ', in its own record'}" for one in now.void_by]  # fmt: skip
