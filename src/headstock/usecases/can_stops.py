"""The stops of a job's train: from the air engine's pressures to distances, running test, braked weight, and what is noted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from headstock.base.errors import OutsideModelError
from headstock.capability.brake_traces import BY_WIRES, EMERGENCY, FULL, CylinderTraces, ReadyTrain, answering, cylinder_traces
from headstock.capability.braked_train import force_traces
from headstock.capability.by_load import LoadCase, predict_by_load, train_under
from headstock.capability.holding import HoldingResult, predict_holding
from headstock.capability.stopping import (
    BrakedWeight,
    LostGroups,
    RunningTest,
    StoppingQuestion,
    StoppingResult,
    braked_weight,
    predict_running_test,
    predict_stopping,
)
from headstock.equipment.loads import LOADS, lacking_under
from headstock.formation.not_stated import lacking_of_units
from headstock.formation.train import Train
from headstock.formation.train_air import brake_places
from headstock.formation.train_on_rail import moving_train
from headstock.physics.air_run import AirEngine
from headstock.physics.motion import MovingTrain, Traces, Track, braking_of
from headstock.usecases.can_as_read import JobAsRead, lost_behind, ready_to_leave, vehicles_in
from headstock.usecases.can_question import CanQuestion
from headstock.usecases.portion_holds import portion_here

USUAL_KMH = 100.0
"""Speed at which losses are reckoned when nobody gives one [km/h]."""
REACHED_PA = 2e4
"""A cylinder that stays below this was never reached [Pa, gauge]."""
RESCUE_KMH = 30.0
"""Speed for which a rescue coupler is good [km/h] (LOCPAS-TSI-1302-2014, 4.2.2.2.4(4))."""


@dataclass(frozen=True, slots=True)
class JobStops:
    """Every call for the brake; ``alone``: all of it stopped by the moving portion's brakes, None where nothing is joined.

    ``by_load``: emergencies here from ``load_kmh``, under each load; empty where ``not_loaded`` says what is missing.
    ``in_use``: brakes that answer, of all. ``no_running_test`` says why there is none.
    """

    stopping: tuple[StoppingResult, ...]
    braked_weight: BrakedWeight
    running_test: tuple[RunningTest, ...]
    alone: RunningTest | None
    in_use: tuple[int, int]
    load_kmh: tuple[float, ...]
    by_load: tuple[tuple[LoadCase, HoldingResult], ...]
    not_loaded: tuple[str, ...]
    no_running_test: tuple[str, ...]
    notes: tuple[str, ...]


def stops_of_job(found: JobAsRead, asked: CanQuestion, engine: AirEngine) -> JobStops:
    """Everything must be stated (`lacking_to_stop`). Raises OutsideModelError where nothing calls for a brake."""
    train, ready = found.leaves, ready_to_leave(found)
    calls = _calls(ready)
    moving, cylinders = moving_train(train), cylinder_traces(ready, calls, engine)
    traces = {call: force_traces(train, call, cylinders[call]) for call in calls}
    up_to_kmh = min((unit.unit_type.greatest_speed_kmh or 400.0) for unit in train.units)
    groups, track = lost_behind(found), asked.profile or Track(((0.0, found.rise_ahead),))
    usual_kmh = RESCUE_KMH if found.is_rescue else USUAL_KMH
    question = StoppingQuestion(track, asked.at_kmh or min(usual_kmh, up_to_kmh), up_to_kmh, asked.keep_m, groups)
    results = tuple(predict_stopping(call, train, moving, traces[call], question) for call in calls)
    first = results[0]
    load_kmh = tuple(sorted({RESCUE_KMH, first.at_kmh, first.speeds_kmh[-1]}))
    by_load, not_loaded = _by_load(found, cylinders[EMERGENCY], load_kmh, track)
    running_test, no_test = _running_test(found, moving, cylinders, track, groups)
    notes = [*_out_of_reach(ready, cylinders[EMERGENCY]), *_speed_notes(train, up_to_kmh, first, asked)]
    return JobStops(
        results, braked_weight(train, braking_of(moving, traces[EMERGENCY]), up_to_kmh, _cut_out(ready)), running_test,
        _stop_alone(found, moving, traces[EMERGENCY], track), _in_use(ready, cylinders[EMERGENCY]), load_kmh, by_load, not_loaded,
        no_test, tuple(notes),
    )  # fmt: skip


def _calls(ready: ReadyTrain) -> list[str]:
    """By the pipe where the cab works one; by wires where every brake in use answers to them."""
    by_wires = answering(ready, BY_WIRES)
    every = all(at.where in by_wires for at in brake_places(ready.train))
    wired_cab = bool(by_wires) and not ready.has_valve
    return [EMERGENCY, *([FULL] if ready.has_valve else []), *([BY_WIRES] if every or wired_cab else [])]


def _by_load(
    found: JobAsRead, cylinders: CylinderTraces, speeds_kmh: tuple[float, ...], track: Track
) -> tuple[tuple[tuple[LoadCase, HoldingResult], ...], tuple[str, ...]]:  # fmt: skip
    """Each load in turn, whatever load was asked for, with what holds the train here; or what is missing for it."""
    lacking = lacking_under("laden", (unit.unit_type for unit in found.unloaded.units))
    if lacking:
        return (), lacking
    try:
        cases = predict_by_load(found.unloaded, LOADS, cylinders, speeds_kmh, track)
    except OutsideModelError as error:
        return (), (error.what,)
    trains = [train_under(found.unloaded, case.load).units for case in cases]
    held = [predict_holding(portion_here(found.papers, units, units)) for units in trains]
    return tuple(zip(cases, held, strict=True)), ()


def _running_test(
    found: JobAsRead, moving: MovingTrain, cylinders: Mapping[str, CylinderTraces], track: Track, groups: LostGroups
) -> tuple[tuple[RunningTest, ...], tuple[str, ...]]:  # fmt: skip
    """By the automatic brake alone; in a cab without one by wires. The electric brake is never counted: it hides the friction."""
    figures = found.papers.rules.running_test
    if figures is None:
        return (), ("the local rules state no speeds of a running test (running_test)",)
    call = FULL if FULL in cylinders else BY_WIRES
    if call not in cylinders:
        return (), ("nothing in the leading cab calls for a full service brake",)
    traces = force_traces(found.leaves, FULL, cylinders[call])
    speeds = (figures.from_kmh.value, figures.to_kmh.value)
    return predict_running_test(found.leaves, moving, traces, track, *speeds, groups), ()


def _out_of_reach(ready: ReadyTrain, traces: CylinderTraces) -> list[str]:
    """Brakes in use that an emergency does not reach: no pipe and no wire of the data leads there."""
    dead = sorted(_in_order(ready) - _cut_out(ready) - _reached(traces))
    if not dead:
        return []
    said = f"no emergency reaches the brake of {', '.join(dead)} by the pipes and wires of the data"
    return [f"{said} (an adapter's hose is not among them): counted as without a brake"]


def _in_order(ready: ReadyTrain) -> frozenset[str]:
    return frozenset(at.where for at in brake_places(ready.train))


def _reached(traces: CylinderTraces) -> frozenset[str]:
    most = zip(traces.vehicles, traces.cylinder_pa.max(axis=0), strict=True)
    return frozenset(name for name, pressure_pa in most if pressure_pa >= REACHED_PA)


def _in_use(ready: ReadyTrain, traces: CylinderTraces) -> tuple[int, int]:
    """Vehicles whose brake answers an emergency, and vehicles that have one."""
    braked = _in_order(ready)
    return len(braked & _reached(traces)), len(braked)


def _speed_notes(train: Train, up_to_kmh: float, first: StoppingResult, asked: CanQuestion) -> list[str]:
    """Where the table ends, and why, if not at the train's own greatest speed; a speed asked for that is beyond it."""
    notes = list(lacking_of_units(train.units, "greatest_speed_kmh"))
    reached_kmh = first.speeds_kmh[-1]
    if reached_kmh < up_to_kmh - 1e-6:
        notes.append(f"the tables end at {reached_kmh:g} km/h: friction or adhesion is given no further")
    stops = [stop for row in (first.here, *first.table) for stop in row]
    if any(stop.is_beyond for stop in stops):
        notes.append(f"no data: on that fall it gathers more than {reached_kmh:g} km/h, where friction or adhesion ends")
    if asked.at_kmh is not None and asked.at_kmh > first.at_kmh + 1e-9:
        notes.append(f"{asked.at_kmh:g} km/h is beyond what the train or its data are made for: {first.at_kmh:g} km/h taken")
    return notes


def _stop_alone(found: JobAsRead, moving: MovingTrain, traces: Traces, track: Track) -> RunningTest | None:
    """All of it stopped by the moving portion's brakes alone, from the speed of a rescue; None where nothing is joined."""
    if not found.joins:
        return None
    hauling, standing = found.portions
    words = f"brakes of {'+'.join(unit.name for unit in hauling)} alone"
    return predict_running_test(found.leaves, moving, traces, track, RESCUE_KMH, 0.0, [(words, vehicles_in(standing))])[1]


def _cut_out(ready: ReadyTrain) -> frozenset[str]:
    """Vehicles whose brake is isolated."""
    return frozenset(at.where for at in brake_places(ready.train) if ready.values[at.key()] == "isolated")
