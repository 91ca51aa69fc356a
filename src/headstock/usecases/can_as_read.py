"""A job as `can` reads it: its train, the part that leaves, ends, the joint; portions and what is lost behind a shut cock."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.equipment.library import Fleet
from headstock.formation.join_way import TypeEnd
from headstock.formation.joinability import JoinResult, can_be_joined
from headstock.formation.train import Train, TrainUnit, UnitEnd
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader


@dataclass(frozen=True, slots=True)
class JobAsRead:
    """The train, the part of it that leaves (all of it, but where it is parted), ends by what the job calls them."""

    papers: JobPapers
    train: Train
    leaves: Train
    ends: dict[str, UnitEnd]
    moving_first: bool
    join: JoinResult

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


def read_job(papers: JobPapers, fleet: Fleet) -> JobAsRead:
    """Raises InputError for what cannot be meant."""
    reader = JobReader(papers, fleet)
    train, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(train)
    reader.check_cabs(train, ends, moving_first)
    joint = train.joint_to_make
    curve = papers.place.curve_at_joint if papers.job.work == "attach" else None
    join = can_be_joined(type_end(train, joint.first), type_end(train, joint.second), papers.rules, curve)
    leaves = train
    if papers.job.work == "detach":
        units = train.portions()[0 if moving_first else 1]
        names = {unit.name for unit in units}
        leaves = Train(units, tuple(joint for joint in train.joints if {joint.first.unit, joint.second.unit} <= names))
    return JobAsRead(papers, train, leaves, ends, moving_first, join)


def type_end(train: Train, end: UnitEnd) -> TypeEnd:
    """An end of a unit as joining knows it."""
    return TypeEnd(str(end), train.unit(end.unit).unit_type, end.end)


def lost_behind(found: JobAsRead) -> tuple[tuple[str, frozenset[str]], ...]:
    """Vehicles lost together when the pipe ends at a joint: all behind it, seen from the cab that controls."""
    train, front = found.leaves, found.ends["controls_afterwards"]
    units = train.units if train.units[0].name == front.unit else train.units[::-1]
    groups = []
    for number in range(1, len(units)):
        behind = units[number:]
        names = frozenset(unit.vehicle_name(suffix) for unit in behind for suffix in unit.vehicle_suffixes)
        groups.append((f"all brakes behind {units[number - 1].name} (cock shut there)", names))
    return tuple(groups)
