"""Orders from a part-made couple known to be bad: what is done wrong, the rule that must name it, the reason by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from headstock.procedures.couple_found import SIDE, TRIES
from headstock.reasoning.step import Step
from tests.cases.bad_orders import Edit, Order, leave_out, move, slip_in
from tests.cases.part_made import BY_HAND, LOW_AIR, NO_WIRES, Found

PORTS, PRESSED = Found("attach", "101"), Found("attach", "011")
THIRD = Step(key="couple once more", role="driver", place="cab 611/2", effects=((TRIES, "3"),))
LEAVES = Step(key="see to the outer end", role="driver", place="before 611/1")
REACHES = Step(key="reach for the handle", role="shunter", place="joint", effects=((SIDE, "east"),))


def only(*phases: str) -> Edit:
    """The lines of some phases alone."""
    return lambda order: [step for step in order if step.phase in phases]


def from_the_other_side(order: Order) -> Order:
    """At the handle from the side of the next road."""
    return [replace(step, effects=((SIDE, "the other side"),)) if step.key.startswith("stand at the coupler") else step
            for step in order]  # fmt: skip


@dataclass(frozen=True)
class BadPartMade:
    """``breaks``: the constraint that must name it, or the kind of complaint."""

    name: str
    found: Found
    edit: Edit
    breaks: str
    because: str


BAD_PART_MADE = (
    BadPartMade("once more than the rules allow", PORTS, slip_in(THIRD, "^couple 611"), "tries-kept",
                "what did not take twice is broken or iced: force breaks more"),
    BadPartMade("tried again on ports that nobody cleared", PORTS, leave_out("^clear the ports of 604"), "ports-cleared",
                "the same ice keeps the same valve shut"),
    BadPartMade("run on the lamp", PORTS, only("agree", "ends", "test", "leave"), "lamp-is-no-brake",
                "the display says coupled and the far portion's pipe does not move"),
    BadPartMade("no pull after the new try", PORTS, leave_out("light pull|^pull lightly|^watch the pull"), "pull-before-test",
                "nothing else shows a latch that is not over"),
    BadPartMade("the pull of the first try taken for the second", PORTS, move("light pull|^pull lightly", "^couple 611"),
                "pull-before-test", "each try is pulled anew"),
    BadPartMade("drawn clear with the heads out", PORTS, leave_out("electrical heads .* are back"), "heads-drawn",
                "contacts and covers tear off"),
    BadPartMade("drawn clear against the latch", PORTS, leave_out("^uncouple 611"), "not-dragged", "the latch still holds"),
    BadPartMade("the button on a stretched couple", PORTS, leave_out("ease up|^press lightly"), "need",
                "under tension the latch does not turn"),
    BadPartMade("tested on pressed faces", PRESSED, only("agree", "ends", "test", "leave"), "pull-before-test",
                "standing still everything works; it parts as it moves"),
    BadPartMade("the latch not turned back", PRESSED, leave_out("^turn the latch of 604"), "need",
                "a turned latch does not take"),
    BadPartMade("loops left through an open head", NO_WIRES, leave_out("^end the loops of 604"), "loops-ended",
                "the loops of that portion supervise nothing"),
    BadPartMade("a head left free", NO_WIRES, leave_out("^lock the electrical head of 604"), "end state",
                "it comes out on the way"),
    BadPartMade("the driver away from the brake while somebody is between", NO_WIRES, slip_in(LEAVES, "^go between"),
                "between-held", "only his application holds the portion"),
    BadPartMade("hand on the release under tension", BY_HAND, leave_out("ease up|^press lightly"), "no-hand-under-tension",
                "the latch jumps over with a hand in it"),
    BadPartMade("from the wrong side", BY_HAND, from_the_other_side, "safe-side", "a train on the next road"),
    BadPartMade("between without protection", BY_HAND, leave_out("^assure the shunter"), "between-protected",
                "nobody has promised not to move"),
    BadPartMade("reaching in from outside", BY_HAND, slip_in(REACHES, "^give the protection back"), "hand-protected",
                "nobody knows that somebody is there"),
    BadPartMade("dragged against a stuck latch", BY_HAND, leave_out("^pull the release handle"), "not-dragged",
                "the heads tear off the train"),
    BadPartMade("a head not wound back", BY_HAND, leave_out("^wind the electrical head of 604"), "heads-drawn",
                "contacts tear as the faces part"),
    BadPartMade("a head handled with the supply on", BY_HAND, leave_out("^switch the electric supply of 604"), "need",
                "an arc at the contacts"),
    BadPartMade("ice left on the latch", BY_HAND, leave_out("^clear the latch of ice"), "latch-let-go",
                "it does not turn, or turns late"),
    BadPartMade("the handle left out", BY_HAND, leave_out("^put the release handle"), "handle-home",
                "the coupler would not take, or would let go"),
    BadPartMade("the cab's lamp taken for the latch", BY_HAND, leave_out("uncoupled: marks on both heads"), "knowledge",
                "the lamp went dark while the latch still held"),
    BadPartMade("the button with too little air", LOW_AIR, leave_out("^wait until the main reservoir"), "latch-let-go",
                "the latch stops half way over"),
)  # fmt: skip
