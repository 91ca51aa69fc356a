"""From job papers to the task: units found, joints set in order, cabs and deviations checked, holds worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.located import path_text
from headstock.base.nearest import nearest_of
from headstock.capability.holding import HoldingBrake, HoldingResult, PortionOnGradient, predict_holding
from headstock.capability.standing_portion import ROUNDING
from headstock.devices.kind import At
from headstock.devices.hand_brake import HandBrakeSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.scene import supply_key
from headstock.devices.screw_coupling import Screw
from headstock.equipment.library import Fleet
from headstock.equipment.unit_type import UnitType
from headstock.formation.joinability import JoinResult, TypeEnd, Way, can_be_joined
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd, unit_end_from
from headstock.formation.train_state import TrainState, as_left, layout_of, state_of
from headstock.physics.air_run import AirEngine
from headstock.procedures.cab_work import pipes_as_found, valve_key
from headstock.procedures.scene_variables import scene_as_found, scene_variables
from headstock.procedures.task import OPENED_WITH, AttachTask, HoldFacts
from headstock.reasoning.variable import Variable
from headstock.usecases.found_cautions import isolated_words
from headstock.usecases.holding_words import holding_words
from headstock.usecases.job_file import JobPapers
from headstock.usecases.joint_opening import opening_kept

PROOF_LOST = (
    "the local rules void the proof of a hold when its brakes are let off: "
    "the moving portion cannot be proved once it has come up"
)
WAY_WORDS = {"direct": "the couplers themselves", "screw": "a screw coupling", "adapter": "an adapter"}


@dataclass(frozen=True, slots=True)
class AssembledJob:
    """The task, when there is one, and what was found out on the way.

    ``refusals`` are reasons of the trade for a no; ``outside`` says what this edition does not plan.
    """

    join: JoinResult
    holding: tuple[HoldingResult, ...]
    task: AttachTask | None
    refusals: tuple[str, ...]
    outside: tuple[str, ...] = ()
    found: TrainState | None = None


def assemble(papers: JobPapers, fleet: Fleet, engine: AirEngine | None = None) -> AssembledJob:
    """Put a job together. Raises InputError for what cannot be meant; refusals of the trade are answers.

    With an air engine it is asked whether opening the joint's cocks eases the moving portion's brake; without one, no.
    """
    reader = _Reader(papers, fleet)
    train, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(train)
    joint = train.joint_to_make
    join = can_be_joined(_type_end(train, joint.first), _type_end(train, joint.second), papers.rules)
    reader.check_cabs(train, ends, moving_first)
    holding = {_name(units): _hold(papers, units) for units in train.portions()}
    outside = _outside(join, train)
    refusals = _refusals(papers, join, tuple(holding.values()), train) + _rear_refusals(papers, train, ends)
    asked = engine is not None and not refusals and not outside
    left = {**as_left(train), **papers.job.as_left}
    kept = opening_kept(train, left, moving_first, ends["moving.driven_from"], engine if asked else None)
    by_air = kept is not None and OPENED_WITH in kept
    if (asked or engine is None) and not by_air and not papers.rules.holding.proof_outlasts_release.value:
        refusals += (PROOF_LOST, *isolated_words(train, left))
    if refusals or outside:
        return AssembledJob(join, tuple(holding.values()), None, refusals, outside)
    holds = {name: HoldFacts(name, _brakes_used(papers, result, left)) for name, result in holding.items()}
    task = _task(papers, train, ends, moving_first, join, holds)
    found = {**as_left(train), **scene_as_found(task), valve_key(task, task.driven_from): "full"}
    layout = layout_of(train, scene_variables(task))
    # How things stand is the job's to say; what people have agreed, asked or tested is not.
    supplies = tuple(v for v in layout.variables if v.key in (supply_key(joint.first.unit), supply_key(joint.second.unit)))
    found.update(reader.deviations((*layout_of(train).variables, *supplies)))
    found.update(pipes_as_found(task, found))
    state = state_of(layout, found)
    task = replace(task, as_found=state.named(), opening_kept=kept)
    return AssembledJob(join, tuple(holding.values()), task, (), found=state)


def _task(papers: JobPapers, train: Train, ends: dict[str, UnitEnd], moving_first: bool, join: JoinResult,
          holds: dict[str, HoldFacts]) -> AttachTask:  # fmt: skip
    crew: dict[str, str] = {str(role): name for role, name in papers.job.crew.items()}
    return AttachTask(
        train=train, place=papers.place, rules=papers.rules, method=papers.method, crew=crew,
        moving_first=moving_first, driven_from=ends["moving.driven_from"], controls=ends["controls_afterwards"],
        leaves_from=ends["leaves_from"], way=join.best, screw=_screw(train, join.best), family=_family(train, join.best),
        holds=holds,
        boards_placed_by=dict(papers.job.boards_placed_by), as_found={},
    )  # fmt: skip


def _family(train: Train, way: Way) -> str:
    """The kind of coupler whose stops and habits count: of the first end, hook and screw where a screw joins them."""
    return "hook and screw" if way.name == "screw" else str(_type_end(train, train.joint_to_make.first).coupler.kind)


def _screw(train: Train, way: Way) -> Screw | None:
    """The screw coupling that is used: a hook's own before a loose one."""
    if way.name != "screw":
        return None
    joint = train.joint_to_make
    pairs = ((joint.first, joint.second), (joint.second, joint.first))
    for end, other in pairs:
        if _type_end(train, end).coupler.kind == "hook and screw":
            return Screw(At(end.unit, "coupler", end.end), str(end), str(other))
    for end, other in pairs:
        for gear in train.unit(end.unit).unit_type.loose_gear:
            if gear.kind == "screw coupling":
                return Screw(At(end.unit, "screw_coupling"), str(end), str(other), gear.stowed)
    return None


def _name(units: tuple[TrainUnit, ...]) -> str:
    return "+".join(unit.name for unit in units)


def _type_end(train: Train, end: UnitEnd) -> TypeEnd:
    return TypeEnd(str(end), train.unit(end.unit).unit_type, end.end)


def _hold(papers: JobPapers, units: tuple[TrainUnit, ...]) -> HoldingResult:
    """Which hand and parking brakes hold a portion here; parking brakes first, then the low end's hand brakes."""
    rules = papers.rules.holding
    low_first = papers.place.falls_towards == papers.place.directions[0]
    ordered = units if low_first else units[::-1]
    brakes = [brake for unit in ordered for brake in _parking_brakes(unit)]
    brakes += [brake for unit in ordered for brake in _hand_brakes(unit, _from_the_low_end(papers, unit))]
    return predict_holding(
        PortionOnGradient(
            name=_name(units),
            mass_kg=sum(unit.unit_type.mass_kg for unit in units),
            gradient=papers.place.slope,
            brakes=tuple(brakes),
            margin=rules.margin.value,
            adhesion=rules.adhesion.value,
            least_count=rules.least_count.value,
        )
    )


def _brakes_used(papers: JobPapers, result: HoldingResult, left: Mapping[str, str]) -> tuple[str, ...]:
    """The brakes that a portion's hold rests on, every one found on among them, so that each is seen and comes off again.

    Those found on are the whole set where they suffice; else the smallest set joins them.
    """
    force_n = {brake.key: brake.available_force_n for brake in result.available}
    found_on = tuple(key for key in force_n if left.get(key) == "on")
    counting = sum(force_n[key] > 0 for key in found_on)
    enough = sum(force_n[key] for key in found_on) >= result.needed_force_n * (1 - ROUNDING)
    if enough and counting >= papers.rules.holding.least_count.value:
        return found_on
    return tuple(dict.fromkeys((*result.smallest_set, *found_on)))


def _parking_brakes(unit: TrainUnit) -> Iterator[HoldingBrake]:
    masses_t = {vehicle.suffix: vehicle.mass_t for vehicle in unit.unit_type.vehicles}
    for name, spec in unit.unit_type.devices.items():
        if isinstance(spec, ParkingBrakeSpec):
            mass_t = spec.share_of_weight * sum(masses_t[suffix] for suffix in spec.vehicles)
            force_kn = spec.force_per_vehicle_kn * len(spec.vehicles)
            yield HoldingBrake(f"{unit.name}.{name}", unit.name, force_kn * 1e3, mass_t * 1e3)


def _hand_brakes(unit: TrainUnit, order: tuple[str, ...]) -> Iterator[HoldingBrake]:
    vehicles = {vehicle.suffix: vehicle for vehicle in unit.unit_type.vehicles}
    for suffix in order:
        where = unit.vehicle_name(suffix)
        for name, spec in vehicles[suffix].devices.items():
            if isinstance(spec, HandBrakeSpec):
                mass_kg = vehicles[suffix].mass_t * spec.share_of_weight * 1e3
                yield HoldingBrake(f"{where}.{name}", where, spec.force_kn * 1e3, mass_kg)


def _from_the_low_end(papers: JobPapers, unit: TrainUnit) -> tuple[str, ...]:
    low_is_first = papers.place.falls_towards == papers.place.directions[0]
    return unit.vehicle_suffixes if low_is_first else unit.vehicle_suffixes[::-1]


def _refusals(papers: JobPapers, join: JoinResult, holding: tuple[HoldingResult, ...], train: Train) -> tuple[str, ...]:
    """Every reason of the trade why this job cannot be planned as given."""
    found = []
    if join.answer == "no":
        found += [f"{way.name}: {reason}" for way in join.ways for reason in way.reasons]
    elif join.answer == "only if":
        found += [f"only if {condition}" for condition in join.best.conditions]
    for result in holding:
        if not result.holds:
            found += [f"{result.portion} cannot be held here: {holding_words(reason)}" for reason in result.reasons]
    if not papers.place.joining_allowed:
        found.append(f"joining is not allowed at {papers.place.name}")
    length_m = sum(unit.unit_type.length_m for unit in train.units)
    waiting_m = length_m + papers.rules.approach.waits_m.value
    if waiting_m > papers.place.usable_length_m:
        found.append(f"{papers.place.name} has {papers.place.usable_length_m:g} m, the job needs {waiting_m:.0f} m")
    return tuple(found)


def _outside(join: JoinResult, train: Train) -> tuple[str, ...]:
    """Ways of joining whose order of work is not planned here."""
    joint = train.joint_to_make
    families = list(dict.fromkeys(str(_type_end(train, end).coupler.kind) for end in (joint.first, joint.second)))
    piped = all(unit.unit_type.air_pipe("brake pipe") for unit in train.units)
    if join.answer != "yes" or (join.best.name in ("direct", "screw") and piped):
        return ()
    if not piped:
        return ("a train with a unit that has no brake pipe: its brake is tested by its wires, which is not part of this edition",)
    said = " with ".join(families)
    return (f"the order of work for joining by {WAY_WORDS[join.best.name]} ({said}) is not part of this edition",)


def _rear_refusals(papers: JobPapers, train: Train, ends: dict[str, UnitEnd]) -> tuple[str, ...]:
    """No cab to work and test the rear from, or readings that the method asks for at an end without a brake pipe gauge."""
    front = ends["controls_afterwards"]
    rear = train.outer_ends[1] if front == train.outer_ends[0] else train.outer_ends[0]
    if not train.unit(rear.unit).end_spec(rear.end).has_cab:
        return (f"no cab at {rear}, the rear of the finished train: this order works and tests a brake valve there",)
    cabs = {"front": front, "rear": rear}
    wanted = {cabs[stage.reading.at] for stage in papers.method.stages if stage.reading is not None}
    lacking = [
        end
        for end in sorted(wanted, key=str)
        if not any(spec.kind == "gauge" and spec.reads == "brake pipe" for _, spec in train.end_devices(end))
    ]
    return tuple(f"no brake pipe gauge at {end}: this method cannot be used, test another way" for end in lacking)


class _Reader:
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
        if sum(joint.make for joint in job.joints) != 1:
            self._fault("which joint is made", ("joints",), f"{sum(j.make for j in job.joints)} with make: true", "one")
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
        return Joint(first, second, not joint.make)

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
        for key in ("controls_afterwards", "leaves_from"):
            if ends[key] not in train.outer_ends:
                outer = " or ".join(str(end) for end in train.outer_ends)
                self._fault("not an outer end of the finished train", (key,), str(ends[key]), outer)
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
