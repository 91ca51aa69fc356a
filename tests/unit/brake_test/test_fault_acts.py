"""What each kind of fault does: every kind is known, what no gauge feels changes no air, like scenarios are run once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headstock.brake_test.causes import Cause, causes_of
from headstock.brake_test.drawing import middle
from headstock.brake_test.drawn_run import drawn_run
from headstock.brake_test.fault_acts import ACTS, READING_FAULTS, in_the_air, unrest
from headstock.brake_test.fault_places import PLACES
from headstock.brake_test.signatures import Scenario, readings_of
from headstock.local_rules.drawn_tests import FAULT_KINDS
from headstock.physics.air_run import AirRun, AirTrace
from tests.cases.drawn_trains import DRAWN, air_of

AIR = air_of(8, "rear-application")
SINGLES = tuple(one.cause for one in causes_of(AIR.tested, AIR.air, DRAWN))


def run(*causes: Cause) -> AirRun:
    return drawn_run(AIR, AIR.spans, causes, middle(AIR, DRAWN))


def test_every_kind_has_its_places_and_its_act() -> None:
    assert set(PLACES) == set(ACTS) == set(FAULT_KINDS)
    assert {"wrong gauge read", "gauge stuck", "gauge off"} == READING_FAULTS


def test_what_the_air_feels_changes_the_run_and_nothing_else_does() -> None:
    healthy = run()
    for cause in SINGLES:
        assert (run(cause) == healthy) is not bool(in_the_air((cause,))), cause


def test_what_is_kept_for_what_stands_alike_is_that_of_a_fresh_reckoning() -> None:
    fresh = []
    for cause in SINGLES[::7]:
        for kept in (AIR._charged, AIR.leaking, AIR.moving):
            kept.clear()
        fresh.append(run(cause))
    for cause in SINGLES:
        run(cause)
    assert [run(cause) for cause in SINGLES[::7]] == fresh


def test_what_is_the_same_to_the_air_is_run_once_and_restless_runs_stand_together() -> None:
    asked: list[AirRun] = []

    def engine(runs: Sequence[AirRun]) -> Sequence[AirTrace]:
        asked.extend(runs)
        return [AirTrace(np.array([0.0]), np.full((1, 2), 6e5), 0.0) for _ in runs]

    cock = next(cause for cause in SINGLES if cause.kind == "cock shut")
    silent = [cause for cause in SINGLES if not in_the_air((cause,))]
    leaks = [Cause("cylinder leaks", "2171", 16.0), Cause("cylinder leaks", "2172", 1.0), Cause("cylinder leaks", "2173", 16.0)]
    scenarios = [Scenario((cock, one), 0) for one in silent] + [Scenario((one,), 0) for one in leaks]
    readings_of(AIR, DRAWN, scenarios, 1, engine)
    assert len(silent) > 8 and len(asked) == 1 + len(leaks)
    worst = [max(brake.cylinder_leak_m2 for brake in one.distributors) for one in asked]
    assert worst == sorted(worst) and unrest(leaks[:2]) == (0.0, 16.0, 0.0)
