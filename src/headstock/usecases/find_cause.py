"""Somebody whose test failed asks: what can it be, what can these readings not tell apart, where do I look next?

It says where to look and in which order. It never says what is so, never that a brake is good, and never proposes bleeding.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.find import FindResult, Searched, find_causes
from headstock.brake_test.recorder import RecorderTrace
from headstock.brake_test.signatures import Runs
from headstock.equipment.library import Fleet
from headstock.local_rules.method_stage import End
from headstock.physics.air_run import AirEngine
from headstock.usecases.cause_words import cause_in_words
from headstock.usecases.judge_readings import JudgedReadings, judge_readings
from headstock.usecases.readings_file import RecorderGiven
from headstock.usecases.test_signatures import Blocks, TestSignatures, signatures_of_job

HOLD_FIRST = "Hold the train first, everywhere, on the level too: hand or parking brakes, proved. Only then look."
NO_BLEEDING = "No brake is bled to make a test come out: it hides the fault and takes the hold away. After mending, a new test."


@dataclass(frozen=True)
class CauseSearch:
    """A failed test with all that the search for its cause rests on; answers again as places are looked at."""

    judged: JudgedReadings
    test: TestSignatures
    observed: Mapping[str, float]
    start: End
    runs: Runs | None = None

    def answer(self, there: Collection[Cause] = (), not_there: Collection[Cause] = (), from_m: float | None = None) -> FindResult:
        """What explains the readings, given what was found at places already looked at; ``from_m``: where one stands by now.

        Raises InputError where nothing is left that it could be.
        """
        self._check(there, not_there)
        tested, rules = self.test.tested, self.judged.record.rules
        end = tested.front if self.start == "front" else tested.rear
        start_m = self.test.signatures.task.air.air.brake_m[str(end)] if from_m is None else from_m
        searched = Searched(self.test.signatures, self.test.errors, rules.walking_m_s.value, start_m,
                            frozenset(there), frozenset(not_there), self.runs)  # fmt: skip
        return find_causes(searched, np.array([self.observed.get(place.stage, np.nan) for place in self.test.errors.places]))

    def _check(self, there: Collection[Cause], not_there: Collection[Cause]) -> None:
        both = sorted(cause_in_words(cause) for cause in set(there) & set(not_there))
        if both:
            fault = Fault("said to be there and not to be there", path="--there, --not-there", found="; ".join(both))
            raise InputError(fault, cure="Say of each place what was found there last.")

    def named(self, words: str) -> Cause:
        """The fault that is meant by its words. Raises InputError."""
        singles = (one.cause for one in self.test.signatures.task.singles if one.cause != NOTHING)
        known = {cause_in_words(cause): cause.without_degree for cause in singles}
        if words not in known:
            fault = Fault("no such cause in this train", found=words, expected="a cause as the answer words it",
                          nearest=nearest_of(words, known))  # fmt: skip
            raise InputError(fault, cure="Copy the words of the answer.")
        return known[words]


def search_cause(
    readings: Path, fleet: Fleet, engine: AirEngine, blocks: Blocks,
    read_recorder: Callable[[Path, RecorderGiven, float | None], RecorderTrace], *, start: End = "rear",
    drawn: Path | None = None, runs: Runs | None = None, test: TestSignatures | None = None,
) -> CauseSearch:  # fmt: skip
    """Make ready to search. Raises InputError for a record that cannot be meant, was refused or belongs to no job.

    ``test``: the signatures of the record's job, where they are there already.
    """
    judged = judge_readings(readings, fleet, read_recorder)
    if judged.judgement.verdict == "refused":
        raise InputError(
            [Fault(one.what, judged.document.name, one.line or None, found=None) for one in judged.judgement.refusals],
            what="these readings cannot have been so, nothing is made of them", cure="Put the record right first.",
        )  # fmt: skip
    beside = readings.parent
    job = judged.job_to_search(beside)
    if test is None:
        test = signatures_of_job(job, fleet, engine, blocks, method=judged.given.method, beside=beside, drawn=drawn)
    return CauseSearch(judged, test, _observed(judged), start, runs)


def _observed(judged: JudgedReadings) -> dict[str, float]:
    """What was read, by stage, as its first limit counts it."""
    found = {}
    for reading in judged.judgement.readings:
        if reading.limits and reading.limits[0].value is not None:
            found[reading.stage] = reading.limits[0].value
    return found
