"""An engineer asks of a whole fleet: every train by every method in every weather under every fault, judged by sets of limits.

Nothing is listed beforehand: a part is known by its number, and whoever works it out gets the same. It says nothing of a real
train, and never that a method or a limit may be used.
"""

from __future__ import annotations

import hashlib
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import cached_property
from itertools import accumulate
from math import nan
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.located import path_text
from headstock.brake_test.causes import Cause
from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.gauge_error import GaugeErrors, gauge_errors
from headstock.brake_test.signature_set import SignatureTask
from headstock.brake_test.signatures import Floats, Runs
from headstock.brake_test.stage_readings import ReadingPlace
from headstock.equipment.library import Fleet
from headstock.local_rules.limit_figures import is_at_most, is_pressure
from headstock.physics.air_run import AirEngine
from headstock.usecases.all_signatures import JobSignatures, SignatureRow, with_pairs
from headstock.usecases.any_study import FORMAT, Means
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.other_method import by_method
from headstock.usecases.plan_job import plan_job
from headstock.usecases.study_file import StudyFile, StudyPapers
from headstock.usecases.test_signatures import task_of_train

GAUGES = 7
"""Sets the draw of gauges apart from that of trains."""
MOST_PARTS = 20_000
"""A study has about so many parts at most, so that its files can be handled: a larger one has larger parts."""


def blocks_a_part(blocks: int) -> int:
    """How many blocks of drawn tests are one part of a study of so many."""
    return max(1, -(-blocks // MOST_PARTS))


@dataclass(frozen=True, slots=True)
class StudyRow:
    """One drawn test: its number, faults and readings.

    ``weight``: how often its fault is taken to be by comparison; of a pair None. ``margins`` [bar; a count: share]: how far
    inside the local rules' limit each reading lies as a gauge shows it, below 0 outside; nan where a limit decides nothing.
    ``fails``: by each set of limits.
    """

    number: int
    signature: SignatureRow
    weight: float | None
    margins: tuple[float, ...]
    fails: tuple[bool, ...]


@dataclass(frozen=True)
class Setting:
    """One train by one method in one weather."""

    job: str
    method: str
    weather: str
    asked: JobSignatures
    errors: GaugeErrors

    @property
    def folder(self) -> Path:
        """Where its results lie."""
        return Path(f"job={self.job}") / f"method={self.method}" / f"weather={self.weather}"

    @property
    def blocks(self) -> int:
        """How many parts it has."""
        return self.asked.singles.blocks + (self.asked.pairs.blocks if self.asked.pairs is not None else 0)

    def block(self, number: int) -> tuple[SignatureTask, int, int]:
        """Task and block of a part, and the number of the task's first drawn test within the setting."""
        singles, pairs = self.asked.singles, self.asked.pairs
        if number < singles.blocks or pairs is None:
            return singles, number, 0
        return pairs, number - singles.blocks, singles.count

    @cached_property
    def weights(self) -> dict[Cause, float]:
        """How often each fault in each degree is taken to be."""
        return {one.cause: one.prior for one in self.asked.singles.singles}


@dataclass(frozen=True)
class FleetStudy:
    """A study with its trains planned."""

    kind: ClassVar[str] = "drawn tests"
    rests_on: ClassVar[tuple[str, ...]] = ("physics", "formation", "brake_test", "devices")

    file: StudyFile
    settings: tuple[Setting, ...]

    @cached_property
    def _a_part(self) -> int:
        """How many blocks of a setting are one part."""
        return blocks_a_part(sum(setting.blocks for setting in self.settings))

    @cached_property
    def _parts_before(self) -> list[int]:
        return list(accumulate((-(-setting.blocks // self._a_part) for setting in self.settings), initial=0))

    @cached_property
    def _tests_before(self) -> list[int]:
        return list(accumulate((setting.asked.count for setting in self.settings), initial=0))

    @property
    def count(self) -> int:
        """How many drawn tests there are."""
        return self._tests_before[-1]

    @property
    def parts(self) -> int:
        """How many parts they are worked out in."""
        return self._parts_before[-1]

    def setting_of(self, part: int) -> Setting:
        """To which setting a part belongs."""
        return self.settings[bisect_right(self._parts_before, part) - 1]

    def folder_of(self, part: int) -> Path:
        """Where a part lies."""
        return self.setting_of(part).folder

    def worked_out(self, part: int, means: Means) -> list[StudyRow]:
        """The rows of a part."""
        return self.rows(part, means.runs)

    def rows(self, part: int, runs: Runs) -> list[StudyRow]:
        """The drawn tests of a part, worked out."""
        which = bisect_right(self._parts_before, part) - 1
        first = (part - self._parts_before[which]) * self._a_part
        blocks = range(first, min(first + self._a_part, self.settings[which].blocks))
        return [row for block in blocks for row in self._block_rows(which, block, runs)]

    def _block_rows(self, which: int, number: int, runs: Runs) -> list[StudyRow]:
        """Of one block of a setting."""
        setting = self.settings[which]
        task, block, before = setting.block(number)
        first = self._tests_before[which] + before + task.numbers(block).start
        readings = task.answer(block, runs)
        rows = setting.asked.rows(task, block, readings)
        margins = self._margins(setting, rows, readings)
        fails = np.stack([(margins + moved < 0.0).any(axis=1) for moved in self._moved(setting)], axis=1)
        alone = [None if task.pairs else setting.weights[task.scenario(one).causes[0]] for one in task.numbers(block)]
        return [
            StudyRow(first + number, row, weight, tuple(margin), tuple(failed))
            for number, (row, weight, margin, failed) in enumerate(
                zip(rows, alone, margins.tolist(), fails.tolist(), strict=True)
            )
        ]

    def _margins(self, setting: Setting, rows: list[SignatureRow], readings: Floats) -> Floats:
        """As gauges show it, one pair of gauges a draw, the same for every fault."""
        off = {draw: self._off(setting, draw) for draw in {row.draw for row in rows}}
        shown = readings + np.stack([off[row.draw] for row in rows])
        return np.stack([_margin(place, shown[:, number]) for number, place in enumerate(setting.asked.places)], axis=1)

    def _off(self, setting: Setting, draw: int) -> Floats:
        return np.asarray(setting.errors.drawn(np.random.default_rng((self.file.seed, draw, GAUGES)), 1)[0])

    def _moved(self, setting: Setting) -> Iterator[Floats]:
        """By how much each set of limits moves the margins."""
        for limits in self.file.limits:
            yield np.array([
                limits.moved_bar.get(place.stage, 0.0) * (1.0 if is_at_most(place.limit) else -1.0) * is_pressure(place.limit)
                for place in setting.asked.places
            ])  # fmt: skip

    def said(self) -> dict[str, Any]:
        """What its folder says of it."""
        return {
            "scenarios": self.count, "parts": self.parts,
            "readings": [
                {"job": job, "method": method, "number": number, **asdict(place)}
                for (job, method), places in {(one.job, one.method): one.asked.places for one in self.settings}.items()
                for number, place in enumerate(places, start=1)
            ],
            "settings": [_setting_said(setting) for setting in self.settings],
        }  # fmt: skip

    @cached_property
    def key(self) -> str:
        """Digest of all that the results hang on, but for the code."""
        tasks = [(one.job, one.method, one.weather, one.asked.singles.key, one.asked.pairs and one.asked.pairs.key)
                 for one in self.settings]  # fmt: skip
        places = [(one.asked.places, one.errors) for one in self.settings]
        content = repr((FORMAT, tasks, places, [(one.name, sorted(one.moved_bar.items())) for one in self.file.limits]))
        return hashlib.sha256(content.encode()).hexdigest()[:32]


def _setting_said(setting: Setting) -> dict[str, Any]:
    tested, drawn = setting.asked.singles.air.tested, setting.asked.singles.drawn
    return {
        "job": setting.job, "method": setting.method, "weather": setting.weather,
        "vehicles": list(setting.asked.singles.air.vehicles), "scenarios": setting.asked.count,
        "method_edition": tested.method.edition, "local_rules": tested.rules.name, "local_rules_edition": tested.rules.edition,
        "drawn": drawn.name, "drawn_edition": drawn.edition, "drawn_invented": drawn.invented,
    }  # fmt: skip


def _margin(place: ReadingPlace, shown: Floats) -> NDArray[np.float64]:
    if not place.applies:
        return np.full(shown.shape, nan)
    return place.limit_bar - shown if is_at_most(place.limit) else shown - place.limit_bar


def fleet_study(papers: StudyPapers, fleet: Fleet, engine: AirEngine) -> FleetStudy:
    """The study with every job planned. Raises InputError for what cannot be meant, and for one above its own budget."""
    faults: list[Fault] = []
    trains = {name: _train(papers, number, name, fleet, engine, faults) for number, name in enumerate(papers.jobs)}
    settings = [
        setting for job, train in trains.items() if train is not None for number, method in enumerate(papers.methods)
        for setting in _settings(papers, job, train, method, number, faults)
    ]  # fmt: skip
    if faults:
        raise ContentError(faults)
    study = FleetStudy(papers.study, tuple(settings))
    if study.count > papers.study.most_scenarios:
        document, at = papers.document, ("most_scenarios",)
        fault = Fault("the study is larger than it says it may be", document.name, document.line_of(at), path_text(at),
                      f"{study.count:,} drawn tests ({len(settings)} settings of job, method and weather)",
                      f"at most {papers.study.most_scenarios:,}")  # fmt: skip
        raise InputError(fault, cure="Take fewer of something, or raise most_scenarios.")
    return study


def _train(
    papers: StudyPapers, number: int, name: str, fleet: Fleet, engine: AirEngine, faults: list[Fault]
) -> TrainUnderTest | None:
    """A job's train as it is handed to its test."""
    try:
        train = train_under_test(plan_job(papers.jobs[name], fleet, engine))
    except InputError as error:
        faults += error.faults
        return None
    if train is None:
        document, at = papers.document, ("jobs", number)
        faults.append(Fault("the job has no order of work, so no test to speak of", document.name, document.line_of(at),
                            path_text(at), name, "a job that headstock plan says yes to"))  # fmt: skip
    return train


def _settings(
    papers: StudyPapers, job: str, train: TrainUnderTest, method: str, number: int, faults: list[Fault]
) -> Iterator[Setting]:
    """One train by one method in every weather."""
    study, document, at = papers.study, papers.document, ("methods", number)
    try:
        tested = by_method(train, papers.methods[method])
        for weather, drawn in papers.weathers.items():
            asked = with_pairs(task_of_train(tested, drawn, study.draws, study.seed), study.pairs)
            yield Setting(job, method, weather, asked, gauge_errors(tested, drawn))
    except InputError as error:
        faults += [
            Fault(f"{fault.what} ({job})", document.name, document.line_of(at), path_text(at), fault.found or method,
                  fault.expected, fault.nearest)
            for fault in error.faults
        ]  # fmt: skip
