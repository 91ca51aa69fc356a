"""What may never be so while a train is parted, as functions of the state alone."""

from __future__ import annotations

from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, TEST, pipe_key
from headstock.procedures.cab_work import valve_key
from headstock.procedures.constraints import AttachConstraints
from headstock.procedures.places import cab
from headstock.reasoning.constraint import Constraint, State, place_key


class DetachConstraints(AttachConstraints):
    """The constraints of one parting job; those about people, calls and valves are those of every job."""

    def all(self) -> tuple[Constraint, ...]:
        """Every constraint, with what it forbids and how breaking it hurts."""
        kept = {"between-protected", "between-still", "between-held", "movement-clear", "portion-held", "hold-proved", "one-feed",
                "live-hose", "jumper-dead", "road-kept", "road-and-plan"}  # fmt: skip
        made = (
            Constraint("trapped-air", "no cock is shut on a pipe with air in it: it would hold nothing, and can let go",
                       "A portion rolls away.", self.trapped),
            Constraint("drawn-apart", "nothing is joined any more when the ends come apart", "Hoses and cables tear.", self.torn),
        )  # fmt: skip
        return (*(constraint for constraint in super().all() if constraint.key in kept), *made)

    def _held(self, state: State, portion: str, is_moving: bool) -> bool:
        """On its own brakes, or hanging on the standing portion's, or on an application in hand that reaches it."""
        if self._stands_on_brakes(state, portion):
            return True
        at_brake = state[place_key(self.driver)] == cab(self.task.driven_from)
        drawn = state[pipe_key(portion)] in ("drawn", "empty")
        if is_moving:
            hangs = state[COUPLE] == "locked" and self._stands_on_brakes(state, self.task.standing)
            led = state[TEST] == self.last_stage and state[self.lead] == "full" and (
                state[place_key(self.driver)] == cab(self.task.controls))  # fmt: skip
            return hangs or (drawn and (at_brake or led))
        return drawn and at_brake and state[AIR_THROUGH] == "yes" and state[COUPLE] == "locked"

    def _brake_left(self, state: State) -> str | None:
        """The driver gone while somebody is protected and the leaving portion hangs on nothing proved."""
        hangs = state[COUPLE] == "locked" and self._stands_proved(state, self.task.standing)
        return None if hangs else super()._brake_left(state)

    def second_feed(self, state: State) -> str | None:
        """Any valve but the driver's unlocked while the pipe is one."""
        if state[AIR_THROUGH] != "yes":
            return None
        own = valve_key(self.task, self.task.driven_from)
        loose = [str(end) for key, end in self.valves.items() if key != own and state[key] != "locked"]
        return f"the brake valve of {loose[0]} is not locked" if loose else None

    def unproved(self, state: State) -> str | None:
        """A call standing, or somebody between, with the standing portion's hold not proved."""
        if state[AUTHORITY] == "none" and not self._inside(state):
            return None
        standing = self.task.standing
        return None if self._stands_proved(state, standing) else f"the hold of {standing} is not proved"

    def trapped(self, state: State) -> str | None:
        """The standing portion's pipe shut off with air in it."""
        standing, couple = self.task.standing, self.task.couple
        if couple is not None and couple.air and not couple.locked:
            return None  # found so: ports open over a latch that is back; what stays is let out from its own cab
        if state[AIR_THROUGH] == "no" and state[pipe_key(standing)] != "empty":
            return f"air is trapped in the brake pipe of {standing}"
        return None

    def torn(self, state: State) -> str | None:
        """Ends apart with something joined, or with the couple made."""
        if state[GAP] != "apart":
            return None
        joined = [at.where for pair in self.task.mated for at, spec in pair
                  if state[at.key()] in ("joined", "latched", "entered", "mated")]  # fmt: skip
        if joined:
            return f"something is still joined at {joined[0]}"
        if self.task.screw is not None and state[self.task.screw.key] in ("over the hook", "tight"):
            return f"the screw coupling is still over the hook of {self.task.screw.goes_over}"
        return "the couple is still made" if state[COUPLE] == "locked" else None
