"""What may never be so while portions are joined, as functions of the state alone. They hold whatever a step claims."""

from __future__ import annotations

from collections.abc import Callable

from headstock.devices.end_cock import hose_key
from headstock.devices.scene import (
    AIR_THROUGH,
    AUTHORITY,
    COUPLE,
    ELECTRIC,
    GAP,
    PULLED,
    TEST,
    pipe_key,
    proved_key,
    supply_key,
)
from headstock.procedures.brake_test_steps import open_tail_stages, tail_keys, unlocked_rear_stages
from headstock.procedures.cab_work import all_valves, valve_key
from headstock.procedures.coupling import lasting_facts
from headstock.procedures.movement import board_facts, hold_facts
from headstock.procedures.places import BETWEEN, before, cab
from headstock.procedures.scene_variables import AGREED, ROAD, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.procedures.wired_test import OFF, electric_as_found, joined_wires, wired_stages
from headstock.reasoning.constraint import Constraint, State, place_key
from headstock.reasoning.variable import Fact

FULLNESS = {"empty": 0, "drawn": 1, "charged": 2}


class AttachConstraints:
    """The constraints of one attaching job."""

    def __init__(self, task: AttachTask) -> None:
        self.task = task
        self.roles = tuple(task.crew)
        self.between = people_between(task)
        self.driver = task.role_for("drives")
        self.valves = all_valves(task)
        self.lead = valve_key(task, task.controls)
        self.driven = valve_key(task, task.driven_from)
        self.rear = valve_key(task, task.rear_cab)
        self.rear_stages = unlocked_rear_stages(task)
        self.tail, self.tail_stages = tail_keys(task), open_tail_stages(task)
        self.lasting = lasting_facts(task)
        self.end_cocks = [
            (at.key(), hose_key(at), f"{spec.pipe} cock of {at.where}")
            for at, spec in task.train.devices()
            if spec.kind == "end cock"
        ]
        self.last_stage = task.method.stages[-1].key
        self.wires, self.wired_stages, self.commands = joined_wires(task), wired_stages(task), bool(electric_as_found(task))

    def all(self) -> tuple[Constraint, ...]:
        """Every constraint, with what it forbids and how breaking it hurts."""
        crush = "A person between is crushed when the ends move."
        away = "A portion rolls away."
        brakeless = "The train runs with brakes that do not answer."
        made = (
            ("between-protected", "each person between holds a protection of their own", crush, self.unprotected),
            ("between-still", "nothing may move or be about to while somebody is between", crush, self.not_still),
            ("between-held", "nobody goes between unless both portions are held without trust in trapped air", crush,
             self.between_unheld),
            ("movement-clear", "no call to move while anybody is between or protected", crush, self.moves_on_people),
            ("portion-held", "each portion is held at every moment; trapped air counts as nothing", away, self.unheld),
            ("hold-proved", "the standing portion's hold is proved before it is relied on", away, self.unproved),
            ("one-feed", "one valve feeds at most, all others shut and locked", brakeless, self.second_feed),
            ("cocks-with-someone-between",
             "no joint cock is open with anyone between unless nothing can weaken a hold", away, self.cock_weakens),
            ("live-hose", "no cock stands open on a hose that is not joined, but the tail's while it is tested",
             "A hose whips; a brake lets go.", self.live_hose),
            ("jumper-dead", "no jumper is handled with a supply on", "Burns and shock.", self.live_jumper),
            *self._of_wires(brakeless),
            ("couple-proved", "nothing is joined across a couple that has not been pulled", "The train parts.",
             self.unproved_couple),
            ("ends-dressed", "ends touch only with heads pinned, buffers set, gangways shut", "The couple fails.",
             self.undressed),
            ("road-kept", "the road is kept for this job while anybody is between or a movement is called",
             "Another movement comes onto the road and runs into people.", self.road_lost),
            ("road-and-plan", "no call before the job is agreed, the road given, the boards off",
             "Another movement, or people at work, in the way.", self.no_road),
        )  # fmt: skip
        return tuple(Constraint(*row) for row in made)

    def _is(self, state: State, facts: tuple[Fact, ...]) -> bool:
        return all(state[key] == value for key, value in facts)

    def _inside(self, state: State) -> list[str]:
        return [role for role in self.roles if state[place_key(role)] == BETWEEN]

    def _stands_on_brakes(self, state: State, portion: str) -> bool:
        return self._is(state, hold_facts(self.task, portion))

    def _stands_proved(self, state: State, portion: str) -> bool:
        return self._stands_on_brakes(state, portion) and state[proved_key(portion)] == "proved"

    def unprotected(self, state: State) -> str | None:
        """A person between without protection."""
        for role in self._inside(state):
            if role not in self.between or state[protection_key(role)] != "given":
                return f"the {role} is between and not protected"
        return None

    def not_still(self, state: State) -> str | None:
        """A movement called, or a valve not locked, with somebody between."""
        if not self._inside(state):
            return None
        if state[AUTHORITY] != "none":
            return "the driver has been called to move"
        if self.commands and state[ELECTRIC] != OFF[1]:
            return "the electric brake is worked"
        loose = [str(end) for key, end in self.valves.items() if state[key] != "locked"]
        return f"the brake valve of {', '.join(loose)} is not locked" if loose else None

    def between_unheld(self, state: State) -> str | None:
        """The standing portion not on proved brakes, or the moving one on neither a full application in hand nor such brakes."""
        if not self._inside(state):
            return self._brake_left(state)
        standing, moving = self.task.standing, self.task.moving
        if not self._stands_proved(state, standing):
            return f"{standing} does not stand on proved hand or parking brakes"
        if state[pipe_key(moving)] == "charged":
            return f"the air brake of {moving} is off"
        return self._brake_left(state)

    def _brake_left(self, state: State) -> str | None:
        """The driver gone from the brake before the protection is given back, with nothing proved that holds instead."""
        moving, at_brake = self.task.moving, cab(self.task.driven_from)
        is_assured = any(state[protection_key(role)] == "given" for role in self.between)
        if not is_assured or state[place_key(self.driver)] == at_brake or self._stands_proved(state, moving):
            return None
        return f"the driver has left the brake of {moving}, which only air holds"

    def moves_on_people(self, state: State) -> str | None:
        """A call standing while somebody is between or protected."""
        if state[AUTHORITY] == "none":
            return None
        kept = [role for role in self.between if state[protection_key(role)] == "given"]
        found = " and the ".join(dict.fromkeys((*kept, *self._inside(state))))
        return f"called to move ({state[AUTHORITY]}) with the {found} between or protected" if found else None

    def unheld(self, state: State) -> str | None:
        """A portion that nothing holds."""
        for portion, is_moving in ((self.task.moving, True), (self.task.standing, False)):
            if not self._held(state, portion, is_moving):
                return f"{portion} is not held by brakes that suffice"
        return None

    def _held(self, state: State, portion: str, is_moving: bool) -> bool:
        if self._stands_on_brakes(state, portion):
            return True
        driver_at = state[place_key(self.driver)]
        if state[AIR_THROUGH] == "yes":
            if is_moving and self._kept_by_air(state) and driver_at == cab(self.task.driven_from):
                return True
            tested = state[TEST] == self.last_stage and state[COUPLE] == "locked"
            applied = state[self.lead] == "full" and state[pipe_key(portion)] == "drawn"
            return tested and applied and driver_at == cab(self.task.controls)
        drawn = state[pipe_key(portion)] in ("drawn", "empty")
        return is_moving and drawn and driver_at == cab(self.task.driven_from)

    def _kept_by_air(self, state: State) -> bool:
        """A full application that joining the pipes did not ease, every valve locked or at full, nothing charged since."""
        drawn = state[pipe_key(self.task.moving)] == "drawn" and state[TEST] == "none"
        return self.task.opens_on_air and drawn and all(state[key] in ("locked", "full") for key in self.valves)

    def unproved(self, state: State) -> str | None:
        """Calls or entries on a hold that was not proved."""
        standing = self.task.standing
        relied_on = state[AUTHORITY] != "none" or state[GAP] != "apart"
        return f"{standing} relies on an unproved hold" if relied_on and state[proved_key(standing)] != "proved" else None

    def second_feed(self, state: State) -> str | None:
        """More than one feeding valve in one pipe, or a second valve unlocked outside its stage."""
        if state[AIR_THROUGH] != "yes":
            return None
        for key, end in self.valves.items():
            if key == self.lead or state[key] == "locked" or (key == self.driven and self._just_joined(state)):
                continue
            in_stage = key == self.rear and state[TEST] in self.rear_stages and state[key] != "running"
            if not in_stage or state[self.lead] == "running":
                return f"the brake valve of {end} stands at {state[key]}"
        return None

    def _just_joined(self, state: State) -> bool:
        """Pipes joined by the blow, the driver's valve still at the full application with which he came up."""
        return self.task.joins_air_by_the_blow and state[TEST] == "none" and state[self.driven] == "full"

    def cock_weakens(self, state: State) -> str | None:
        """An open cock at the joint, somebody between, and a hold that equalising could weaken."""
        if not self._inside(state) or state[AIR_THROUGH] == "yes":
            return None
        if all(state[key] == "shut" for key in self.task.joint_cocks):
            return None
        moving, standing = (state[pipe_key(portion)] for portion in (self.task.moving, self.task.standing))
        by_air = self.task.opening_kept is not None and (moving, standing) in self.task.opening_kept
        for portion in (self.task.standing,) if by_air else (self.task.moving, self.task.standing):
            if not self._stands_proved(state, portion):
                return f"{portion} does not stand on proved hand or parking brakes alone"
        if not by_air and FULLNESS[standing] > FULLNESS[moving]:
            return f"the pipe of {self.task.standing} is higher than that of {self.task.moving}"
        loose = [str(end) for key, end in self.valves.items() if state[key] != "locked"]
        return f"the brake valve of {', '.join(loose)} is not locked" if loose else None

    def live_hose(self, state: State) -> str | None:
        """An open cock whose hose hangs or sits on its dummy; but the tail's, held, in the stage that opens it."""
        tail = self.tail[0] if self.tail is not None and self._is_held(self.tail[1], state) else ""
        for cock, hose, named in self.end_cocks:
            if state[cock] == "open" and state[hose] != "joined" and cock != tail:
                return f"the {named} is open and its hose is not joined"
        return None

    def _is_held(self, hose: str, state: State) -> bool:
        """Whether the tail's hose hangs in a stage that opens it, and whoever opened it is there to hold it."""
        is_open = state[TEST] in self.tail_stages and state[hose] == "hanging"
        return is_open and state[place_key(self.task.role_for("reads_rear"))] == before(self.task.rear_cab)

    def live_jumper(self, state: State) -> str | None:
        """A jumper out of its dummy and not latched while a supply is on."""
        on = [end.unit for end in (self.task.near, self.task.far) if state[supply_key(end.unit)] == "on"]
        for near, far in self.task.mated:
            if near[1].kind == "jumper" and state[far[0].key()] in ("hanging", "entered") and on:
                return f"the supply of {' and '.join(on)} is on"
        return None

    def _of_wires(self, hurts: str) -> tuple[tuple[str, str, str, Callable[[State], str | None]], ...]:
        """What holds of a test by wires alone; orders without one are judged without it."""
        if not self.wired_stages:
            return ()
        return (("wires-whole", "no wire is parted from its test on", hurts, self.wires_parted),)

    def wires_parted(self, state: State) -> str | None:
        """A jumper or electrical head of the joint parted while wires are tested, or after."""
        if state[TEST] not in self.wired_stages:
            return None
        parted = [key for key, value in self.wires if state[key] != value]
        return f"tested by wires that are parted: {', '.join(parted)}" if parted else None

    def unproved_couple(self, state: State) -> str | None:
        """A hose or jumper joined, or air let through, before the pull."""
        if state[PULLED] == "held" and state[COUPLE] == "locked":
            return None
        joined = [at for pair in self.task.mated for at, spec in pair if spec.kind == "hose" and state[at.key()] == "joined"]
        return f"the hose of {joined[0].where} is joined" if joined else None

    def undressed(self, state: State) -> str | None:
        """Ends that touch without what must be so first."""
        if state[GAP] != "touching":
            return None
        wrong = [key for key, value in self.lasting if state[key] != value]
        return f"not as it must be: {', '.join(wrong)}" if wrong else None

    def road_lost(self, state: State) -> str | None:
        """The road not given, or given back, with somebody between."""
        if state[ROAD] == "given" or not self._inside(state):
            return None
        return f"the {self._inside(state)[0]} is between and the road may be used by another movement"

    def no_road(self, state: State) -> str | None:
        """A call before plan, road or boards."""
        if state[AUTHORITY] == "none":
            return None
        if state[AGREED] != "yes" or state[ROAD] != "given":
            return "the job is not agreed or the road not given"
        return None if self._is(state, board_facts(self.task)) else "a board is still on"
