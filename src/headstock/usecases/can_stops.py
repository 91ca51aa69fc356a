"""The stops of a job's train: from the air engine's pressures to distances, running test, braked weight, and what is noted."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.capability.brake_traces import (
    BY_WIRES,
    EMERGENCY,
    FULL,
    CylinderTraces,
    ReadyTrain,
    cylinder_traces,
    ready_train,
)
from headstock.capability.braked_train import force_traces, moving_train
from headstock.capability.not_stated import lacking_of_units
from headstock.capability.stopping import (
    BrakedWeight,
    RunningTest,
    StoppingQuestion,
    StoppingResult,
    braked_weight,
    predict_running_test,
    predict_stopping,
)
from headstock.devices.distributor import DistributorSpec
from headstock.formation.brake_across import is_electric
from headstock.formation.joinability import can_be_joined
from headstock.formation.train import Joint, Train
from headstock.formation.train_air import brake_places
from headstock.physics.air_run import AirEngine
from headstock.physics.motion import MovingTrain, Traces, Track, braking_of
from headstock.usecases.can_as_read import JobAsRead, lost_behind, type_end
from headstock.usecases.can_question import CanQuestion

USUAL_KMH = 100.0
"""Speed at which losses are reckoned when nobody gives one [km/h]."""
REACHED_PA = 2e4
"""A cylinder that stays below this was never reached [Pa, gauge]."""
RESCUE_KMH = 30.0
"""Speed for which a rescue coupler is good [km/h] (LOCPAS-TSI-1302-2014, 4.2.2.2.4(4))."""
RUNNING_TEST_KMH = (40.0, 20.0)
"""From and to which speed a running test is reckoned [km/h] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class JobStops:
    """Every call for the brake; ``alone``: all of it stopped by the moving portion's brakes, None where nothing is joined."""

    stopping: tuple[StoppingResult, ...]
    braked_weight: BrakedWeight
    running_test: tuple[RunningTest, ...]
    alone: RunningTest | None
    notes: tuple[str, ...]


def stops_of_job(found: JobAsRead, asked: CanQuestion, engine: AirEngine) -> JobStops:
    """Everything must be stated (`lacking_to_stop`). Raises OutsideModelError for a train without a brake pipe."""
    train = found.leaves
    ready = ready_train(train, found.ends["controls_afterwards"], found.papers.job.as_left)
    calls = [EMERGENCY, FULL, *([BY_WIRES] if _wired_through(ready, found) else [])]
    moving, cylinders = moving_train(train), cylinder_traces(ready, calls, engine)
    traces = {call: force_traces(train, call, cylinders[call]) for call in calls}
    up_to_kmh = min((unit.unit_type.greatest_speed_kmh or 400.0) for unit in train.units)
    groups = lost_behind(found)
    track = asked.profile or Track(((0.0, found.rise_ahead),))
    question = StoppingQuestion(track, asked.at_kmh or min(USUAL_KMH, up_to_kmh), up_to_kmh, asked.keep_m, groups)
    results = tuple(predict_stopping(call, train, moving, traces[call], question) for call in calls)
    notes = [*_out_of_reach(ready, cylinders[EMERGENCY]), *_speed_notes(train, up_to_kmh, results[0], asked)]
    return JobStops(
        results, braked_weight(train, braking_of(moving, traces[EMERGENCY]), up_to_kmh, _cut_out(ready)),
        predict_running_test(train, moving, traces[FULL], track, *RUNNING_TEST_KMH, groups),
        _stop_alone(found, moving, traces[EMERGENCY], track), tuple(notes),
    )  # fmt: skip


def _out_of_reach(ready: ReadyTrain, traces: CylinderTraces) -> list[str]:
    """Brakes in use that an emergency does not reach: no pipe of the data leads there."""
    cut = _cut_out(ready)
    braked = {at.where for at in brake_places(ready.train)} - cut
    most = dict(zip(traces.vehicles, traces.cylinder_pa.max(axis=0), strict=True))
    dead = [name for name in traces.vehicles if name in braked and most[name] < REACHED_PA]
    if not dead:
        return []
    said = f"no air of an emergency reaches the brake of {', '.join(dead)} by the pipes of the data"
    return [f"{said} (an adapter's hose is not among them): counted as without a brake"]


def _speed_notes(train: Train, up_to_kmh: float, first: StoppingResult, asked: CanQuestion) -> list[str]:
    """Where the table ends, and why, if not at the train's own greatest speed; a speed asked for that is beyond it."""
    notes = list(lacking_of_units(train.units, "greatest_speed_kmh"))
    reached_kmh = first.speeds_kmh[-1]
    if reached_kmh < up_to_kmh - 1e-6:
        notes.append(f"the tables end at {reached_kmh:g} km/h: friction or adhesion is given no further")
    if asked.at_kmh is not None and asked.at_kmh > first.at_kmh + 1e-9:
        notes.append(f"{asked.at_kmh:g} km/h is beyond what the train or its data are made for: {first.at_kmh:g} km/h taken")
    return notes


def _stop_alone(found: JobAsRead, moving: MovingTrain, traces: Traces, track: Track) -> RunningTest | None:
    """All of it stopped by the moving portion's brakes alone, from the speed of a rescue; None where nothing is joined."""
    if found.papers.job.work != "attach":
        return None
    hauling, standing = found.portions
    cut = frozenset(unit.vehicle_name(suffix) for unit in standing for suffix in unit.vehicle_suffixes)
    words = f"brakes of {'+'.join(unit.name for unit in hauling)} alone"
    return predict_running_test(found.leaves, moving, traces, track, RESCUE_KMH, 0.0, [(words, cut)])[1]


def _cut_out(ready: ReadyTrain) -> frozenset[str]:
    """Vehicles whose brake is isolated."""
    return frozenset(at.where for at in brake_places(ready.train) if ready.values[at.key()] == "isolated")


def _wired_through(ready: ReadyTrain, found: JobAsRead) -> bool:
    """Whether every brake answers to wires and wires go through every joint."""
    train = ready.train
    for unit in train.units:
        brakes = [spec for spec in unit.unit_type.devices.values() if isinstance(spec, DistributorSpec)]
        if not brakes or any(spec.electro_pneumatic == "none" for spec in brakes):
            return False
    return all(_electric(train, joint, found) for joint in train.joints)


def _electric(train: Train, joint: Joint, found: JobAsRead) -> bool:
    best = can_be_joined(type_end(train, joint.first), type_end(train, joint.second), found.papers.rules).best
    return best.answer != "no" and is_electric(best.level)
