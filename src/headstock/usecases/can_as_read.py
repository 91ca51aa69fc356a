"""A job as `can` reads it: its train under its load, the part that leaves, the joint, the rescue; what wires reach; portions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.capability.brake_traces import ReadyTrain, has_valve, ready_train
from headstock.capability.by_load import train_loaded
from headstock.equipment.library import Fleet
from headstock.formation.brake_across import is_electric
from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult, can_be_joined
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_state import as_left
from headstock.physics.air_run import AirEngine
from headstock.procedures.rescue import Rescue
from headstock.usecases.can_load import IN_WORKING_ORDER, AskedLoad
from headstock.usecases.couple_as_found import without_wires
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.rescue_given import refused_outright
from headstock.usecases.way_used import as_asked, in_a_rescue, rescue_of


@dataclass(frozen=True, slots=True)
class JobAsRead:
    """The train, the part of it that leaves (all of it, but where it is parted), ends by what the job calls them.

    ``unloaded``: the part that leaves in working order. ``rescue``: its facts, or every reason why there is none.
    """

    papers: JobPapers
    train: Train
    leaves: Train
    unloaded: Train
    ends: dict[str, UnitEnd]
    moving_first: bool
    join: JoinResult
    rescue: Rescue | tuple[str, ...] | None = None

    @property
    def joins(self) -> bool:
        """Whether two portions come together: attached, or for a rescue."""
        return self.papers.job.work != "detach"

    @property
    def portions(self) -> tuple[tuple[TrainUnit, ...], tuple[TrainUnit, ...]]:
        """The moving and the standing portion."""
        first, second = self.train.portions()
        return (first, second) if self.moving_first else (second, first)

    @property
    def rise_ahead(self) -> float:
        """Gradient ahead as the train leaves [rise/run], rising positive."""
        place = self.papers.place
        ahead = place.directions[0] if self.ends["leaves_from"] == self.leaves.outer_ends[0] else place.directions[1]
        return -place.slope if place.falls_towards == ahead else place.slope

    @property
    def main_joined(self) -> bool:
        """Whether the main reservoirs are one, in a rescue; elsewhere each portion has air of its own."""
        return not self.is_rescue or (isinstance(self.rescue, Rescue) and self.rescue.main_joined)

    @property
    def is_rescue(self) -> bool:
        """Whether the standing portion has no air of its own."""
        return self.papers.job.work == "rescue"

    @property
    def refused(self) -> tuple[str, ...]:
        """Why a rescue is refused."""
        return self.rescue if isinstance(self.rescue, tuple) else ()


def read_job(papers: JobPapers, fleet: Fleet, engine: AirEngine | None = None, load: AskedLoad = IN_WORKING_ORDER) -> JobAsRead:
    """Without an engine nothing is asked of the air: no facts of a rescue.

    Raises InputError for what cannot be meant, and for a load that the types do not state.
    """
    reader = JobReader(papers, fleet)
    empty, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(empty)
    reader.check_cabs(empty, ends, moving_first)
    load.refuse(empty.units)
    train = train_loaded(empty, {unit.name: load.of(unit.name) for unit in empty.units})
    joint = train.joint_to_make
    curve = papers.place.curve_at_joint if papers.job.work != "detach" else None
    join = can_be_joined(type_end(train, joint.first), type_end(train, joint.second), papers.rules, curve)
    join = without_wires(papers, as_asked(papers, join))
    leaves, unloaded = (_that_leaves(papers, one, moving_first) for one in (train, empty))
    if papers.job.work != "rescue":
        return JobAsRead(papers, train, leaves, unloaded, ends, moving_first, join)
    reader.check_dead(train, moving_first)
    join = in_a_rescue(papers, train, join, False)
    if engine is None:
        return JobAsRead(papers, train, leaves, unloaded, ends, moving_first, join)
    rescue = _rescue(papers, train, ends, join, moving_first, engine)
    if isinstance(rescue, Rescue):
        join = in_a_rescue(papers, train, join, rescue.main_joined)
    return JobAsRead(papers, train, leaves, unloaded, ends, moving_first, join, rescue)


def _that_leaves(papers: JobPapers, train: Train, moving_first: bool) -> Train:
    if papers.job.work != "detach":
        return train
    units = train.portions()[0 if moving_first else 1]
    names = {unit.name for unit in units}
    return Train(units, tuple(joint for joint in train.joints if {joint.first.unit, joint.second.unit} <= names))


def _rescue(
    papers: JobPapers, train: Train, ends: dict[str, UnitEnd], join: JoinResult, moving_first: bool, engine: AirEngine
) -> Rescue | tuple[str, ...] | None:  # fmt: skip
    """The facts of the rescue as an order of work has them, or every reason why there is none."""
    live = train.portions()[0 if moving_first else 1]
    refused = refused_outright(ends["controls_afterwards"], ends["leaves_from"], live, papers.rules.rescue)
    driven_from = ends["moving.driven_from"]
    if not has_valve(train, driven_from):
        refused += (f"the cab {driven_from} works no brake pipe: the order of a rescue by wires is not part of this edition",)
    if refused or join.answer == "no":
        return refused
    left = {**as_left(train), **papers.job.as_left}
    return rescue_of(papers, train, ends, join.best, moving_first, left, engine)


def ready_to_leave(found: JobAsRead) -> ReadyTrain:
    """The train that leaves, ready. Raises OutsideModelError where nothing in the leading cab calls for a brake."""
    papers = found.papers
    dead = frozenset[str]() if found.main_joined else frozenset(unit.name for unit in found.portions[1])
    controls = found.ends["controls_afterwards"]
    return ready_train(found.leaves, controls, papers.job.as_left, _wired(found, controls), dead, papers.place.atmosphere_pa)


def _wired(found: JobAsRead, controls: UnitEnd) -> frozenset[str]:
    """Units to which the leading cab's wires go, joint by joint from its own."""
    units = found.leaves.units if found.leaves.units[0].name == controls.unit else found.leaves.units[::-1]
    reached = [units[0].name]
    for unit in units[1:]:
        joint = next(joint for joint in found.leaves.joints if {joint.first.unit, joint.second.unit} == {reached[-1], unit.name})
        if not _electric(found, joint):
            break
        reached.append(unit.name)
    return frozenset(reached)


def _electric(found: JobAsRead, joint: Joint) -> bool:
    """Whether a joint carries the wires of the brake: as it is joined by this job, or as its ends join best."""
    if found.joins and not joint.made:
        best = found.join.best
    else:
        best = can_be_joined(type_end(found.train, joint.first), type_end(found.train, joint.second), found.papers.rules).best
    return best.answer != "no" and is_electric(best.level)


def lost_behind(found: JobAsRead) -> tuple[tuple[str, frozenset[str]], ...]:
    """Vehicles lost together when the pipe, or the wires, end at a joint: all behind it, seen from the cab that controls."""
    train, front = found.leaves, found.ends["controls_afterwards"]
    units = train.units if train.units[0].name == front.unit else train.units[::-1]
    why = "cock shut there" if has_valve(train, front) else "no wires reach them"
    return tuple(
        (f"all brakes behind {units[number - 1].name} ({why})", vehicles_in(units[number:])) for number in range(1, len(units))
    )


def vehicles_in(units: Sequence[TrainUnit]) -> frozenset[str]:
    """Names of all vehicles of some units."""
    return frozenset(unit.vehicle_name(suffix) for unit in units for suffix in unit.vehicle_suffixes)
