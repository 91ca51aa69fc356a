"""An entry as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.usecases.answers_as_data.receipt import void_words
from headstock.usecases.record_state import state_of_test
from headstock.usecases.records_port import Filed, Records


def entry_as_json(filed: Filed, records: Records, whole: bool) -> dict[str, Any]:
    """An entry; ``whole``: with the body of a test too, which is long."""
    draft = filed.draft
    said: dict[str, Any] = {
        "entry": filed.seq, "code": filed.code, "kind": draft.kind, "at": draft.at, "key": draft.key,
        "recorded_at": filed.recorded_at, "clock_behind_s": filed.clock_behind_s, "hash": filed.hash,
    }  # fmt: skip
    if draft.kind == "test":
        now = state_of_test(filed, records)
        said |= {"title": draft.body["title"], "verdict": draft.body["verdict"], "state": now.state, "void_by": void_words(now),
                 "touches": [asdict(touch) for touch in now.touches], "about": [entry.code for entry in now.about]}  # fmt: skip
    return said | ({"body": dict(draft.body)} if whole or draft.kind != "test" else {})
