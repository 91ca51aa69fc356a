"""Question papers sat on screen: begun, answered, handed in; each is kept whole with its questions, so it stays what it was.

A paper sat on screen is not watched by anybody: it is a drill. The key is told to nobody before it is handed in.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any, Final

from headstock.base.errors import Fault, InputError, StorageError
from headstock.base.nearest import nearest_of
from headstock.practice.questions import OPTIONS, Question
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.question_paper import MOST_QUESTIONS, Paper
from headstock.usecases.record_practice import PaperGiven, paper_to_file
from headstock.usecases.records_port import Draft
from headstock.usecases.sitting_log_port import KeptSitting, SittingLog
from headstock.usecases.sittings import NO_NAME, new_code

ALL: Final = "all"
NAME: Final = re.compile(r"(?P<job>[a-z0-9-]{1,60})-(?P<count>\d{1,3})-(?P<seed>\d{1,9})", re.ASCII)
MOST_SHOWN: Final = 30
Answers = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class PaperAsked:
    """A paper by its name: the built-in job it is about ("all": all of them), how many questions, which seed."""

    job: str
    count: int
    seed: int

    @property
    def name(self) -> str:
        """As it stands in an address."""
        return f"{self.job}-{self.count}-{self.seed}"

    @property
    def jobs(self) -> tuple[str, ...]:
        """As ``make_paper`` wants them."""
        return () if self.job == ALL else (self.job,)


@dataclass(frozen=True, slots=True)
class PaperSat:
    """A paper in hand: ``answers``: number of the option taken for each question, None where there is none yet."""

    code: str
    began: str
    paper: Paper
    person: str
    answers: Answers
    is_handed_in: bool

    @property
    def points(self) -> int:
        """How many were answered right."""
        return sum(given == one.right for given, one in zip(self.answers, self.paper.questions, strict=True))

    @property
    def unanswered(self) -> tuple[int, ...]:
        """Numbers of the questions without an answer, 1 is the first."""
        return tuple(number for number, given in enumerate(self.answers, start=1) if given is None)


def papers_about() -> tuple[str, ...]:
    """What a paper can be about: each built-in job, and all of them."""
    return (ALL, *(path.stem for path in sorted(JOBS_FOLDER.glob("*.yaml"))))


def paper_asked(name: str) -> PaperAsked:
    """What a name asks for: built-in jobs alone, no files. Raises InputError."""
    found, known = NAME.fullmatch(name), papers_about()
    if found is None:
        raise InputError(Fault("no name of a paper", found=name, expected="JOB-COUNT-SEED, as in all-20-7"))
    asked = PaperAsked(found["job"], int(found["count"]), int(found["seed"]))
    if asked.job not in known:
        raise InputError(
            Fault("no paper about that", found=asked.job, expected=", ".join(known), nearest=nearest_of(asked.job, known))
        )
    if not 1 <= asked.count <= MOST_QUESTIONS:
        raise InputError(Fault("not a number of questions", found=found["count"], expected=f"1 to {MOST_QUESTIONS}"))
    return asked


class PapersSat:
    """Papers sat, by their codes. All methods may be called from any thread."""

    def __init__(self, log: SittingLog) -> None:
        self.log = log
        self._lock = threading.RLock()

    def begin(self, paper: Paper, person: str) -> str:
        """Somebody begins a paper; gives its code. Raises InputError, StorageError."""
        if not person.strip():
            raise InputError(Fault("nobody sits it", path="person", found="no name", expected="a name"))
        code = new_code()
        sat = {"kind": "sat", "person": person.strip(), "paper": asdict(paper)}
        self.log.begin(code, paper.number, datetime.now().isoformat(" ", "seconds"), sat)
        return code

    def named(self, code: str) -> PaperSat:
        """A paper that was begun. Raises InputError, StorageError."""
        code = code.strip().upper()
        kept = self.log.kept(code) if code.isascii() and code.isalnum() and len(code) <= 12 else None
        if kept is None or not kept.events:
            raise InputError(Fault("no such paper", found=code, expected="the code under which it was begun"))
        try:
            return _folded(code, kept)
        except (KeyError, TypeError, ValueError):
            raise StorageError(f"what is kept of this paper is damaged: {code}", cure="Restore a backup of its file.") from None

    def answer(self, code: str, answers: Sequence[int | None], hands_in: bool) -> PaperSat:
        """Keep answers, or hand the paper in with them. Raises InputError: once handed in nothing is changed any more."""
        with self._lock:
            sat = self.named(code)
            if sat.is_handed_in:
                raise InputError(Fault("it is handed in already", found=sat.code, expected="a paper in hand"))
            wrong = [given for given in answers if given is not None and not 0 <= given < OPTIONS]
            if len(answers) != len(sat.answers) or wrong:
                raise InputError(
                    Fault("not answers to this paper", found=f"{len(answers)} answers", expected=f"{len(sat.answers)}")
                )
            self.log.add(sat.code, {"kind": "answered", "answers": list(answers), "handed_in": hands_in})
            return self.named(code)

    def lately(self) -> tuple[PaperSat, ...]:
        """Those of late, newest first. One that cannot be read says so to whoever asks for it, and hides no other."""
        found = []
        for code in self.log.codes()[:MOST_SHOWN]:
            with suppress(InputError, StorageError):
                found.append(self.named(code))
        return tuple(found)

    def unname(self, person: str) -> int:
        """Take somebody's name off all papers; returns off how many."""
        with self._lock:
            return sum(self.log.unname(code, person, NO_NAME) for code in self.log.codes())


def _folded(code: str, kept: KeptSitting) -> PaperSat:
    """A paper from its events. Raises what Python raises for events that we never wrote."""
    first, *rest = kept.events
    paper = _paper_of(first["paper"])
    sat = PaperSat(code, kept.began, paper, str(first["person"]), (None,) * len(paper.questions), False)
    for event in rest:
        sat = replace(sat, answers=tuple(event["answers"]), is_handed_in=bool(event["handed_in"]))
    return sat


def paper_key(sat: PaperSat) -> str:
    """The key under which it is on record."""
    return f"paper:{sat.code}:{sat.began}"


def sat_paper_draft(sat: PaperSat, marked_by: str) -> Draft:
    """Its entry: what was reached, on screen and watched by nobody. Raises InputError with every reason why not yet."""
    if not sat.is_handed_in:
        raise InputError(Fault("it is not handed in", found=sat.code, expected="a paper that is handed in"))
    title = f"{sat.paper.title} {sat.paper.number}, on screen, watched by nobody"
    return paper_to_file(PaperGiven(title, sat.person, marked_by, sat.points, len(sat.answers), sat.began, key=paper_key(sat)))


def _paper_of(data: Mapping[str, Any]) -> Paper:
    questions = tuple(Question(**{**one, "options": tuple(one["options"])}) for one in data["questions"])
    return Paper(**{**data, "jobs": tuple(data["jobs"]), "questions": questions})
