"""A stage of the brake test, played: what the gauge really showed, what was read off it, and what was made of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from headstock.brake_test.forecast_reading import SETTLING_S, StageSpan
from headstock.brake_test.stage_readings import DIFFERENCES, TestRun, is_reckoned, reading_place, value_read
from headstock.devices.scene import TEST
from headstock.local_rules.limit_figures import in_unit, is_share, is_within, limit_said, reading_figure, unit_of
from headstock.local_rules.test_method import Stage
from headstock.physics.air_run import AirTrace
from headstock.practice.events import Ended
from headstock.practice.role_view import gauges_in_sight
from headstock.practice.sitting import Sitting
from headstock.reasoning.step import Step

TAKEN_FOR_GOOD = "A test that did not pass is taken for one that did."
NOT_READ = "A figure that the gauge did not show decides the test."


@dataclass(frozen=True, slots=True)
class Judged:
    """The sitting with what is to be said of a reading; whether the test goes on."""

    sitting: Sitting
    goes_on: bool


def judge_reading(sitting: Sitting, step: Step, event: Ended) -> Judged:
    """Hold what somebody made of a gauge against what it showed."""
    stage = stage_of(sitting, step)
    if stage is None:
        return Judged(sitting, True)
    began_s, _ = sitting.began_s[stage.key]
    sitting = replace(sitting, began_s={**sitting.began_s, stage.key: (began_s, sitting.t_s)})
    truth = truth_of(sitting, stage)
    sitting = _figure_held(sitting, step, stage, event, truth)
    if truth is None:
        return Judged(sitting, True) if event.calls_it_good else Judged(_anew(sitting, step, "called not good"), False)
    return _held_against(sitting, step, stage, event, truth)


def _figure_held(sitting: Sitting, step: Step, stage: Stage, event: Ended, truth: tuple[float, bool] | None) -> Sitting:
    """What a person says to have read, against the gauge in sight; of a change, how far it changed is as good an answer."""
    gauges = gauges_in_sight(sitting, step.role)
    by_gauge = stage.reading is None or stage.reading.reads == "brake pipe"  # the only gauge that is shown in a cab
    if event.read_bar is None or not by_gauge or not gauges or not sitting.is_played(step.role):
        return sitting
    gauge, is_change = gauges[0], stage.reading is not None and stage.reading.limit in DIFFERENCES
    good = [gauge.shows_bar, *((truth[0],) if truth is not None and is_change else ())]
    if min(abs(event.read_bar - value) for value in good) <= gauge.mark_bar + 1e-6:
        return sitting
    said, showed = (_gauge_said(sitting, value) for value in (event.read_bar, gauge.shows_bar))
    text = f"{step.key}: says to have read {said}; the {gauge.name} gauge showed {showed}"
    return sitting.noted(step.role, "misread", text, NOT_READ, stage.key)


def _gauge_said(sitting: Sitting, value_bar: float) -> str:
    """A pressure as people read it."""
    unit = sitting.exercise.task.rules.pressure_unit
    return f"{value_bar:g} bar" if unit == "bar" else f"{in_unit(value_bar, unit):.1f} {unit}"


def _held_against(sitting: Sitting, step: Step, stage: Stage, event: Ended, truth: tuple[float, bool]) -> Judged:
    showed, within = truth
    said = _reading_said(sitting, stage, showed)
    if event.calls_it_good and not within:
        text = f"{said}; called within limits"
        return Judged(sitting.noted(step.role, "misread", text, TAKEN_FOR_GOOD, stage.key), True)
    if not event.calls_it_good:
        kind = "good, though it was within limits" if within else "good"
        return Judged(_anew(sitting, step, f"{said}; called not {kind}"), False)
    return Judged(sitting.noted(step.role, "saw", said, about=stage.key), True)


def _reading_said(sitting: Sitting, stage: Stage, showed: float) -> str:
    """What a stage's reading showed and its limit, in words: pressures with their unit, counts as a share of the brakes."""
    rules, reading = sitting.exercise.task.rules, stage.reading
    assert reading is not None and reading.limit is not None
    limit, unit = reading.limit, rules.pressure_unit
    limit_value = rules.limit_read(limit)
    figure, tail = limit_said(limit_value, limit, unit)
    minute = " a minute" if "bar_per_min" in limit else ""
    shows = f"{reading_figure(showed, limit_value, limit, unit)} {unit_of(limit, unit)}{minute}"
    words = f"share {showed:.2f}" if is_share(limit) else shows
    return f"{reading.name}: it showed {words}, limit {figure} {tail}"


def _anew(sitting: Sitting, step: Step, said: str) -> Sitting:
    """The test is not passed, and begins anew."""
    run = sitting.run.copy()
    run.state[TEST] = "none"
    run.touches[TEST] = run.touches.get(TEST, 0) + 1
    complaints = list(run.complaints)
    run.judge_state(len(sitting.done), step.key)  # what the stage allowed stands as it is: nobody's fault
    run.complaints = complaints
    return replace(sitting, run=run).noted(step.role, "saw", f"{step.key}: {said}. The test begins anew.")


def stage_of(sitting: Sitting, step: Step) -> Stage | None:
    """The stage of the method that a step is."""
    key = sitting.exercise.stages.get(step.ident)
    return next((stage for stage in sitting.exercise.task.method.stages if stage.key == key), None)


def truth_of(sitting: Sitting, stage: Stage) -> tuple[float, bool] | None:
    """What a stage's reading really is now [bar, share], and whether it is within its limit; None where nothing says."""
    air, task = sitting.air, sitting.exercise.task
    if air is None or not is_reckoned(stage.reading):
        return None
    if task.controls not in air.model.cabs or task.rear_cab not in air.model.cabs:
        return None
    tested, run = air.model.tested.tested, TestRun(_spans(sitting), _trace(sitting))
    value, place = value_read(tested, air.model.air, run, stage), reading_place(tested, stage)
    return value, not place.applies or is_within(value, place.limit_bar, place.limit)


def _trace(sitting: Sitting) -> AirTrace:
    """What the gauges have shown so far, in the shape in which forecasts are read."""
    air, task = sitting.air, sitting.exercise.task
    assert air is not None
    order = [air.model.cabs.index(task.controls), air.model.cabs.index(task.rear_cab)]
    order += range(len(air.model.cabs), air.shows_pa.size)
    t_s = np.concatenate([*air.kept_s, [air.t_s]])
    pa = np.concatenate([*air.kept_pa, air.shows_pa[None, :]])[:, order]
    return AirTrace(t_s + SETTLING_S, pa, 0.0)


def _spans(sitting: Sitting) -> tuple[StageSpan, ...]:
    """The stages as they were played; those to come take no time."""
    now = sitting.t_s
    times = sitting.began_s
    return tuple(StageSpan(stage.key, stage.says, stage.at, *times.get(stage.key, (now, now)))
                 for stage in sitting.exercise.task.method.stages)  # fmt: skip
