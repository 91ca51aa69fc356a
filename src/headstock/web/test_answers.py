"""What the pages of a brake test ask: the test in hand, judged; expectations and searches that take long, in the background."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Generic, TypeVar

from headstock.base.errors import HeadstockError
from headstock.reasoning.step import Step
from headstock.usecases.expected_readings import expected_of_test
from headstock.usecases.find_cause import CauseSearch, search_cause
from headstock.usecases.forecast_bands import BandAsked
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.job_book import BookedJob
from headstock.usecases.job_file import load_job
from headstock.usecases.judge_in_hand import JudgedInHand, judge_in_hand, readings_text, released_at
from headstock.usecases.test_events import events_of, next_test
from headstock.usecases.test_in_hand import TestEvent, TestInHand, fold, newest_test
from headstock.usecases.test_papers import TestPapers, test_papers
from headstock.usecases.test_signatures import TestSignatures, signatures_of_job
from headstock.usecases.test_stages import StageShown, stages_shown
from headstock.web.answers import Answers
from headstock.web.job_answers import JobAnswers
from headstock.wiring import drawn_bands, many_runs, read_recorder, signature_blocks

T = TypeVar("T")
Expected = dict[str, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Outcome(Generic[T]):
    """What long work came to: a value, or why there is none."""

    value: T | None
    error: HeadstockError | None = None


class _Started:
    """What is being worked out now."""

    def __init__(self) -> None:
        self.keys: set[tuple[str, ...]] = set()
        self.far: dict[tuple[str, ...], tuple[int, int]] = {}
        """Of what says so: how many parts are done, and of how many."""
        self.lock = threading.Lock()


def _started(answers: Answers) -> _Started:
    return answers.kept(("test work begun",), _Started)


def begun(answers: Answers, key: tuple[str, ...], work: Callable[[], T]) -> Outcome[T] | None:
    """The outcome of long work if it is there; else None, and the work goes on by itself."""

    def tried() -> Outcome[T]:
        try:
            return Outcome(work())
        except HeadstockError as error:
            return Outcome(None, error)

    def worked_out() -> None:
        try:
            answers.kept(key, tried)
        finally:
            with started.lock:
                started.keys.discard(key)
                started.far.pop(key, None)

    if answers.is_kept(*key):
        return answers.kept(key, tried)
    started = _started(answers)
    with started.lock:
        if key not in started.keys:
            started.keys.add(key)
            threading.Thread(target=worked_out, daemon=True).start()
    return None


@dataclass(frozen=True, slots=True)
class TestNowInHand:
    """A job's test as it stands: None of it where none was begun. ``earlier``: when an application before was released.

    ``following``: the name of the test that would be begun next.
    """

    __test__ = False

    job: BookedJob
    given: TestPapers
    hand: TestInHand | None
    judged: JudgedInHand
    expected: Expected | None
    earlier: str | None
    version: str
    following: str

    def text(self, job: str) -> str:
        """The test as a readings file."""
        assert self.hand is not None
        return readings_text(self.hand, self.given, job, self.earlier)


def papers_of(job: BookedJob, answers: Answers) -> TestPapers:
    """What the job's test rests on."""
    path = answers.path_of(job)
    return answers.kept(("test papers", job.digest), lambda: test_papers(load_job(path), answers.fleet))


def test_now(job: BookedJob, answers: Answers) -> TestNowInHand:
    """The test in hand of a job."""
    given = papers_of(job, answers)
    events = events_of(job, answers.records)
    hand, earlier = _hand(events, given)
    found = expected_of(job, answers)
    expected = found.value if found is not None else None
    judged = JudgedInHand(None, None)
    if hand is not None:
        key = ("judged", job.digest, hand.test, str(hand.count), str(found is not None))
        judged = answers.kept(key, lambda: judge_in_hand(hand, given, expected or {}, earlier))
    return TestNowInHand(job, given, hand, judged, expected, earlier, _version(hand, found is not None),
                        next_test(events, job))  # fmt: skip


def _hand(events: Sequence[TestEvent], given: TestPapers) -> tuple[TestInHand | None, str | None]:
    test = newest_test(events)
    if test is None:
        return None, None
    before = newest_test(event for event in events if event.test != test)
    released = released_at(fold(events, given.stages, before), given) if before is not None else None
    return fold(events, given.stages, test), released


def _version(hand: TestInHand | None, is_expected: bool) -> str:
    said = f"{hand.test} {hand.count}" if hand is not None else "none"
    return f"{said} {'with' if is_expected else 'without'}"


def version_of(job: BookedJob, answers: Answers) -> tuple[str, TestInHand | None]:
    """What changes whenever the page would, without judging."""
    hand, _ = _hand(events_of(job, answers.records), papers_of(job, answers))
    return _version(hand, answers.is_kept("test expected", job.digest)), hand


def steps_of(job: BookedJob, answers: Answers) -> Sequence[Step]:
    """The order of work, for the words; empty where there is none, or none yet."""

    def ordered() -> Sequence[Step]:
        order = JobAnswers(answers, job).plan().order
        return order.steps if order is not None else ()

    found = begun(answers, ("test steps", job.digest), ordered)
    return found.value or () if found is not None else ()


def expected_of(job: BookedJob, answers: Answers) -> Outcome[Expected] | None:
    """What healthy trains show, once that is worked out."""

    def worked_out() -> Expected:
        tested = train_under_test(JobAnswers(answers, job).plan())
        return {} if tested is None else expected_of_test(tested, BandAsked(drawn_bands()))

    return begun(answers, ("test expected", job.digest), worked_out)


def shown_of(now: TestNowInHand, answers: Answers) -> tuple[StageShown, ...]:
    """The stages as the page shows them."""
    steps = steps_of(now.job, answers)
    key = ("test stages", now.job.digest, now.version, str(len(steps)))
    return answers.kept(key, lambda: stages_shown(now.given, steps, now.judged.record, now.expected or {}))


def search_of(now: TestNowInHand, answers: Answers) -> Outcome[CauseSearch] | None:
    """The search for a cause by the readings so far; None while it is being made ready."""
    made = begin_signatures(now.job, answers)
    if made is None or made.value is None:
        return None if made is None else Outcome(None, made.error)
    file = file_of(now, answers)
    key = ("test search", now.job.digest, file.name)
    test = made.value

    def searched() -> Outcome[CauseSearch]:
        try:
            return Outcome(search_cause(file, answers.fleet, answers.engine, signature_blocks(), read_recorder, runs=many_runs,
                                        test=test))  # fmt: skip
        except HeadstockError as error:
            return Outcome(None, error)

    return answers.kept(key, searched)


def begin_signatures(job: BookedJob, answers: Answers) -> Outcome[TestSignatures] | None:
    """What a failed test will be held against, if it is there; else it is begun.

    It takes seconds to minutes of all cores: begun with the test, it is there before the second reading can be.
    """
    path, key = answers.path_of(job), _signatures_key(job)
    far = _started(answers).far

    def tell(done: int, of: int) -> None:
        far[key] = done, of

    return begun(answers, key, lambda: signatures_of_job(path, answers.fleet, answers.engine, signature_blocks(tell)))


def how_far(job: BookedJob, answers: Answers) -> tuple[int, int]:
    """How many parts of the signatures are worked out, and of how many; of 0 where that is not known yet."""
    return _started(answers).far.get(_signatures_key(job), (0, 0))


def _signatures_key(job: BookedJob) -> tuple[str, ...]:
    return "test signatures", job.digest


def file_of(now: TestNowInHand, answers: Answers) -> Path:
    """The test as a readings file beside its job's; the same readings, the same file."""
    job = answers.path_of(now.job)
    text = now.text(job.name)
    path = job.parent / f"test-{hashlib.sha256(text.encode()).hexdigest()[:24]}.yaml"
    if not path.exists():
        beside = path.with_suffix(f".{threading.get_ident()}.part")
        beside.write_text(text, encoding="utf-8")
        beside.replace(path)
    return path


def clock() -> str:
    """Now, on the clock of the place."""
    return datetime.now().isoformat(" ", "seconds")
