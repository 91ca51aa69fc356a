"""The book of jobs: job files kept on record, each version an entry that is never altered; newest first.

A supervisor asks: which jobs are there, and what does this one say? Nothing here decides about a job.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.usecases.job_file import JobPapers, load_job
from headstock.usecases.record_terms import terms_of, word_terms
from headstock.usecases.records_port import Draft, Filed, Records, Search
from headstock.usecases.sent_files import check_named_papers

BOOKED = "with:job file"
"""The word under which jobs with a file are found; a note of a job has none, and may be many."""


@dataclass(frozen=True, slots=True)
class BookedJob:
    """A job on record: its short code, title, who put it there and when; ``text``: the job file."""

    code: str
    title: str
    who: str
    when: str
    text: str

    @property
    def digest(self) -> str:
        """What answers about it are kept under."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()


def job_draft(text: str, folder: Path, who: str, key: str | None = None) -> tuple[Draft, JobPapers]:
    """The entry of a job; its file is read with all its papers first. Raises InputError with every fault of it."""
    check_named_papers({"job.yaml": text})
    papers = load_job(job_path(text, folder))
    job = papers.job
    digest = hashlib.sha256(text.encode("utf-8")).hexdigest()
    now = datetime.now().isoformat(" ", "seconds")
    units = [unit.name for unit in job.units]
    body: dict[str, Any] = {"text": job.title, "who": who, "when": now, "units": units, "about": None, "file_sha256": digest,
                            "file_name": None, "job_file": text}  # fmt: skip
    terms = ["kind:job", BOOKED, *units, *word_terms(job.title, papers.place.name, who)]
    return Draft("job", key or f"job:{digest[:24]}", now, terms_of(terms), body), papers


def booked_jobs(records: Records, top: int = 50) -> tuple[BookedJob, ...]:
    """The newest jobs whose file is on record."""
    found = {one.seq: one for one in records.search(Search((BOOKED,), "job", top=top))}
    if len(found) < top:  # entries of earlier editions lack the word
        found |= {one.seq: one for one in records.search(Search(kind="job", top=1000)) if "job_file" in one.draft.body}
    return tuple(_booked(found[seq]) for seq in sorted(found, reverse=True)[:top])


def job_named(code: str, records: Records) -> BookedJob:
    """A job by its code, number or key. Raises InputError."""
    found = records.named(code)
    if found is None or "job_file" not in found.draft.body:
        raise InputError(Fault("no such job", found=code, expected="the code of a job on record"), cure="Look under This turn.")
    return _booked(found)


def _booked(entry: Filed) -> BookedJob:
    body = entry.draft.body
    return BookedJob(entry.code, body["text"], body["who"], entry.draft.at, body["job_file"])


def job_path(text: str, folder: Path) -> Path:
    """A job's text as a file in a folder of the program's own, for what reads files; the same text, the same file."""
    path = folder / f"job-{hashlib.sha256(text.encode('utf-8')).hexdigest()[:24]}.yaml"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        beside = path.with_suffix(f".{id(text)}.part")
        beside.write_text(text, encoding="utf-8")
        beside.replace(path)
    return path
