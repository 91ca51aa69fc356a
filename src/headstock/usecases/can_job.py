"""A driver, planner or trainer asks: what can the train of this job do, and what will the coupling take?

Answered from the unit types, the local rules and the air engine. What the types do not state is not answered. Nothing here is
leave to move, and no figure is a limit: those are the local rules' and the maintainer's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from headstock.base.errors import OutsideModelError
from headstock.capability.brake_traces import (
    BY_WIRES,
    EMERGENCY,
    FULL,
    CylinderTraces,
    ReadyTrain,
    cylinder_traces,
    ready_train,
)
from headstock.capability.braked_train import force_traces, lacking_to_stop, moving_train
from headstock.capability.coupling_impact import ImpactResult, lacking_to_meet, predict_impact
from headstock.capability.fit import Fit, Supply, predict_fit, predict_supply, train_length_m
from headstock.capability.geometry import MeetingOnTrack, lacking_on_curves, predict_meetings
from headstock.capability.holding import HoldingResult, predict_holding
from headstock.capability.leak_off import LeakOff, predict_leak_off
from headstock.capability.main_reservoirs import ReservoirsResult, predict_reservoirs
from headstock.capability.not_stated import lacking_of_units
from headstock.capability.pull_away import PullResult
from headstock.capability.rescue import HaulResult, ReleaseOrder
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
from headstock.equipment.library import Fleet
from headstock.formation.brake_across import is_electric
from headstock.formation.join_way import TypeEnd
from headstock.formation.joinability import JoinResult, can_be_joined
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_air import brake_places
from headstock.physics.air_run import AirEngine
from headstock.physics.motion import MovingTrain, Traces, Track, braking_of
from headstock.usecases.assemble import portion_here
from headstock.usecases.can_question import CanQuestion
from headstock.usecases.haul_and_pull import haul_of, pull_of, releases_of
from headstock.usecases.job_file import JobPapers, load_job
from headstock.usecases.job_reader import JobReader

USUAL_KMH = 100.0
"""Speed at which losses are reckoned when nobody gives one [km/h]."""
REACHED_PA = 2e4
"""A cylinder that stays below this was never reached [Pa, gauge]."""
RESCUE_KMH = 30.0
"""Speed for which a rescue coupler is good [km/h] (LOCPAS-TSI-1302-2014, 4.2.2.2.4(4))."""
RUNNING_TEST_KMH = (40.0, 20.0)
"""From and to which speed a running test is reckoned [km/h] (common practice, no source)."""


@dataclass(slots=True)
class JobCan:
    """Everything answered; what could not be stands in ``not_answered`` by question, with every reason."""

    papers: JobPapers
    train: Train
    leaves: Train
    join: JoinResult
    asked: CanQuestion
    fit: tuple[Fit, ...]
    supply: Supply | None
    holding: tuple[HoldingResult, ...] = ()
    stopping: tuple[StoppingResult, ...] = ()
    braked_weight: BrakedWeight | None = None
    running_test: tuple[RunningTest, ...] = ()
    impact: ImpactResult | None = None
    pull: PullResult | None = None
    haul: HaulResult | None = None
    releases: ReleaseOrder | None = None
    reservoirs: ReservoirsResult | None = None
    meetings: tuple[MeetingOnTrack, ...] = ()
    leak_off: tuple[tuple[str, LeakOff], ...] = ()
    alone: RunningTest | None = None
    notes: list[str] = field(default_factory=list)
    not_answered: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def answer(self) -> str:
        """No where a portion is not held or cannot be hauled; else yes, or outside the model where something was not answered."""
        if not all(result.holds for result in self.holding) or (self.haul is not None and self.haul.verdict == "no"):
            return "no"
        return "outside the model" if self.not_answered else "yes"


@dataclass(frozen=True, slots=True)
class _Found:
    """The job as read: its train, the part that leaves, ends and joint."""

    papers: JobPapers
    train: Train
    leaves: Train
    ends: dict[str, UnitEnd]
    moving_first: bool
    join: JoinResult


def can_job(path: Path, fleet: Fleet, engine: AirEngine, asked: CanQuestion | None = None) -> JobCan:
    """What the job's train can do. Raises InputError for a file that cannot be meant."""
    question = asked or CanQuestion()
    found = _read(load_job(path), fleet)
    lengths = [(found.papers.place.name, found.papers.place.usable_length_m)]
    lengths += [(name, metres) for name, metres in (("platform", question.platform_m), ("signal", question.signal_m)) if metres]
    can = JobCan(found.papers, found.train, found.leaves, found.join, question, predict_fit(found.leaves, lengths),
                 predict_supply(found.leaves))  # fmt: skip
    can.holding = _holdings(found)
    _answer(can, "stopping", lacking_to_stop(found.leaves.units), lambda: _stops(can, found, engine))
    if question.leak_mm2 is not None:
        _answer(can, "leak-off", lacking_to_stop(found.train.units), lambda: _leaks_off(can, found))
    if found.papers.job.work == "attach":
        _answer(can, "impact", lacking_to_meet(found.train), lambda: _meets(can, found))
        for name, ask in (("pull", _pulls), ("haul", _hauls)):
            _answer(can, name, (), lambda ask=ask: ask(can, found))  # type: ignore[misc]
        if found.join.best.answer != "no" and found.join.best.main_reservoir_through:
            _answer(can, "main reservoirs", (), lambda: _reservoirs(can, found, engine))
        _geometry(can, found)
    return can


def _geometry(can: JobCan, found: _Found) -> None:
    """The joint on a curve of the radius asked for, or of the place's."""
    curve = found.papers.place.curve_at_joint
    radius_m = can.asked.radius_m or (curve.radius_m if curve is not None else None)
    if radius_m is None:
        return
    joint = found.train.joint_to_make
    ends = (_type_end(found.train, joint.first), _type_end(found.train, joint.second))
    can.notes.append(f"curves of {radius_m:g} m looked at")

    def meets() -> tuple[str, ...] | None:
        can.meetings = predict_meetings(ends, radius_m)
        return None

    _answer(can, "curve", lacking_on_curves(ends), meets)


def _read(papers: JobPapers, fleet: Fleet) -> _Found:
    reader = JobReader(papers, fleet)
    train, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(train)
    reader.check_cabs(train, ends, moving_first)
    joint = train.joint_to_make
    curve = papers.place.curve_at_joint if papers.job.work == "attach" else None
    join = can_be_joined(_type_end(train, joint.first), _type_end(train, joint.second), papers.rules, curve)
    leaves = train
    if papers.job.work == "detach":
        units = train.portions()[0 if moving_first else 1]
        names = {unit.name for unit in units}
        leaves = Train(units, tuple(joint for joint in train.joints if {joint.first.unit, joint.second.unit} <= names))
    return _Found(papers, train, leaves, ends, moving_first, join)


def _type_end(train: Train, end: UnitEnd) -> TypeEnd:
    return TypeEnd(str(end), train.unit(end.unit).unit_type, end.end)


def _answer(can: JobCan, name: str, lacking: tuple[str, ...], ask: Callable[[], tuple[str, ...] | None]) -> None:
    """Ask, unless data are lacking; what lies outside the model is told beside the other answers."""
    if lacking:
        can.not_answered[name] = lacking
        return
    try:
        refused = ask()
    except OutsideModelError as error:
        refused = (error.what,)
    if refused:
        can.not_answered[name] = refused


def _holdings(found: _Found) -> tuple[HoldingResult, ...]:
    """Both portions, and the whole train, each on its own hand and parking brakes."""
    first, second = found.train.portions()
    groups = [first, second, found.train.units]
    return tuple(predict_holding(portion_here(found.papers, units, units)) for units in groups)


def _groups(found: _Found) -> tuple[tuple[str, frozenset[str]], ...]:
    """Vehicles lost together when the pipe ends at a joint: all behind it, seen from the cab that controls."""
    train, front = found.leaves, found.ends["controls_afterwards"]
    units = train.units if train.units[0].name == front.unit else train.units[::-1]
    groups = []
    for number in range(1, len(units)):
        behind = units[number:]
        names = frozenset(unit.vehicle_name(suffix) for unit in behind for suffix in unit.vehicle_suffixes)
        groups.append((f"all brakes behind {units[number - 1].name} (cock shut there)", names))
    return tuple(groups)


def _stops(can: JobCan, found: _Found, engine: AirEngine) -> tuple[str, ...] | None:
    asked, train = can.asked, found.leaves
    ready = ready_train(train, found.ends["controls_afterwards"], found.papers.job.as_left)
    calls = [EMERGENCY, FULL, *([BY_WIRES] if _wired_through(ready, found) else [])]
    moving, cylinders = moving_train(train), cylinder_traces(ready, calls, engine)
    up_to_kmh = min((unit.unit_type.greatest_speed_kmh or 400.0) for unit in train.units)
    groups = _groups(found)
    track = asked.profile or Track(((0.0, rise_ahead(found.papers, train, found.ends["leaves_from"])),))
    question = StoppingQuestion(track, asked.at_kmh or min(USUAL_KMH, up_to_kmh), up_to_kmh, asked.keep_m, groups)
    results = []
    for call in calls:
        traces = force_traces(train, call, cylinders[call])
        results.append(predict_stopping(call, train, moving, traces, question))
        if call == EMERGENCY:
            can.alone = _stop_alone(found, moving, traces, track)
            can.braked_weight = braked_weight(train, braking_of(moving, traces), up_to_kmh, _cut_out(ready))
        if call == FULL:
            can.running_test = predict_running_test(train, moving, traces, track, *RUNNING_TEST_KMH, groups)
    can.stopping = tuple(results)
    can.notes += _out_of_reach(ready, cylinders[EMERGENCY])
    can.notes += _speed_notes(train, up_to_kmh, results[0].speeds_kmh[-1])
    if asked.at_kmh is not None and asked.at_kmh > results[0].at_kmh + 1e-9:
        can.notes.append(
            f"{asked.at_kmh:g} km/h is beyond what the train or its data are made for: {results[0].at_kmh:g} km/h taken"
        )
    return None


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


def _speed_notes(train: Train, up_to_kmh: float, reached_kmh: float) -> list[str]:
    """Where the table ends, and why, if not at the train's own greatest speed."""
    lacking = lacking_of_units(train.units, "greatest_speed_kmh")
    if reached_kmh < up_to_kmh - 1e-6:
        return [*lacking, f"the tables end at {reached_kmh:g} km/h: friction or adhesion is given no further"]
    return list(lacking)


def _stop_alone(found: _Found, moving: MovingTrain, traces: Traces, track: Track) -> RunningTest | None:
    """All of it stopped by the moving portion's brakes alone, from the speed of a rescue; None where nothing is joined."""
    if found.papers.job.work != "attach":
        return None
    _, standing = _portions(found)
    cut = frozenset(unit.vehicle_name(suffix) for unit in standing for suffix in unit.vehicle_suffixes)
    words = f"brakes of {'+'.join(unit.name for unit in _portions(found)[0])} alone"
    return predict_running_test(found.leaves, moving, traces, track, RESCUE_KMH, 0.0, [(words, cut)])[1]


def _cut_out(ready: ReadyTrain) -> frozenset[str]:
    """Vehicles whose brake is isolated."""
    return frozenset(at.where for at in brake_places(ready.train) if ready.values[at.key()] == "isolated")


def _leaks_off(can: JobCan, found: _Found) -> tuple[str, ...] | None:
    """Both portions on trapped air alone: for investigators, on no sheet."""
    assert can.asked.leak_mm2 is not None
    adhesion, slope = found.papers.rules.holding.adhesion.value, found.papers.place.slope
    can.leak_off = tuple(
        ("+".join(unit.name for unit in units), predict_leak_off(units, slope, adhesion, can.asked.leak_mm2))
        for units in found.train.portions()
    )
    return None


def _reservoirs(can: JobCan, found: _Found, engine: AirEngine) -> tuple[str, ...] | None:
    """As if the standing portion's main reservoirs were empty and the moving one came to help it."""
    ready = ready_train(found.train, found.ends["controls_afterwards"], {})
    can.reservoirs = predict_reservoirs(ready, *_portions(found), engine)
    return None


def _wired_through(ready: ReadyTrain, found: _Found) -> bool:
    """Whether every brake answers to wires and wires go through every joint."""
    train = ready.train
    for unit in train.units:
        brakes = [spec for spec in unit.unit_type.devices.values() if isinstance(spec, DistributorSpec)]
        if not brakes or any(spec.electro_pneumatic == "none" for spec in brakes):
            return False
    return all(_electric(train, joint, found) for joint in train.joints)


def _electric(train: Train, joint: Joint, found: _Found) -> bool:
    best = can_be_joined(_type_end(train, joint.first), _type_end(train, joint.second), found.papers.rules).best
    return best.answer != "no" and is_electric(best.level)


def rise_ahead(papers: JobPapers, train: Train, leaves_from: UnitEnd) -> float:
    """Gradient ahead as the train leaves [rise/run], rising positive."""
    ahead = papers.place.directions[0] if leaves_from == train.outer_ends[0] else papers.place.directions[1]
    return -papers.place.slope if papers.place.falls_towards == ahead else papers.place.slope


def _meets(can: JobCan, found: _Found) -> tuple[str, ...] | None:
    join_kmh = found.papers.rules.approach.join_speed_kmh.value
    speeds = sorted({1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, join_kmh})
    can.impact = predict_impact(found.train, found.moving_first, speeds)
    return None


def _portions(found: _Found) -> tuple[tuple[TrainUnit, ...], tuple[TrainUnit, ...]]:
    """The moving and the standing portion."""
    first, second = found.train.portions()
    return (first, second) if found.moving_first else (second, first)


def _pulls(can: JobCan, found: _Found) -> tuple[str, ...] | None:
    moving, standing = _portions(found)
    held = can.holding[1 if found.moving_first else 0]
    answer = pull_of(
        found.papers, found.join, (moving, standing), found.ends["moving.driven_from"].unit, held, found.moving_first
    )
    if isinstance(answer, tuple):
        return answer
    can.pull = answer
    return None


def _hauls(can: JobCan, found: _Found) -> tuple[str, ...] | None:
    moving, standing = _portions(found)
    alone = can.alone.stop.is_stopped if can.alone is not None else None
    answer = haul_of(found.papers, found.join, (moving, standing), found.ends["moving.driven_from"].unit, alone)
    if isinstance(answer, tuple):
        return answer
    can.haul = answer
    holding = (can.holding[0], can.holding[1]) if found.moving_first else (can.holding[1], can.holding[0])
    can.releases = releases_of(found.papers, found.train.units, holding)
    return None


def lengths_over(can: JobCan) -> float:
    """Length of the train that leaves [m]."""
    return train_length_m(can.leaves)
