"""Methods in an order of work and in a forecast: stages come out in order, each method sees a shut cock, others are refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.brake_test.forecast import Forecast, TrainUnderTest, predict_readings, shut_cock_faults
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.reasoning.checker import check
from headstock.usecases.forecast_job import by_method, train_under_test
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.jobs import ALONE, DEMO, planned


def job_by(folder: Path, method: str, job: Path = DEMO) -> Path:
    text = job.read_text(encoding="utf-8")
    assert "method: rear-application" in text
    (folder / "job.yaml").write_text(text.replace("method: rear-application", f"method: {method}"), encoding="utf-8")
    return folder / "job.yaml"


@pytest.mark.parametrize(("method", "job"), [("front-both-ways", DEMO), ("one-person-both-ways", ALONE)])
def test_a_method_of_valves_and_gauges_is_worked_into_an_order_and_the_checker_agrees(
    method: str, job: Path, tmp_path: Path
) -> None:
    plan = plan_job(job_by(tmp_path, method, job), load_fleet(), KeptRuns())
    assert plan.order is not None and plan.domain is not None, plan.reasons
    stages = [stage.key for stage in load_test_method(built_in_methods()[method]).stages]
    done = [step.key.split(": ")[0].removeprefix("test, ") for step in plan.order.steps if step.key.startswith("test, ")]
    assert done == stages
    assert check(plan.order.steps, plan.domain).holds


@pytest.mark.parametrize("method", ["tail-vent", "full-count", "leak-by-drop", "electric-apply-hold-release", "running", "wires"])
def test_another_method_is_refused_with_its_reason(method: str, tmp_path: Path) -> None:
    plan = plan_job(job_by(tmp_path, method), load_fleet(), KeptRuns())
    assert plan.answer == "no"
    assert any("is not worked into an order of work" in reason for reason in plan.reasons)


def train_by(method: str) -> TrainUnderTest:
    plan: JobPlan = planned(DEMO, by_air=True)
    found = train_under_test(plan)
    assert found is not None
    return by_method(found, load_test_method(built_in_methods()[method]))


def forecast(method: str) -> Forecast:
    train = train_by(method)
    return predict_readings(train, shut_cock_faults(train), KeptRuns())


@pytest.mark.parametrize("method", ["front-both-ways", "one-person-both-ways", "tail-vent", "full-count"])
def test_every_method_for_a_pipe_that_is_through_sees_any_one_cock_shut(method: str) -> None:
    healthy, *shut = forecast(method).cases
    assert healthy.is_within_limits, healthy.readings
    assert len(shut) == 2
    assert [case.name for case in shut if case.is_within_limits] == []


def test_a_leak_alone_does_not_see_a_plain_short_pipe() -> None:
    """A shut cock makes a short pipe and a tight one: the method says so in what it cannot show."""
    healthy, near, _ = forecast("leak-by-drop").cases
    assert healthy.is_within_limits and near.is_within_limits


def test_brakes_are_counted_from_their_cylinders() -> None:
    healthy, near, _ = forecast("full-count").cases
    shows = {reading.name: reading.shows_bar for reading in healthy.readings}
    assert (shows["Applied, counted"], shows["Released, counted"]) == (1.0, 1.0)
    assert {reading.name: reading.shows_bar for reading in near.readings}["Released, counted"] == 0.5


@pytest.mark.parametrize("method", ["electric-apply-hold-release", "running", "wires", "example-leak-by-flow-freight"])
def test_a_method_that_the_pipe_s_air_says_nothing_of_is_refused(method: str) -> None:
    with pytest.raises(InputError):
        train_by(method)
