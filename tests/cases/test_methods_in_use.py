"""Methods in an order of work and in a forecast: stages come out in order, each method sees a shut cock, others are refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.brake_test.forecast import Forecast, ForecastReading, TrainUnderTest, predict_readings, shut_cock_faults
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.judge import judge
from headstock.brake_test.test_record import Entry, TestRecord, TrainTested
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.method_stage import CHANGES, Stage
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.reasoning.checker import check
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.given_faults import usual_faults
from headstock.usecases.other_method import by_method
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.jobs import ALONE, DEMO, planned

BRAKES = 8


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


@pytest.mark.parametrize("method", ["leak-by-drop", "electric-apply-hold-release", "running", "wires"])
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


@pytest.mark.parametrize("method", ["wires", "example-leak-by-flow-freight"])
def test_a_method_of_which_nothing_can_be_said_for_this_train_is_refused(method: str) -> None:
    with pytest.raises(InputError):
        train_by(method)


def entry_of(stage: Stage, span: StageSpan, reading: ForecastReading | None) -> Entry:
    """A stage written down as it is forecast; of a change what the gauge showed before and after."""
    if reading is None or stage.reading is None:
        return Entry(stage.key, "driver", stage.at, span.begins_s)
    reads, limit, base = stage.reading.reads, reading.limit, None
    value = max(reading.shows_bar, 0.0)
    if limit in CHANGES:
        minutes = (span.ends_s - span.begins_s) / 60 if "per_min" in limit else 1.0
        base, value = 8.0, 8.0 + (1 if "rise" in limit else -1) * reading.shows_bar * minutes
    elif reads.startswith("brakes"):
        value = reading.shows_bar * (BRAKES if stage.reading.counts == "all" else 1)
    unit = {"flow": "l/min", "speed": "km/h"}.get(reads, "bar")
    return Entry(stage.key, "driver", stage.at, span.ends_s, reads, value, value, unit, before_bar=base)


@pytest.mark.parametrize("method", ["rear-application", "front-both-ways", "one-person-both-ways", "tail-vent", "full-count",
                                    "example-leak-by-flow-units", "running"])  # fmt: skip
def test_the_judge_says_of_forecast_readings_what_the_forecast_says(method: str) -> None:
    train = train_by(method)
    found = predict_readings(train, usual_faults(train), KeptRuns())
    facts = TrainTested("multiple unit", frozenset({"direct", "graduated"}), 5.0, 1.0, BRAKES, electric_in_use=False)
    for case in found.cases:
        shown = {reading.stage: reading for reading in case.readings}
        pairs = zip(train.method.stages, found.stages, strict=True)
        entries = tuple(entry_of(stage, span, shown.get(stage.key)) for stage, span in pairs)
        verdict = judge(TestRecord(train.method, train.rules, facts, entries))
        assert verdict.verdict != "refused", verdict.refusals
        outside = [reading.name for reading in verdict.readings if reading.state in ("not within limits", "not yet")]
        assert outside == [reading.name for reading in case.readings if not reading.within], case.name
        assert (verdict.verdict == "within limits") == case.is_within_limits, verdict


def test_a_limit_that_nobody_states_is_named_before_anything_is_planned(tmp_path: Path) -> None:
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    lines = [line for line in rules.splitlines() if "leak_at_most" not in line]
    (tmp_path / "rules.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    path = job_by(tmp_path, "leak-by-drop")
    path.write_text(
        path.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml"), encoding="utf-8"
    )
    with pytest.raises(InputError, match="leak_at_most_bar_per_min"):
        plan_job(path, load_fleet())
