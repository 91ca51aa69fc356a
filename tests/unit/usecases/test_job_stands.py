"""How everything on a job's train stands: as told, never as seen; after lines of the order, as they leave it."""

from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.local_rules.limit_figures import in_unit
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.forecast_moments import forecast_moments
from headstock.usecases.job_file import load_job
from headstock.usecases.job_stands import BY_JOB, BY_JOINT, BY_TYPE, pipes_of, stands_after, stands_as_found
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.wiring import air_engine

JOBS = Path(__file__).parents[3] / "src" / "headstock" / "usecases" / "jobs"
FLEET = load_fleet()


@pytest.fixture(scope="module")
def plan() -> JobPlan:
    return plan_job(JOBS / "demo-attach.yaml", FLEET, air_engine())


@pytest.mark.parametrize("job", sorted(path.stem for path in JOBS.glob("*.yaml")))
def test_nothing_is_ever_given_as_seen(job: str) -> None:
    stands = stands_as_found(load_job(JOBS / f"{job}.yaml"), FLEET)
    assert set(stands.values) == set(stands.whence) == set(stands.variables)
    assert all(whence.startswith("told") for whence in stands.whence.values())


def test_what_the_job_says_is_told_by_the_job_the_rest_by_the_types() -> None:
    stands = stands_as_found(load_job(JOBS / "demo-attach.yaml"), FLEET)
    assert stands.values["226/1.coupler.keeper"] == "out" and stands.whence["226/1.coupler.keeper"] == BY_JOB
    assert stands.whence["217/1.gangway"] == BY_TYPE
    assert stands.values["217/2.brake_valve"] == "full" and stands.whence["217/2.brake_valve"] == BY_JOINT
    part = next(part for part in stands.parts(stands.train.joint_to_make.second) if part.name == "coupler")
    assert "pin keeper out" in part.says and part.whence == BY_JOB


def test_where_a_job_parts_the_hoses_hang_joined_at_first() -> None:
    stands = stands_as_found(load_job(JOBS / "demo-detach.yaml"), FLEET)
    joint = stands.train.joint_to_make
    assert {stands.values[f"{end}.brake_pipe_hose"] for end in (joint.first, joint.second)} == {"joined"}


@pytest.mark.parametrize("job", ["demo-attach", "demo-detach"])
def test_before_there_is_an_order_all_stands_as_the_order_finds_it(job: str) -> None:
    made = plan_job(JOBS / f"{job}.yaml", FLEET, air_engine())
    found = stands_as_found(made.papers, FLEET)
    ordered = stands_after(made, FLEET, 0)
    assert {key: (value, ordered.values[key]) for key, value in found.values.items() if value != ordered.values[key]} == {}


def test_lines_leave_things_as_their_effects_say(plan: JobPlan) -> None:
    assert plan.order is not None
    whole = stands_after(plan, FLEET, len(plan.order.steps))
    assert whole.values["217/2.brake_pipe_hose"] == whole.values["226/1.brake_pipe_hose"] == "joined"
    assert whole.whence["217/2.brake_pipe_hose"].startswith("told: by line ")


def test_a_pipe_is_told_at_first_and_not_known_once_the_pipes_are_one(plan: JobPlan) -> None:
    (moving, *_), (standing, *_) = pipes_of(plan, stands_after(plan, FLEET, 0))
    assert moving.figure_bar == pytest.approx(3.4) and moving.shows == "3.4" and standing.figure_bar == 0.0
    assert plan.order is not None
    after = pipes_of(plan, stands_after(plan, FLEET, len(plan.order.steps)))
    assert all(pipe.figure_bar is None and pipe.whence.startswith("not known") for group in after for pipe in group)
    assert all(group[1].figure_bar is None for group in (pipes_of(plan, stands_after(plan, FLEET, 0))))


def test_moments_are_the_ends_of_the_stages_with_their_readings(plan: JobPlan) -> None:
    forecast = forecast_of(plan, air_engine())
    assert forecast is not None
    rules = plan.papers.rules
    moments = forecast_moments(forecast, rules)
    assert [moment.stage for moment in moments] == [span.key for span in forecast.stages]
    read = {moment.stage: moment for moment in moments if moment.reads}
    for reading in forecast.cases[0].readings:
        assert read[reading.stage].within is reading.within
        shown = read[reading.stage].front_bar if reading.at == "front" else read[reading.stage].rear_bar
        if not reading.limit.startswith("rise"):
            assert in_unit(shown, rules.pressure_unit) == pytest.approx(in_unit(reading.shows_bar, rules.pressure_unit), abs=0.02)
