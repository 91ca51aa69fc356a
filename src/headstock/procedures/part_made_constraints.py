"""What may never be so on the way from a part-made couple, as functions of the state alone."""

from __future__ import annotations

from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, PULLED, SLACK, TEST
from headstock.procedures.couple_found import (
    ICE,
    RELEASE_AIR,
    SIDE,
    TRIES,
    CoupleFound,
    handle_key,
    heads_of,
    loops_key,
    ports_key,
)
from headstock.procedures.places import BETWEEN
from headstock.procedures.scene_variables import TESTED_HOLD
from headstock.procedures.task import AttachTask
from headstock.reasoning.constraint import Constraint, State, place_key

TEARS, PARTS, BRAKELESS = "Heads and hoses tear.", "The train parts.", "The train runs with brakes that do not answer."


def part_made_constraints(task: AttachTask) -> tuple[Constraint, ...]:
    """Those of joining or of parting; none where the couple was not found part made."""
    if task.couple is None:
        return ()
    made = PartMade(task, task.couple)
    return made.parting() if task.parts else made.joining()


class PartMade:
    """The constraints of one job with a part-made couple."""

    def __init__(self, task: AttachTask, couple: CoupleFound) -> None:
        self.task, self.couple = task, couple
        self.ends = (task.near, task.far)
        self.heads = tuple(at for at, _ in heads_of(task))
        self.uses_heads = any(pair[0][1].kind == "electrical head" for pair in task.mated)

    def _both(self) -> tuple[Constraint, ...]:
        return (
            Constraint("tries-kept", "no more tries than the local rules allow", "Damage grows with each try.", self.tried),
            Constraint("not-dragged", "nothing is called to draw away while the latch holds", TEARS, self.dragged),
            Constraint("heads-drawn", "no electrical head is out while the faces part", TEARS, self.heads_out),
        )

    def joining(self) -> tuple[Constraint, ...]:
        """For a couple that was being joined."""
        return (
            *self._both(),
            Constraint("pull-before-test", "no test over a couple that was not pulled after its last try", PARTS, self.unpulled),
            Constraint("lamp-is-no-brake", "no test and no running while the pipe is not through, whatever the lamp says",
                       BRAKELESS, self.on_the_lamp),
            Constraint("ports-cleared", "no new try on ports that nobody cleared", BRAKELESS, self.ports),
            Constraint("loops-ended", "loops end in each portion where the heads are not joined",
                       "Loops look whole and supervise nothing.", self.loops),
        )  # fmt: skip

    def parting(self) -> tuple[Constraint, ...]:
        """For a release that failed."""
        hand = "A hand is caught in the latch."
        return (
            *self._both(),
            Constraint("no-hand-under-tension", "no hand on the release while the couple is stretched", hand, self.tension),
            Constraint(
                "safe-side",
                "the handle is worked from the working side of the place",
                "A train on the next road, or the live rail.",
                self.wrong_side,
            ),
            Constraint("hand-protected", "the handle is worked by a protected person alone", hand, self.reaching),
            Constraint("handle-home", "no test and no movement off with a release handle out", PARTS, self.handle_out),
            Constraint("latch-let-go", "a latch lets go by the button only with air for it and without ice", TEARS, self.forced),
        )

    def tried(self, state: State) -> str | None:
        """More tries than allowed."""
        most = max(self.couple.tries_allowed, self.couple.tries)
        return f"{state[TRIES]} tries, {self.couple.tries_allowed} allowed" if int(state[TRIES]) > most else None

    def dragged(self, state: State) -> str | None:
        """Called to draw away, or apart, with the couple made."""
        away = state[AUTHORITY] == "draw away" or state[GAP] == "apart"
        return "the latch still holds" if away and state[COUPLE] == "locked" else None

    def heads_out(self, state: State) -> str | None:
        """Ends not touching, a head not back."""
        out = [at.where for at in self.heads if state[at.key()] == "mated"]
        return f"the electrical head of {out[0]} is out" if out and state[GAP] != "touching" else None

    def unpulled(self, state: State) -> str | None:
        """Tested, contacts joined or running over a couple that was not pulled."""
        return "the couple was not pulled" if state[TEST] != "none" and state[PULLED] != "held" else None

    def on_the_lamp(self, state: State) -> str | None:
        """Tested or running with no pipe through."""
        runs = state[TEST] != "none" or state[TESTED_HOLD] == "yes"
        return "the brake pipe is not through the joint" if runs and state[AIR_THROUGH] == "no" else None

    def ports(self, state: State) -> str | None:
        """A new try with ports in doubt."""
        if int(state[TRIES]) <= self.couple.tries:
            return None
        wrong = [str(end) for end in self.ends if state[ports_key(end)] != "clear"]
        return f"nobody cleared the ports of {wrong[0]}" if wrong else None

    def loops(self, state: State) -> str | None:
        """Running with heads apart and loops not ended."""
        if state[TESTED_HOLD] != "yes" or self.uses_heads or not self.couple.without_wires:
            return None
        open_ends = [str(end) for end in self.ends if state[loops_key(end)] != "ended"]
        return f"the loops of {open_ends[0]} are not ended" if open_ends else None

    def tension(self, state: State) -> str | None:
        """A handle pulled while the couple is stretched."""
        pulled = [str(end) for end in self.ends if state[handle_key(end)] == "pulled"]
        if pulled and state[SLACK] == "stretched" and state[GAP] == "touching":
            return f"the handle of {pulled[0]} is pulled on a stretched couple"
        return None

    def wrong_side(self, state: State) -> str | None:
        """Somebody at the handle on the other side."""
        side = self.task.place.working_side
        return f"somebody stands on the side away from {side}" if state[SIDE] not in ("not there", side) else None

    def reaching(self, state: State) -> str | None:
        """Somebody at the handle who is not between in the way that protects."""
        person = self.task.role_for("goes_between")
        if state[SIDE] != "not there" and state[place_key(person)] != BETWEEN:
            return f"somebody else than the protected {person} is at the handle"
        return None

    def handle_out(self, state: State) -> str | None:
        """Tested or running with a handle still out."""
        out = [str(end) for end in self.ends if state[handle_key(end)] == "pulled"]
        return f"the release handle of {out[0]} is not back" if out and state[TEST] != "none" else None

    def forced(self, state: State) -> str | None:
        """Uncoupled without air or through ice, no handle pulled."""
        if state[COUPLE] == "locked" or not self.couple.locked:
            return None
        if state[ICE] == "frozen":
            return "ice holds the latch"
        by_hand = any(state[handle_key(end)] == "pulled" for end in self.ends) or self.couple.by_hand
        return "the main reservoir is too low" if state[RELEASE_AIR] == "too low" and not by_hand else None
