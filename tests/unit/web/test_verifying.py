"""A look through all records tells how far it is and what it found."""

import time
from pathlib import Path

from headstock.records.store import StoredRecords
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.web.verifying import Verifying


def test_a_long_chain_is_counted_and_found_whole(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    drafts = [note_to_file(NoteGiven("defect", f"{number}", "A. Nyme", "2026-01-01 10:00:00"), records) for number in range(1200)]
    records.append(drafts)
    heard: list[int] = []
    assert records.verify(tell=heard.append).fault == "" and heard[:2] == [500, 1000]
    look = Verifying(records)
    look.begin()
    look.begin()
    for _ in range(200):
        if not look.how_far.is_running:
            break
        time.sleep(0.05)
    far = look.how_far
    assert far.verdict is not None and far.verdict.entries == 1201 and far.of == 1201 and far.when and far.last_code
