"""How a question of the API is answered: its files laid out, its job found, the answer kept for whoever asks the same."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from fastapi import Depends, Response
from pydantic import BaseModel

from headstock.base.errors import Fault, InputError
from headstock.usecases.job_book import job_named
from headstock.usecases.sent_files import check_named_papers, laid_out, named_here
from headstock.web.answers import Answers
from headstock.web.api.shapes import answered, as_bytes
from headstock.web.asked import AnswersOf, LongWorkOf
from headstock.web.long_work import LongWork
from headstock.web.statuses import NOT_THERE, answered_as

JOB = "job.yaml"


@dataclass(frozen=True, slots=True)
class Laid:
    """The files of a question in their folder."""

    folder: Path
    files: Mapping[str, str]

    def path(self, name: str) -> Path:
        """A file's path."""
        return self.folder / name

    def own(self, name: str) -> Path | None:
        """The same, None where it was not sent."""
        return self.folder / name if name in self.files else None

    def named(self, name: str | None) -> str | None:
        """What the question names: a file that was sent, or something built in."""
        return named_here(name, self.files, self.folder)


@dataclass(frozen=True, slots=True)
class Asking:
    """Asks questions of the use cases."""

    answers: Answers
    long_work: LongWork

    def files(self, asked: Any, **parts: str | None) -> dict[str, str]:
        """The files of a question by name: the job that is meant, those that stand beside it, and ``parts``."""
        files = dict(asked.files)
        if (asked.job is None) == (asked.code is None) and self._needs_job(asked):
            found = "both" if asked.job else "neither"
            raise InputError(Fault("a job is meant by its text or by its code", path="job, code", found=found, expected="one"))
        if asked.code is not None:
            with answered_as(NOT_THERE):
                files[JOB] = job_named(asked.code, self.answers.records).text
        elif asked.job is not None:
            files[JOB] = asked.job
        return files | {name.replace("_", "-") + ".yaml": text for name, text in parts.items() if text is not None}

    def _needs_job(self, asked: Any) -> bool:
        return bool(asked.needs_job) or asked.job is not None

    def answer(self, question: str, asked: BaseModel, files: Mapping[str, str], work: Callable[[Laid], Any]) -> Response:
        """The answer as JSON, worked out once for the same words."""
        words = repr((asked.model_dump_json(), sorted(files.items())))
        key = ("api", question, hashlib.sha256(words.encode("utf-8", "surrogatepass")).hexdigest())
        check_named_papers(files)

        def worked_out() -> bytes:
            with laid_out(files) as folder:
                return as_bytes(work(Laid(folder, files)))

        def kept() -> bytes:
            return self.answers.kept(key, worked_out)

        return answered(kept() if self.answers.is_kept(*key) else self.long_work.answer(key, kept))


def _asking(answers: AnswersOf, long_work: LongWorkOf) -> Asking:
    return Asking(answers, long_work)


AskingOf = Annotated[Asking, Depends(_asking)]
