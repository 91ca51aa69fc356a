"""The parts of a job that name one another: units, joints, ends, cabs, deviations; every fault with its line."""

from __future__ import annotations

from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.located import path_text
from headstock.base.nearest import nearest_of
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.equipment.library import Fleet
from headstock.equipment.unit_type import UnitType
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd, unit_end_from
from headstock.reasoning.variable import Variable
from headstock.usecases.job_file import JobJoint, JobPapers


class JobReader:
    """Reads the parts of a job that name one another; gathers faults with their lines."""

    def __init__(self, papers: JobPapers, fleet: Fleet) -> None:
        self.papers, self.job, self.document = papers, papers.job, papers.document
        self.faults: list[Fault] = []
        self.types: dict[str, UnitType] = {}
        for number, unit in enumerate(self.job.units):
            if unit.name in self.types:
                self._fault("unit named twice", ("units", number, "name"), unit.name, "each unit once")
            try:
                self.types[unit.name] = fleet.find(unit.type)
            except InputError as error:
                self._fault("unknown unit type", ("units", number, "type"), unit.type, ", ".join(fleet.types),
                            error.faults[0].nearest)  # fmt: skip
        self._raise_if_any()

    def _fault(self, what: str, path: tuple[str | int, ...], found: str, expected: str, nearest: str | None = None) -> None:
        line = self.document.line_of(path)
        self.faults.append(Fault(what, self.document.name, line, path_text(path), found, expected, nearest))

    def _raise_if_any(self) -> None:
        if self.faults:
            raise ContentError(self.faults)

    def _end(self, text: str, path: tuple[str | int, ...]) -> UnitEnd | None:
        try:
            return unit_end_from(text, self.types, "", self.document.name)
        except InputError as error:
            fault = error.faults[0]
            self._fault(fault.what, path, text, fault.expected or "", fault.nearest)
            return None

    def train(self) -> Train:
        """Units in order with their directions, joints between neighbours."""
        job = self.job
        if len(job.units) < 2:
            self._fault("a train of one unit has nothing to join", ("units",), f"{len(job.units)} unit", "2 or more")
        if len(job.joints) != len(job.units) - 1 and len(job.units) > 1:
            self._fault("joints do not fit the units", ("joints",), f"{len(job.joints)} joints for {len(job.units)} units",
                        "one joint between each two neighbours, in order")  # fmt: skip
        word = "part" if job.work == "detach" else "make"
        wrong = sum(joint.make for joint in job.joints) if word == "part" else sum(joint.part for joint in job.joints)
        marked = sum(self._is_worked(joint) for joint in job.joints)
        if marked != 1 or wrong:
            found = f"{marked} with {word}: true" + (f", {wrong} with the other word" if wrong else "")
            self._fault(f"which joint the job works on ({job.work})", ("joints",), found, f"one with {word}: true")
        joints = [self._joint(number) for number in range(len(job.joints))]
        self._raise_if_any()
        made = [joint for joint in joints if joint is not None]
        units = []
        for number, unit in enumerate(job.units):
            first = made[0].first.other.end if number == 0 else made[number - 1].second.end
            units.append(TrainUnit(unit.name, self.types[unit.name], first))
            if 0 < number < len(made) and made[number].first.end == first:
                self._fault("one end is joined twice", ("joints", number), str(made[number].first), "the unit's other end")
        self._raise_if_any()
        return Train(tuple(units), tuple(made))

    def _is_worked(self, joint: JobJoint) -> bool:
        return joint.part if self.job.work == "detach" else joint.make

    def _joint(self, number: int) -> Joint | None:
        joint = self.job.joints[number]
        ends = [self._end(text, ("joints", number, "ends", side)) for side, text in enumerate(joint.ends)]
        first, second = ends
        if first is None or second is None:
            return None
        if first.unit == second.unit:
            self._fault("a unit cannot be joined to itself", ("joints", number), f"{first} and {second}", "two units")
            return None
        names = [unit.name for unit in self.job.units]
        wanted = tuple(names[number : number + 2])
        if (first.unit, second.unit) != wanted:
            self._fault("joints must follow the units in order (a train is a line, not a ring)", ("joints", number),
                        f"{first.unit} with {second.unit}", " with ".join(wanted) or "no joint")  # fmt: skip
            return None
        return Joint(first, second, not self._is_worked(joint))

    def ends(self) -> dict[str, UnitEnd]:
        """The ends that the job names outside its joints."""
        named = {"moving.driven_from": self.job.moving.driven_from,
                 "controls_afterwards": self.job.controls_afterwards, "leaves_from": self.job.leaves_from}  # fmt: skip
        found = {key: self._end(text, tuple(key.split("."))) for key, text in named.items()}
        self._raise_if_any()
        return {key: end for key, end in found.items() if end is not None}

    def moving_first(self, train: Train) -> bool:
        """Whether the portion towards the place's first direction is the one that moves."""
        first, second = ({unit.name for unit in units} for units in train.portions())
        moving = set(self.job.moving.units)
        if moving not in (first, second):
            self._fault("the moving portion is not one side of the joint", ("moving", "units"), ", ".join(sorted(moving)),
                        f"{', '.join(sorted(first))} or {', '.join(sorted(second))}")  # fmt: skip
            self._raise_if_any()
        return moving == first

    def check_cabs(self, train: Train, ends: dict[str, UnitEnd], moving_first: bool) -> None:
        """Cabs must exist, be on the right portion, and be at an outer end where the job leaves."""
        outer = self._leaving_ends(train, moving_first)
        for key in ("controls_afterwards", "leaves_from"):
            if ends[key] not in outer:
                said = " or ".join(str(end) for end in outer)
                self._fault("not an outer end of the train that leaves", (key,), str(ends[key]), said)
        for key, end in ends.items():
            if not train.unit(end.unit).end_spec(end.end).has_cab:
                self._fault("no cab at this end", tuple(key.split(".")), str(end), "an end with a cab")
        moving = {unit.name for unit in train.portions()[0 if moving_first else 1]}
        if ends["moving.driven_from"].unit not in moving:
            self._fault("driven from a cab of the other portion", ("moving", "driven_from"),
                        str(ends["moving.driven_from"]), "a cab of the moving portion")  # fmt: skip
        for name in self.job.boards_placed_by:
            if name not in self.types:
                self._fault("unknown unit", ("boards_placed_by", name), name, ", ".join(self.types))
        self._raise_if_any()

    def check_dead(self, train: Train, moving_first: bool) -> None:
        """In a rescue every compressor of the portion that stands is dead, and none of the one that comes."""
        moving, standing = train.portions() if moving_first else train.portions()[::-1]
        for unit in (*moving, *standing):
            names = [name for name, spec in unit.unit_type.devices.items() if isinstance(spec, MainReservoirSpec)]
            key = f"{unit.name}.{names[0]}" if names else ""
            is_dead = self.job.as_left.get(key) == "dead"
            if key and is_dead != (unit in standing):
                what = "the portion that comes to a rescue has a dead compressor" if is_dead else "nothing says that it is dead"
                found, wanted = self.job.as_left.get(key, "working"), "working" if is_dead else "dead"
                self._fault(what, ("as_left",), found, f"{key}: {wanted}")
        self._raise_if_any()

    def check_rescued(self, train: Train, moving_first: bool) -> None:
        """Parting after a rescue: a detaching job, no couple found part made, springs of vehicles that were fetched."""
        asked, path = self.job.joined_by_a_rescue, "joined_by_a_rescue"
        if asked is None:
            return
        if self.job.work != "detach":
            self._fault("a train that a rescue joined is parted", (path,), self.job.work, "work: detach")
        if self.job.couple_as_found is not None:
            self._fault("a couple found part made after a rescue", ("couple_as_found",), "couple_as_found", f"{path} alone")
        standing = train.portions()[1 if moving_first else 0]
        sprung = [unit.vehicle_name(suffix) for unit in standing for spec in unit.unit_type.devices.values()
                  if isinstance(spec, ParkingBrakeSpec) for suffix in spec.vehicles]  # fmt: skip
        for number, name in enumerate(asked.springs_by_hand):
            if name not in sprung:
                said = ", ".join(sprung) or "no vehicle of it has springs"
                self._fault(
                    "no springs to release on the portion that was fetched", (path, "springs_by_hand", number), name, said
                )
        self._raise_if_any()

    def _leaving_ends(self, train: Train, moving_first: bool) -> tuple[UnitEnd, UnitEnd]:
        """The ends of the train that leaves: all of it, or after parting the portion that draws away."""
        if self.job.work != "detach":
            return train.outer_ends
        joint = train.joint_to_make
        return (train.outer_ends[0], joint.first) if moving_first else (joint.second, train.outer_ends[1])

    def deviations(self, variables: tuple[Variable, ...]) -> dict[str, str]:
        """What the job says stands otherwise than the types' as-left states."""
        domains = {variable.key: variable.domain for variable in variables}
        for key, value in self.job.as_left.items():
            path = ("as_left", key)
            if key not in domains:
                self._fault("nothing of that name in this train", path, key, "a device of one of the units",
                            nearest_of(key, domains))  # fmt: skip
            elif value not in domains[key]:
                self._fault("not a state of this", path, value, " or ".join(domains[key]), nearest_of(value, domains[key]))
        self._raise_if_any()
        return dict(self.job.as_left)
