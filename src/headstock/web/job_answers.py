"""What the pages of a job ask, each worked out once and kept: how it stands, its order, its forecast, what it can do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from headstock.usecases.can_as_read import JobAsRead
from headstock.usecases.job_book import BookedJob
from headstock.usecases.job_file import JobPapers, load_job
from headstock.usecases.job_stands import JobStands, checked_job, stands_after, stands_as_found
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.web.answers import Answers
from headstock.web.work_in_hand import Tell
from headstock.wiring import air_engine, drawn_bands

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast
    from headstock.usecases.can_job import JobCan
    from headstock.usecases.job_mistakes import JobMistakes


@dataclass(frozen=True)
class JobAnswers:
    """The answers about one job. Long ones tell how far they are where somebody listens."""

    answers: Answers
    job: BookedJob

    def papers(self) -> JobPapers:
        """The job and the papers it names. Raises InputError."""
        return self.answers.kept(("papers", self.job.digest), lambda: load_job(self.answers.path_of(self.job)))

    def read(self) -> JobAsRead:
        """Its train and whether the ends can be joined. Raises InputError."""
        return self.answers.kept(("read", self.job.digest), lambda: checked_job(self.papers(), self.answers.fleet))

    def kept_plan(self) -> JobPlan | None:
        """The order of work, where it is worked out already."""
        return self.plan() if self.answers.is_kept("plan", self.job.digest) else None

    def plan(self, tell: Tell | None = None) -> JobPlan:
        """The order of work."""
        path = self.answers.path_of(self.job)
        engine = air_engine(tell) if tell is not None else self.answers.engine
        return self.answers.kept(("plan", self.job.digest), lambda: plan_job(path, self.answers.fleet, engine))

    def stands(self, line: int = 0) -> JobStands:
        """How all stands after so many lines; as found where there is no order yet, or none at all."""
        plan = self.kept_plan()
        if plan is None or plan.answer != "yes":
            return self.answers.kept(("found", self.job.digest), lambda: stands_as_found(self.papers(), self.answers.fleet))
        return self.answers.kept(("stands", self.job.digest, str(line)), lambda: stands_after(plan, self.answers.fleet, line))

    def forecast(self, tell: Tell | None = None) -> Forecast | None:
        """What the gauges will show; None where there is no test to come."""
        from headstock.usecases.forecast_bands import BandAsked
        from headstock.usecases.forecast_job import forecast_of

        plan = self.plan(tell)
        engine = air_engine(tell) if tell is not None else self.answers.engine
        return self.answers.kept(("forecast", self.job.digest), lambda: forecast_of(plan, engine, band=BandAsked(drawn_bands())))

    def can(self, tell: Tell | None = None) -> JobCan:
        """What the train can do."""
        from headstock.usecases.can_job import can_job

        path = self.answers.path_of(self.job)
        engine = air_engine(tell) if tell is not None else self.answers.engine
        return self.answers.kept(("can", self.job.digest), lambda: can_job(path, self.answers.fleet, engine))

    def mistakes(self, tell: Tell | None = None) -> JobMistakes:
        """What becomes of mistakes."""
        from headstock.usecases.job_mistakes import mistakes_of

        plan = self.plan(tell)
        return self.answers.kept(("mistakes", self.job.digest), lambda: mistakes_of(plan, on_progress=tell))
