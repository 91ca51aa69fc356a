"""Jobs that come with the program, to begin from: each a job file with its title."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.documents import read_text
from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.usecases.job_file import JOBS_FOLDER, load_job


@dataclass(frozen=True, slots=True)
class ReadyJob:
    """A job by the name of its file, its title, what is done, and its text."""

    name: str
    title: str
    work: str
    text: str


def ready_jobs() -> tuple[ReadyJob, ...]:
    """All of them, by name."""
    return tuple(_ready(path.stem) for path in sorted(JOBS_FOLDER.glob("*.yaml")))


def ready_job(name: str) -> ReadyJob:
    """One by its name. Raises InputError."""
    known = [path.stem for path in sorted(JOBS_FOLDER.glob("*.yaml"))]
    if name not in known:
        raise InputError(
            Fault("no ready job of that name", found=name, expected=", ".join(known), nearest=nearest_of(name, known))
        )
    return _ready(name)


def _ready(name: str) -> ReadyJob:
    path = JOBS_FOLDER / f"{name}.yaml"
    job = load_job(path).job
    return ReadyJob(name, job.title, job.work, read_text(path))
