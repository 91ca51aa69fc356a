"""How everything must stand when a job is broken off: worked out from the devices, the rules and how it stands now."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from headstock.devices.registry import kind_of
from headstock.devices.scene import AUTHORITY, COUPLE, GAP, proved_key
from headstock.formation.train import UnitEnd
from headstock.local_rules.broken_off import UNSAID, BrokenOff
from headstock.procedures.brake_test_steps import tail_keys
from headstock.procedures.build import dresser
from headstock.procedures.cab_work import all_valves
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import BETWEEN
from headstock.procedures.scene_variables import AGREED, KEY, ROAD, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.wired_test import OFF
from headstock.reasoning.point import Point
from headstock.reasoning.variable import Fact

BROKEN_OFF, STANDS = "broken_off", "stands_as_left"


@dataclass(frozen=True)
class SafeState:
    """The safe state to reach from a point of a job."""

    task: AttachTask
    point: Point

    @cached_property
    def between(self) -> str:
        """The role that goes between."""
        return self.task.role_for("goes_between")

    @property
    def free(self) -> Fact:
        """Nobody protected."""
        return protection_key(self.between), "none"

    @property
    def touching(self) -> bool:
        """Whether the ends touch."""
        return self.point.state[GAP] == "touching"

    @property
    def rules(self) -> BrokenOff:
        """What the local rules ask for, or what is taken where they are silent."""
        return self.task.rules.broken_off or UNSAID

    def is_so(self, facts: tuple[Fact, ...]) -> bool:
        """Whether all this is so at the point."""
        return all(self.point.state[key] == value for key, value in facts)

    @cached_property
    def hangs(self) -> bool:
        """Parting: the couple still made, and the brakes of what stays proved for the whole train."""
        standing = self.task.standing
        made = ((COUPLE, "locked"), (proved_key(standing), "proved"), *hold_facts(self.task, standing))
        return self.task.parts and self.is_so(made)

    @cached_property
    def brakes(self) -> dict[str, tuple[Fact, ...]]:
        """For each portion the hand and parking brakes that must be on; a made couple alone counts only where it was proved."""
        standing, moving = self.task.standing, self.task.moving
        held = {standing: hold_facts(self.task, standing)}
        return held if self.hangs else {moving: hold_facts(self.task, moving), **held}

    @property
    def all_brakes(self) -> tuple[Fact, ...]:
        """These of both portions."""
        return tuple(fact for facts in self.brakes.values() for fact in facts)

    @cached_property
    def proofs(self) -> tuple[Fact, ...]:
        """What must have been watched: each portion where it stands alone, both as they stand where the ends touch."""
        moving, standing = ((proved_key(portion), "proved") for portion in (self.task.moving, self.task.standing))
        if self.hangs:
            return (standing,)
        if not self.touching:
            return moving, standing
        lasting = self.task.rules.holding.proof_outlasts_release.value or self.is_so(self.all_brakes)
        if self.is_so((moving, standing)) and lasting and not self.task.parts:
            return moving, standing
        return ((STANDS, "seen"),)

    @property
    def nobody_in(self) -> tuple[Fact, ...]:
        """No call, nobody between, no protection, the key where it belongs."""
        return (AUTHORITY, "none"), self.free, (KEY, "with the driver")

    @cached_property
    def tail_shut(self) -> tuple[Fact, ...]:
        """A tail that the test has open is shut and its hose put back, by whoever holds it; nothing where none hangs open.

        Before a parting the rear of the test is still the joint: an open cock on a joined hose is no tail.
        """
        keys = tail_keys(self.task)
        if keys is None or not self.is_so(((keys[0], "open"), (keys[1], "hanging"))):
            return ()
        return (keys[0], "shut"), (keys[1], "on its dummy")

    @cached_property
    def electric_off(self) -> tuple[Fact, ...]:
        """A brake that the test has on by wires is put off again from the leading cab; nothing where none is commanded."""
        return (OFF,) if self.point.state.get(OFF[0], OFF[1]) != OFF[1] else ()

    @cached_property
    def left_at_joint(self) -> tuple[Fact, ...]:
        """What whoever is between leaves behind in order; nobody goes in anew for it. And an open tail, a brake on by wires."""
        task, facts = self.task, [*self.tail_shut, *self.electric_off]
        if task.screw is not None and task.screw.stowage and self.point.state[task.screw.key] == "carried":
            facts.append((task.screw.key, "stowed"))
        if self.point.people[self.between] != BETWEEN:
            return tuple(facts)
        for end in (task.near, task.far):
            for at, spec in task.train.end_devices(end):
                facts += kind_of(spec).left_safe(at, spec, self.point.state)
        return tuple(fact for fact in facts if not self.is_so((fact,)))

    @cached_property
    def boards(self) -> dict[str, Fact]:
        """One board a portion where the rules ask for it and a unit has a bracket: fact by portion."""
        portions = {"each portion": (self.task.moving, self.task.standing), "standing portion": (self.task.standing,)}
        found = {}
        for portion in portions.get(self.rules.boards_on.value, ()):
            units = [unit.name for unit in (self.task.moving_units if portion == self.task.moving else self.task.standing_units)]
            wanted = self.task.driven_from.unit if portion == self.task.moving else self.task.standing_cab.unit
            brackets = [at for at, spec in self.task.train.devices() if spec.kind == "board" and at.unit in units]
            placed = [at for at in brackets if self.point.state[at.key()] == "placed"]
            at = next(iter((*placed, *(at for at in brackets if at.unit == wanted), *brackets)), None)
            if at is not None:
                found[portion] = (at.key(), "placed")
        return found

    @property
    def seen_ends(self) -> tuple[UnitEnd, ...]:
        """Ends at which lamps are seen to: outer ones; those of the joint only once a train is parted and drawn apart."""
        apart = self.task.parts and self.point.state[GAP] == "apart"
        inner = (self.task.near, self.task.far) if apart else ()
        return tuple(dict.fromkeys((*self.task.train.outer_ends, *inner)))

    @property
    def lamp_ends(self) -> tuple[UnitEnd, ...]:
        """Ends whose lamps may need a hand: those that are seen, and those of the joint, of which one may be carried."""
        return tuple(dict.fromkeys((*self.seen_ends, self.task.near, self.task.far)))

    def lamp_role(self, end: UnitEnd) -> str:
        """Who sees to the lamps of an end; one of the joint that is carried is in the hands of whoever goes between."""
        return dresser(self.task, end) if end in self.seen_ends else self.between

    @cached_property
    def lamps(self) -> tuple[Fact, ...]:
        """What a portion shows that is left standing, by the local rules; no lamp is left in anybody's hands."""
        shows, facts = self.task.rules.standing_shows.value, []
        for end in self.lamp_ends:
            for at, spec in self.task.train.end_devices(end):
                seen = end in self.seen_ends
                if spec.kind == "lamp" and (seen or self.point.state[at.key()] == "carried"):
                    facts.append((at.key(), "lit" if seen and spec.shows == shows else "off"))
        return tuple(facts)

    @cached_property
    def held(self) -> tuple[Fact, ...]:
        """All that must be so before anybody is told that it is."""
        valves = tuple((key, "locked") for key in all_valves(self.task))
        found = (
            *self.nobody_in,
            *self.left_at_joint,
            *self.all_brakes,
            *self.proofs,
            *valves,
            *self.boards.values(),
            *self.lamps,
        )
        return tuple(dict.fromkeys(found))

    @property
    def all(self) -> tuple[Fact, ...]:
        """The whole safe state."""
        return (*self.held, (BROKEN_OFF, "told"), (AGREED, "no"), (ROAD, "not given"))

    @property
    def known(self) -> tuple[tuple[str, Fact], ...]:
        """What whoever is in charge must know before saying that all is left safe."""
        charge = self.task.role_for("in_charge")
        return tuple((charge, fact) for fact in (self.free, *self.all_brakes, *self.proofs))
