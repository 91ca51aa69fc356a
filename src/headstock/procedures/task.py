"""What the order of work of one job rests on, gathered: the train, the place, the rules, who does what, what holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from headstock.base.errors import Fault, InputError
from headstock.base.quantities import spoken_length
from headstock.devices.adapter import Adapter
from headstock.devices.kind import At, Making
from headstock.devices.scene import AIR_THROUGH, GAP
from headstock.devices.screw_coupling import Screw
from headstock.formation.join_way import type_end
from headstock.formation.joinability import Way, can_be_joined
from headstock.formation.place import Place
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod
from headstock.procedures.couple_found import CoupleFound
from headstock.procedures.rescue import Rescue
from headstock.procedures.rescued import Rescued
from headstock.reasoning.variable import Fact

OPENED_WITH = ("drawn", "empty")
"""How the pipes of the moving and the standing portion stand when the order of work opens the joint's cocks."""


@dataclass(frozen=True, slots=True)
class HoldFacts:
    """The hand and parking brakes that hold a portion with the rules' margin, by variable key; worked out elsewhere."""

    portion: str
    brakes: tuple[str, ...]


@dataclass(frozen=True)
class AttachTask:
    """One attaching job."""

    train: Train
    place: Place
    rules: LocalRules
    method: BrakeTestMethod
    crew: Mapping[str, str]
    moving_first: bool
    driven_from: UnitEnd
    controls: UnitEnd
    leaves_from: UnitEnd
    way: Way
    family: str
    screw: Screw | None
    holds: Mapping[str, HoldFacts]
    boards_placed_by: Mapping[str, str]
    as_found: Mapping[str, str]
    work: Literal["attach", "detach", "rescue"] = "attach"
    rescue: Rescue | None = None
    rescued: Rescued | None = None
    """How a train stands that is parted after a rescue joined it."""
    adapter: Adapter | None = None
    opening_kept: frozenset[tuple[str, str]] | None = None
    """Pipes (moving, standing) that can be joined without easing the moving portion's brake; None: nobody asked the air."""
    couple: CoupleFound | None = None
    """What is so of a couple that was found part made."""

    @cached_property
    def moving_units(self) -> tuple[TrainUnit, ...]:
        """Units of the portion that moves."""
        first, second = self.train.portions()
        return first if self.moving_first else second

    @cached_property
    def standing_units(self) -> tuple[TrainUnit, ...]:
        """Units of the portion that stands."""
        first, second = self.train.portions()
        return second if self.moving_first else first

    @cached_property
    def moving(self) -> str:
        """Name of the moving portion."""
        return "+".join(unit.name for unit in self.moving_units)

    @cached_property
    def standing(self) -> str:
        """Name of the standing portion."""
        return "+".join(unit.name for unit in self.standing_units)

    @cached_property
    def near(self) -> UnitEnd:
        """The moving portion's end at the joint."""
        joint = self.train.joint_to_make
        return joint.first if self.moving_first else joint.second

    @cached_property
    def far(self) -> UnitEnd:
        """The standing portion's end at the joint."""
        joint = self.train.joint_to_make
        return joint.second if self.moving_first else joint.first

    @cached_property
    def standing_outer(self) -> UnitEnd:
        """The standing portion's end away from the joint."""
        return self.train.outer_ends[1 if self.moving_first else 0]

    @cached_property
    def standing_cab(self) -> UnitEnd:
        """The standing portion's cab: at its outer end, or where that has none at the joint."""
        outer = self.standing_outer
        return outer if self.train.unit(outer.unit).end_spec(outer.end).has_cab else self.far

    @property
    def parts(self) -> bool:
        """Whether the job parts a train instead of making one."""
        return self.work == "detach"

    @cached_property
    def moving_outer(self) -> UnitEnd:
        """The moving portion's end away from the joint."""
        return self.train.outer_ends[0 if self.moving_first else 1]

    @cached_property
    def test_ends(self) -> tuple[UnitEnd, UnitEnd]:
        """The ends of the train that is made up, tested and leaves: after parting the portion that draws away."""
        if not self.parts:
            return self.train.outer_ends
        return (self.moving_outer, self.near) if self.moving_first else (self.near, self.moving_outer)

    @property
    def tested(self) -> tuple[str, ...]:
        """The portions that the brake test is about."""
        return (self.moving,) if self.parts else (self.moving, self.standing)

    @property
    def made_up(self) -> tuple[Fact, ...]:
        """What must be so at the joint for the test: the pipe through, or the portions apart."""
        return ((AIR_THROUGH, "no"), (GAP, "apart")) if self.parts else ((AIR_THROUGH, "yes"),)

    @cached_property
    def trails(self) -> UnitEnd:
        """The outer end at which the finished train ends."""
        first, last = self.test_ends
        return last if first == self.leaves_from else first

    @cached_property
    def rear_cab(self) -> UnitEnd:
        """The outer cab away from the controlling one, where the test is read."""
        first, last = self.test_ends
        return last if first == self.controls else first

    @property
    def opens_on_air(self) -> bool:
        """Whether the moving portion's full application may hold it while the joint's cocks are opened: the air says so."""
        return self.opening_kept is not None and OPENED_WITH in self.opening_kept

    @property
    def making(self) -> Making:
        """How the two ends are joined."""
        return self.way.name

    @cached_property
    def couplers(self) -> tuple[tuple[At, Any], tuple[At, Any]]:
        """The couplers at the joint, the moving portion's first."""
        near, far = (next(d for d in self.train.end_devices(end) if d[0].name == "coupler") for end in (self.near, self.far))
        return near, far

    @property
    def joins_air_by_the_blow(self) -> bool:
        """Whether the brake pipe is through as soon as the couplers close."""
        near, far = (spec for _, spec in self.couplers)
        return self.making == "direct" and near.kind == far.kind == "automatic coupler" and (
            "brake pipe" in near.ports and "brake pipe" in far.ports)  # fmt: skip

    @property
    def joint_cocks(self) -> tuple[str, ...]:
        """Every cock of the joint that is opened, by its key; an adapter may have one of its own."""
        own = self.adapter if self.adapter is not None and self.adapter.has_hose else None
        adapters = (own.own_cock.key(), own.cock.key()) if own is not None and own.cock is not None else ()
        return (*(at.key() for pair in self.mated for at, spec in pair if spec.kind == "end cock"), *adapters)

    @property
    def is_alone(self) -> bool:
        """Whether the driver does this job alone."""
        return self.role_for("goes_between") == self.role_for("drives")

    @cached_property
    def mated(self) -> tuple[tuple[tuple[At, Any], tuple[At, Any]], ...]:
        """Device pairs at the joint, the moving portion's first, cut to what the way of joining uses."""
        pairs = self.train.mated(self.train.joint_to_make)
        if not self.moving_first:
            pairs = tuple((there, here) for here, there in pairs)
        pairs = tuple(pair for pair in pairs if pair[0][0].name != "coupler")
        if self.couple is not None and self.couple.without_wires:
            return tuple(pair for pair in pairs if pair[0][1].kind != "electrical head")
        if self.rescue is not None or self.rescued is not None:
            return tuple(pair for pair in pairs if self._joined_in_a_rescue(pair[0][1]))
        if self.way.level in ("electro-pneumatic brake", "full multiple working") or self._declared_alike():
            return pairs
        return tuple(pair for pair in pairs if pair[0][1].kind not in ("jumper", "electrical head"))

    @property
    def wires_through(self) -> bool:
        """Whether the wires reach the other portion while the train still hangs together; not where contacts were found drawn."""
        return self.couple is None or self.couple.wires

    def _joined_in_a_rescue(self, spec: Any) -> bool:
        """No wires; main reservoir pipes only where the air says that the live ones stay high enough."""
        is_main = getattr(spec, "pipe", "") == "main reservoir pipe"
        main_joined = any(found is not None and found.main_joined for found in (self.rescue, self.rescued))
        return spec.kind not in ("jumper", "electrical head") and (main_joined or not is_main)

    def _declared_alike(self) -> bool:
        near, far = self.train.unit(self.near.unit).unit_type, self.train.unit(self.far.unit).unit_type
        return any(d.with_type == far.type for d in near.declared) or any(d.with_type == near.type for d in far.declared)

    def worked_from(self, cab: UnitEnd) -> frozenset[str]:
        """Units whose parking brakes a cab works before this joint is made: its own, and those in full multiple working."""
        found = {cab.unit}
        for _ in self.train.joints:
            for joint in self.train.joints:
                if joint.made and {joint.first.unit, joint.second.unit} & found and self._is_full(joint):
                    found |= {joint.first.unit, joint.second.unit}
        return frozenset(found)

    def _is_full(self, joint: Joint) -> bool:
        ends = [type_end(self.train, end) for end in (joint.first, joint.second)]
        return can_be_joined(ends[0], ends[1], self.rules).best.level == "full multiple working"

    def _done_alone(self) -> bool:
        one_train = self.way.level == "full multiple working"  # else he could not let the other brake off from his own cab
        if self.couple is not None and (self.couple.by_hand or self.couple.without_wires):
            return False
        return self.family in self.rules.driver_alone.value and one_train and "driver" in self.crew

    @property
    def stops_m(self) -> tuple[float, ...]:
        """Distances before the joint at which the moving portion stops [m]; none where a job parts."""
        if self.parts:
            return ()
        stops = self.rules.approach.stops_m.value.get(self.family)
        if stops is None:
            fault = Fault("no stops for this coupler", path="approach.stops_m.value", expected=self.family)
            raise InputError(fault, where=f"local rules {self.rules.name}", cure="Add the family to the approach stops.")
        return stops

    def length_words(self, length_m: float) -> str:
        """A length as people here say it, without a nought after the point."""
        return spoken_length(length_m, self.rules.length_unit).replace(".0 ", " ")

    def role_for(self, duty: str) -> str:
        """The role that has a duty: the first of the rules' list that the crew has."""
        wanted = ("driver",) if self._done_alone() else getattr(self.rules.duties, duty).value
        for role in wanted:
            if role in self.crew:
                return str(role)
        fault = Fault(f"nobody in the crew for: {duty.replace('_', ' ')}", path="crew", found=", ".join(self.crew),
                      expected=" or ".join(wanted))  # fmt: skip
        raise InputError(fault, cure="Add one of these roles to the job's crew, or change the duties in the local rules.")
