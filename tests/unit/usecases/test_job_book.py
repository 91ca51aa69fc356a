"""The book of jobs: newest first, none pushed out by notes, entries of earlier editions found too."""

from dataclasses import replace
from pathlib import Path

from headstock.records.store import StoredRecords
from headstock.usecases.job_book import BOOKED, booked_jobs, job_draft
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.records_port import Draft


def _notes(count: int) -> list[Draft]:
    return [Draft("job", f"note:{number}", "2026-03-01 08:00:00", ("kind:job",), {"text": "seen", "who": "A. Nyme"})
            for number in range(count)]  # fmt: skip


def test_jobs_are_not_pushed_out_by_notes_and_earlier_entries_are_found(tmp_path: Path) -> None:
    records = StoredRecords(folder=tmp_path)
    text = (JOBS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8")
    now, _ = job_draft(text, tmp_path, "A. Nyme")
    before, _ = job_draft((JOBS_FOLDER / "demo-detach.yaml").read_text(encoding="utf-8"), tmp_path, "M. Iden")
    before = replace(before, terms=tuple(term for term in before.terms if term != BOOKED))
    records.append([before])
    records.append([now])
    records.append(_notes(60))
    assert [one.who for one in booked_jobs(records)] == ["A. Nyme", "M. Iden"]
    assert [one.who for one in booked_jobs(records, 1)] == ["A. Nyme"]
