"""A driver or guard asks before the test: what shall my gauge show, and what if something stands otherwise?

Answered from the air engine for the train that the job makes. It never says that a brake is good: the limits of the local
rules and the readings do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from headstock.brake_test.forecast import Forecast, TrainUnderTest, predict_readings
from headstock.devices.scene import AIR_THROUGH, TEST, pipe_key
from headstock.equipment.library import Fleet
from headstock.formation.train import Train
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method, method_path
from headstock.physics.air_run import AirEngine
from headstock.procedures.cab_work import pipe_bar
from headstock.procedures.task import AttachTask
from headstock.usecases.forecast_bands import BandAsked, band_of_test
from headstock.usecases.given_faults import given_faults, usual_faults
from headstock.usecases.other_method import by_method
from headstock.usecases.plan_job import JobPlan, plan_job


@dataclass(frozen=True, slots=True)
class JobForecast:
    """The plan that leads to the test, the forecast when there is a test to come, the method where it is not the job's."""

    plan: JobPlan
    forecast: Forecast | None
    method: BrakeTestMethod | None = None


def forecast_job(
    path: Path, fleet: Fleet, engine: AirEngine, faults: Sequence[str] = (), method: str | None = None,
    band: BandAsked | None = None,
) -> JobForecast:  # fmt: skip
    """Forecast the brake test of the job in a file; without ``faults`` ("KEY=VALUE"), what its method is there to find.

    ``method``: a file or a built-in one instead of the job's. Raises InputError for what cannot be meant.
    """
    plan = plan_job(path, fleet, engine)
    found = None if method is None else load_test_method(method_path(method, Path()))
    return JobForecast(plan, forecast_of(plan, engine, faults, found, band), found)


def forecast_of(
    plan: JobPlan, engine: AirEngine, faults: Sequence[str] = (), method: BrakeTestMethod | None = None,
    band: BandAsked | None = None,
) -> Forecast | None:  # fmt: skip
    """The forecast for a plan; None where nothing was planned. Raises InputError for a fault that cannot be meant.

    ``band``: also how far healthy trains differ.
    """
    tested = train_under_test(plan)
    if tested is None:
        return None
    if method is not None:
        tested = by_method(tested, method)
    cases = given_faults(tested, faults) if faults else usual_faults(tested)
    forecast = predict_readings(tested, cases, engine)
    return forecast if band is None else replace(forecast, band=band_of_test(tested, band))


def tested_by(path: Path, fleet: Fleet, engine: AirEngine, method: str | None, beside: Path) -> TrainUnderTest | None:
    """The train of a job as its plan hands it to the test, tested by its own or another method; None without a plan."""
    tested = train_under_test(plan_job(path, fleet, engine))
    if tested is None or method is None:
        return tested
    return by_method(tested, load_test_method(method_path(method, beside)))


def train_under_test(plan: JobPlan) -> TrainUnderTest | None:
    """The train as the plan hands it to the test, with the pipes as they were before they became one."""
    task, domain, order = plan.assembled.task, plan.domain, plan.order
    if plan.answer != "yes" or task is None or domain is None or order is None:
        return None
    if task.adapter is not None and task.adapter.has_hose:
        return None  # the adapter's own hose and cock are not among the pipes that are reckoned
    first_stage = (TEST, task.method.stages[0].key)
    state = dict(domain.start)
    apart = dict(state)
    for step in order.steps:
        if first_stage in step.effects:
            break
        state.update(step.effects)
        if state[AIR_THROUGH] == "no":
            apart = dict(state)
    pipes, outside_pa = _pipes(task, apart), task.place.atmosphere_pa
    empty = frozenset(unit.name for unit in task.standing_units) if task.rescue is not None else frozenset()
    return TrainUnderTest(_tested(task), state, task.controls, task.rear_cab, pipes, task.rules, task.method, empty, outside_pa)


def _tested(task: AttachTask) -> Train:
    """The train that the test is about: all of it, or after parting the portion that leaves."""
    if not task.parts:
        return task.train
    names = {unit.name for unit in task.moving_units}
    joints = tuple(joint for joint in task.train.joints if {joint.first.unit, joint.second.unit} <= names)
    return Train(tuple(unit for unit in task.train.units if unit.name in names), joints)


def _pipes(task: AttachTask, state: Mapping[str, str]) -> dict[str, float]:
    """Gauge pressure of each unit's brake pipe [bar]: as the valve of the portion's worked cab left it."""
    found: dict[str, float] = {}
    portions = (
        (task.moving, task.moving_units, task.driven_from),
        (task.standing, task.standing_units, task.standing_cab),
    )
    for portion, units, cab in portions[:1] if task.parts else portions:
        pressure_bar = pipe_bar(task.train, cab, state[pipe_key(portion)])
        found |= {unit.name: pressure_bar for unit in units}
    return found
