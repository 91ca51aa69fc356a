"""Questions about the brake test: what will gauges show, are readings within limits, what is wrong, what is not seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from headstock.brake_test.find import FindResult
from headstock.local_rules.method_stage import End
from headstock.notebook.given import Fleet, Job, fleet_of, job_of
from headstock.notebook.shown import Answer, Lines, Part, Picture, Table
from headstock.sheets.compose import gauge_seen
from headstock.sheets.forecast_chart import forecast_chart
from headstock.sheets.forecast_content import ForecastChart
from headstock.sheets.forecast_svg import forecast_svg
from headstock.usecases.answers_as_data.blind_spots import blind_spots_as_json
from headstock.usecases.answers_as_data.find import found_as_json
from headstock.usecases.answers_as_data.forecast import forecast_as_json
from headstock.usecases.answers_as_data.judge import judged_as_json
from headstock.usecases.blind_spot_words import LIMITS_DECIDE, MEANINGS, look_lines, marks_of, seen_rows, seen_words
from headstock.usecases.blind_spots_of_job import JobBlindSpots, blind_spots_of_job
from headstock.usecases.cause_words import place_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch, search_cause
from headstock.usecases.find_words import MENDED, NONE_FITS, TOP, TWO_FIT, caused_words, place_words, suspects_words
from headstock.usecases.forecast_bands import BandAsked
from headstock.usecases.forecast_job import JobForecast, forecast_job
from headstock.usecases.job_file import file_named
from headstock.usecases.judge_readings import JudgedReadings, judge_readings
from headstock.usecases.judge_words import NO_PERMISSION, VERDICT_WORDS, limit_words
from headstock.usecases.readings_file import READINGS_FOLDER
from headstock.usecases.unseen_words import NOTHING_SEEN, next_when_unseen
from headstock.wiring import air_engine, drawn_bands, expected_readings, many_runs, read_recorder, signature_blocks


@dataclass(frozen=True, repr=False)
class Forecast(Answer):
    """What the gauges at both ends will show in the brake test."""

    job: Job
    result: JobForecast

    @property
    def title(self) -> str:
        """The job's title and the method."""
        return f"{self.job.title}, brake test: {(self.result.method or self.result.plan.papers.method).name}"

    @property
    def answer(self) -> str:
        """That of the plan: a fault that the test sees is an answer, not a failure."""
        return self.result.plan.answer

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why there is no test to forecast."""
        return self.result.plan.reasons

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock forecast --json``: gauge pressures in bar over time in s."""
        return forecast_as_json(self.result)

    @property
    def chart(self) -> Picture | None:
        """Both gauges over the stages of the test; None where there is no test."""
        drawn = self._drawn()
        return None if drawn is None else Picture(drawn.caption, forecast_svg(drawn))

    def _drawn(self) -> ForecastChart | None:
        forecast, task = self.result.forecast, self.result.plan.assembled.task
        if forecast is None or task is None:
            return None
        return forecast_chart(
            forecast, task.rules.pressure_unit, gauge_seen(task, task.controls), gauge_seen(task, task.rear_cab)
        )

    def parts(self) -> Iterator[Part]:
        """The chart, the readings as a table, a sentence a fault."""
        drawn = self._drawn()
        if drawn is None:
            return
        yield Lines("", drawn.cautions)
        yield Picture(drawn.caption, forecast_svg(drawn))
        heads = ("gauge shows", "limit", "band", "healthy", *(str(fault.number) for fault in drawn.faults))
        rows = tuple(
            (row.name, f"{row.limit} {row.limit_tail}".strip(), row.band,
             *(figure.text if figure.within else f"[{figure.text}]" for figure in row.shows)) for row in drawn.rows
        )  # fmt: skip
        yield Table(f"In {drawn.unit}; in brackets: not within its limit", heads, rows)
        yield Lines("", (f"healthy: {drawn.healthy}", *(f"{one.number} {one.name}: {one.seen}" for one in drawn.faults)))


def forecast(job: Job | Path | str, faults: Sequence[str] = (), *, method: str | None = None, members: int = 200) -> Forecast:
    """What the gauges at both ends will show in the brake test of a job's train, healthy and with faults.

    ``faults``: each as ``"217/2.brake_pipe_cock=shut"``; without any, each brake pipe cock shut by turns. ``method``: a file
    or a built-in one instead of the job's. ``members``: healthy trains drawn for the band; 0 for none. Pressures are gauge
    pressures in bar, times in s. Raises InputError, and OutsideModelError for a train that the air engine does not know.
    Source: the gas flow and brake laws of the explanation of the air, each with its own.
    """
    asked = job_of(job)
    band = BandAsked(drawn_bands(), members) if members else None
    found = forecast_job(asked.path, asked.fleet.unit_types, air_engine(), tuple(faults), method, band)
    return Forecast(asked, found)


@dataclass(frozen=True, repr=False)
class Judged(Answer):
    """Are the readings of a brake test within limits; never whether the train may go."""

    result: JudgedReadings

    @property
    def title(self) -> str:
        """The record's title, and the method."""
        return f"{self.result.title}, method: {self.result.record.method.name}"

    @property
    def answer(self) -> str:
        """``within limits``, ``not within limits``, ``not yet`` or ``refused``."""
        return self.result.judgement.verdict

    @property
    def reasons(self) -> tuple[str, ...]:
        """Every reason, or of a refusal everything that cannot have been so."""
        judgement = self.result.judgement
        return tuple(f"{one.what}. {one.cure}" for one in judgement.refusals) or tuple(judgement.reasons)

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also what the verdict does not say."""
        return (*super().cautions, NO_PERMISSION)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock judge --json``: each value in the unit that its limit's name ends with."""
        return judged_as_json(self.result)

    def parts(self) -> Iterator[Part]:
        """A row a reading, in the unit of the local rules."""
        judgement, unit = self.result.judgement, self.result.record.rules.pressure_unit
        yield Lines(VERDICT_WORDS[judgement.verdict], ())
        rows = tuple(
            (one.name, one.state, "; ".join(limit_words(limit, unit) for limit in one.limits), "; ".join(one.remarks))
            for one in judgement.readings
        )
        if rows:
            yield Table("", ("reading", "state", "held against", "remarks"), rows)
        if judgement.remarks:
            yield Lines("Remarks", tuple(judgement.remarks))


def judge(readings: Path | str, fleet: Fleet | Path | str | None = None, *, at: str = "", expect: bool = False) -> Judged:
    """Are the readings in a file within limits? ``readings``: a file, or a built-in one by name (``"demo-attach"``).

    ``at``: also whether "touched since?" was answered at ``"departure"`` or ``"handover"``. ``expect``: also remark by what the
    air engine expects of the healthy train. Pressures in bar or psi, as the record says. Raises InputError for a record that
    cannot be meant; readings that cannot have been so are the answer ``refused``.
    Source: the limits of the local rules or of the method, each with its own.
    """
    path, types = file_named("readings", str(readings), READINGS_FOLDER), fleet_of(fleet)
    expected = expected_readings(path, types) if expect else None
    return Judged(judge_readings(path, types, read_recorder, at, expected))


@dataclass(frozen=True, repr=False)
class Found(Answer):
    """What explains the readings of a failed test, and where to look next; never what is so."""

    search: CauseSearch
    result: FindResult

    @property
    def title(self) -> str:
        """The record's title."""
        return f"{self.search.judged.title}, what explains it"

    @property
    def answer(self) -> str:
        """``explained``, ``by two at once`` or ``not explained``."""
        if self.result.is_explained:
            return "explained"
        return "by two at once" if self.result.pairs else "not explained"

    @property
    def cautions(self) -> tuple[str, ...]:
        """The train is held before anybody looks."""
        return (*super().cautions, HOLD_FIRST, NO_BLEEDING)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock find --json``: odds are shares, places in m from the front."""
        return found_as_json(self.search, self.result)

    def parts(self) -> Iterator[Part]:
        """Causes by falling odds, then where to walk."""
        unit, result = self.search.test.tested.rules.pressure_unit, self.result
        if result.is_explained:
            rows = tuple((f"{one.odds:.0%}", suspects_words(one, unit)) for one in result.explanations[:TOP])
            yield Table("", ("odds", "what it can be"), rows)
        else:
            both = tuple(" and ".join(caused_words(cause, unit) for cause in pair.causes) for pair in result.pairs[:TOP])
            yield Lines(TWO_FIT if result.pairs else NONE_FITS, both)
        walk = tuple(f"{number}. {place_words(place)}" for number, place in enumerate(result.walk.places, start=1))
        if walk:
            yield Lines("Look here next, in this order", (*walk, MENDED))
        steps = tuple(f"{number}. {step}" for number, step in enumerate(next_when_unseen(self.search, result.walk), start=1))
        if steps:
            yield Lines(NOTHING_SEEN, (*steps, MENDED))


def find(
    readings: Path | str, fleet: Fleet | Path | str | None = None, *, start: End = "rear", there: Sequence[str] = (),
    not_there: Sequence[str] = (),
) -> Found:  # fmt: skip
    """What explains the readings of a failed test, what they cannot tell apart, and where to walk and look next.

    ``start``: the end where one stands. ``there`` and ``not_there``: causes already looked for, in the words of the answer.
    Raises InputError for a record that cannot be meant, was refused or belongs to no job. The first answer about a train takes
    some minutes on all cores. Source: drawn tests by the file of ranges that the answer names; nobody has counted.
    """
    path = file_named("readings", str(readings), READINGS_FOLDER)
    search = search_cause(path, fleet_of(fleet), air_engine(), signature_blocks(), read_recorder, start=start, runs=many_runs)
    return Found(search, search.answer([search.named(words) for words in there], [search.named(words) for words in not_there]))


@dataclass(frozen=True, repr=False)
class BlindSpots(Answer):
    """What a brake test cannot see, what would see it, and what moving a limit does."""

    job: Job
    result: JobBlindSpots

    @property
    def title(self) -> str:
        """The method."""
        return f"{self.job.title}, what {self.result.test.tested.method.name} cannot see"

    @property
    def answer(self) -> str:
        """``all seen``, or how many faults are not seen in every degree."""
        unseen = sum(cause.answer != "seen" for cause in self.result.spots.causes)
        return f"{unseen} of {len(self.result.spots.causes)} faults not always seen" if unseen else "all seen"

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also who decides about limits."""
        return (*super().cautions, LIMITS_DECIDE)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock blind-spots --json``: limits in bar, or shares."""
        return blind_spots_as_json(self.result)

    def parts(self) -> Iterator[Part]:
        """A row a fault, a column a reading; then the looks to add."""
        spots, unit = self.result.spots, self.result.test.tested.rules.pressure_unit
        numbers = tuple(str(number) for number in range(1, len(spots.places) + 1))
        rows = tuple((name, seen_words(cause, unit), *marks_of(cause, spots)) for name, cause in seen_rows(spots))
        yield Table("", ("fault", "this test", *numbers), rows)
        named = zip(numbers, spots.places, strict=True)
        yield Lines("", (*(f"{number}: {place_in_words(place, unit)}" for number, place in named), MEANINGS))
        yield Lines("Looks to add", tuple(look_lines(self.result)))


def blind_spots(job: Job | Path | str, *, method: str | None = None, members: int = 12) -> BlindSpots:
    """What the brake test of a job cannot see, fault by fault and reading by reading, and the cheapest looks that would.

    ``method``: a file or a built-in one instead of the job's. ``members``: drawn tests of each cause. Raises InputError.
    The first answer about a train takes some minutes on all cores. Limits in bar, looks in minutes.
    Source: drawn tests by the file of ranges that the answer names; nobody has counted.
    """
    asked = job_of(job)
    found = blind_spots_of_job(
        asked.path, asked.fleet.unit_types, air_engine(), signature_blocks(), method=method, members=members
    )
    return BlindSpots(asked, found)
