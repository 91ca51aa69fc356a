"""The forecast of the brake test: its stages, its cases, and readings judged by the limits alone."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from headstock.brake_test.forecast import (
    HEALTHY,
    SETTLING_S,
    FaultCase,
    Forecast,
    TrainUnderTest,
    predict_readings,
    shut_cock_faults,
    stage_spans,
)
from headstock.compute.kept_runs import KeptRuns
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.pipe_network import ATMOSPHERE_PA, ValveSetting
from headstock.usecases.forecast_job import forecast_of, train_under_test
from tests.cases.jobs import DEMO, SECOND, planned


def ready() -> TrainUnderTest:
    found = train_under_test(planned(DEMO, by_air=True))
    assert found is not None
    return found


class Recorder:
    """An engine that keeps the questions and answers with pressures made up."""

    def __init__(self, front_bar: float, rear_bar: float) -> None:
        self.runs: list[AirRun] = []
        self.pressures = (front_bar, rear_bar)

    def __call__(self, runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        self.runs += runs
        rows = np.array([self.pressures, self.pressures]) * 1e5 + ATMOSPHERE_PA
        return tuple(AirTrace(np.array([0.0, run.until_s]), rows, 0.0) for run in runs)


def test_stages_follow_one_another_each_as_long_as_the_rules_allow() -> None:
    spans, train = stage_spans(ready()), ready()
    assert spans[0].begins_s == 0.0
    for before, after in pairwise(spans):
        assert after.begins_s == before.ends_s
    lengths = {span.key: span.ends_s - span.begins_s for span in spans}
    limits = train.rules.limits
    assert lengths["charged"] == train.rules.allowance_s("valve") + limits.charge_at_least_s.value
    assert lengths["no rise"] == train.rules.allowance_s("read_gauge") + limits.no_rise_watch_s.value


def test_the_valves_are_moved_at_the_beginning_of_their_stages_and_only_those_two() -> None:
    engine, train = Recorder(5.0, 5.0), ready()
    predict_readings(train, (), engine)
    (run,) = engine.runs
    begins = {span.key: span.begins_s + SETTLING_S for span in stage_spans(train)}
    moves = [(change.t_s, change.number) for change in run.timeline]
    front, rear = (probe.number for probe in run.probes)
    wanted = [("charged", front), ("lapped", front), ("rear applied", rear), ("rear shut", rear), ("restored", front)]
    assert moves == [(begins[key], number) for key, number in wanted]
    fed = run.timeline[0].to
    assert isinstance(fed, ValveSetting) and fed.feed_to_pa == pytest.approx(5.0e5 + ATMOSPHERE_PA)


def test_the_cab_s_own_full_position_ends_the_application() -> None:
    engine = Recorder(5.0, 5.0)
    predict_readings(ready(), (), engine)
    full = engine.runs[0].timeline[2].to
    assert isinstance(full, ValveSetting)
    assert full.exhaust_to_pa == pytest.approx(3.4e5 + ATMOSPHERE_PA)
    assert full.exhaust_area_m2 > 0.0


def test_each_open_cock_of_the_joint_is_a_fault_and_no_other() -> None:
    names = [fault.name for fault in shut_cock_faults(ready())]
    assert names == ["brake pipe cock of 217/2 shut", "brake pipe cock of 226/1 shut"]


def test_a_fault_stands_from_the_beginning_and_changes_its_own_gate_alone() -> None:
    engine, train = Recorder(5.0, 5.0), ready()
    faults = shut_cock_faults(train)
    predict_readings(train, faults, engine)
    healthy, *others = engine.runs
    for run in others:
        changed = [n for n, (old, new) in enumerate(zip(healthy.gates, run.gates, strict=True)) if old != new]
        assert len(changed) == 1
        assert run.gates[changed[0]].open == 0.0
        assert run.timeline == healthy.timeline


@pytest.mark.parametrize(
    ("front_bar", "rear_bar", "outside"),
    [
        (4.8, 4.8, {"Applied, rear", "Applied, front"}),
        (3.7, 3.6, {"Charged, rear", "Restored, rear"}),
        (3.71, 3.61, {"Charged, rear", "Restored, rear", "Applied, rear", "Applied, front"}),
    ],
)
def test_a_reading_at_its_limit_is_within_and_beyond_it_is_not(front_bar: float, rear_bar: float, outside: set[str]) -> None:
    case = predict_readings(ready(), (), Recorder(front_bar, rear_bar)).cases[0]
    assert {reading.name for reading in case.readings if not reading.within} == outside
    assert case.is_within_limits is (not outside)


@cache
def reckoned() -> Forecast:
    found = forecast_of(planned(DEMO, by_air=True), KeptRuns())
    assert found is not None
    return found


def test_the_healthy_train_is_within_all_limits_and_reaches_its_full_position() -> None:
    healthy = reckoned().cases[0]
    assert healthy.name == HEALTHY
    assert healthy.is_within_limits
    shows = {reading.name: reading.shows_bar for reading in healthy.readings}
    assert shows["Charged, rear"] == pytest.approx(5.0, abs=0.02)
    assert shows["Applied, rear"] == pytest.approx(3.4, abs=0.03)
    assert -0.02 <= shows["Rise, front"] <= 0.0, "leaks only lower it"


def test_any_one_cock_shut_is_seen_and_never_lets_the_rear_be_charged() -> None:
    for case in reckoned().cases[1:]:
        assert not case.is_within_limits, case.name
        shows = {reading.name: reading.shows_bar for reading in case.readings}
        assert shows["Charged, rear"] < 0.1, "the standing portion's pipe was empty and stays so"


def test_a_cock_shut_on_the_leading_side_keeps_the_front_up_and_on_the_far_side_its_vent_drains_the_front() -> None:
    near, far = reckoned().cases[1:]
    front = "Applied, front"
    assert next(r.shows_bar for r in near.readings if r.name == front) == pytest.approx(5.0, abs=0.05)
    assert next(r.shows_bar for r in far.readings if r.name == front) < 0.1


def test_the_traces_keep_their_mass_and_begin_with_the_first_stage() -> None:
    for case in reckoned().cases:
        assert abs(case.mass_balance) < 1e-9
        assert 0.0 <= case.t_s[0] < 0.5
        assert case.t_s[-1] == pytest.approx(reckoned().stages[-1].ends_s)
        assert len(case.t_s) == len(case.front_bar) == len(case.rear_bar)


def test_the_second_job_has_plain_cocks_on_one_side_and_its_standing_pipe_is_charged_too() -> None:
    found = forecast_of(planned(SECOND, by_air=True), KeptRuns(), ("508/2.brake_pipe_cock=shut",))
    assert found is not None
    assert [case.is_within_limits for case in found.cases] == [True, False]


def test_a_case_of_nothing_is_the_healthy_train() -> None:
    engine = Recorder(5.0, 5.0)
    predict_readings(ready(), (FaultCase("nothing", {}),), engine)
    assert engine.runs[0] == engine.runs[1]
