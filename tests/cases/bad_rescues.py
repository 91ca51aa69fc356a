"""Rescues known to be bad, each as an edit of a right order, with the rule it breaks and the reason written by hand."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.scene import AUTHORITY
from headstock.reasoning.step import Step
from tests.cases.bad_orders import Edit, leave_out, move, move_after, slip_in
from tests.cases.rescues import BLOW, KNUCKLE, MAIN, PORT, SAME, Rescued


def _plug(values: str = "latched") -> Step:
    return Step(key="plug the jumper in after all", role="shunter", place="between", effects=(("226/1.jumper", values),))


MATES = Step(key="hold the button until the electrical heads are out", role="driver", place="cab 217/2",
             effects=(("217/2.electrical_head", "mated"), ("226/1.electrical_head", "mated")))  # fmt: skip
OPENS_MAIN = Step(key="open the main reservoir pipe cock of 217/2 as well", role="shunter", place="between",
                  effects=(("217/2.main_reservoir_pipe_cock", "open"),))  # fmt: skip
MOVES_ON = Step(key="call to pull at once", role="shunter", place="joint", effects=((AUTHORITY, "pull"),))
RELEASES = Step(key="let the brake valve of the leading cab to running", role="driver", place="cab 217/1",
                effects=(("217/1.brake_valve", "running"), ("226.brake_pipe", "charged")))  # fmt: skip
CORD = "^pull the release cord"
SPRINGS = "^release the springs"


@dataclass(frozen=True)
class BadRescue:
    """What is done wrong, the rule that must name it (or "need", "end state"), why it is wrong, in which rescue."""

    name: str
    edit: Edit
    breaks: str
    because: str
    job: Rescued = SAME


BAD_RESCUES = (
    BadRescue("the dead unit's brake let out before it is scotched", move(CORD, "^lay scotches"), "dead-secured",
              "it stood on air that nobody could count on, and then on nothing that was looked at"),
    BadRescue("the scotches never laid", leave_out("^lay scotches|^take the scotches"), "dead-secured",
              "nothing catches it when its brakes turn out not to hold"),
    BadRescue("the hold proved with the air brake still on", move_after(CORD, "^watch 226"), "proved-without-air",
              "the air brake held it: the springs have shown nothing"),
    BadRescue("one vehicle's cylinders forgotten before the proof", leave_out("^pull the release cord of 2263"),
              "proved-without-air", "that vehicle's air brake may be what holds"),
    BadRescue("the hold never proved", leave_out("^watch 226"), "hold-proved", "a spring that looks on may be worn out"),
    BadRescue("springs released by hand before continuity", move(SPRINGS, "^test, charged"), "held-by-the-test",
              "no brake has been shown to work on the dead unit"),
    BadRescue("springs released by hand before the ends touch", move(SPRINGS, "^call to 2 m"), "portion-held",
              "nothing but scotches holds it"),
    BadRescue("springs released with the tested brake not applied", move(SPRINGS, "^hold the train"), "held-by-the-test",
              "the driver had the brake off: only scotches were left"),
    BadRescue("scotches off before the brake is proved", move("^take the scotches away", "^test, charged"), "scotches-last",
              "the last thing that catches it is gone before any brake has answered"),
    BadRescue("scotches off before the springs", move("^take the scotches away", SPRINGS), "scotches-last",
              "when the springs go off, nothing catches a brake that leaks away"),
    BadRescue("a brake let off from the leading cab while springs are released", slip_in(RELEASES, SPRINGS), "held-by-the-test",
              "half its springs are off and the air brake goes as well"),
    BadRescue("a brake let out by hand never seen on again", leave_out("^look at the brake of 2262"), "held-by-the-test",
              "the continuity test does not show that a brake let off by hand stays off"),
    BadRescue("nobody rides along", leave_out("^ride along"), "end state",
              "if the couple parts, nobody on the dead unit can put a brake on again"),
    BadRescue("the driver does not know that somebody rides along", leave_out("^ride along|^tell the driver: somebody"),
              "end state", "he may move with nobody there"),
    BadRescue("a spring forgotten", leave_out("^release the springs of 2264"), "end state", "the wheels drag, flat or on fire"),
    BadRescue("jumpers plugged in a rescue", slip_in(_plug(), "^join the brake pipe hoses"), "wires-apart",
              "the dead unit's wires work on the live one's doors and power"),
    BadRescue("main reservoirs joined without the air's yes", slip_in(OPENS_MAIN, "^open the brake pipe cock of 217/2"),
              "main-reservoirs-apart", "the live unit's reservoir runs out into the empty one"),
    BadRescue("between without the dead unit scotched", leave_out("^lay scotches"), "between-held",
              "whoever is between relies on brakes alone that nobody could try under air"),
    BadRescue("springs let off by air that is not there", leave_out("^wait until the main reservoir gauge"), "need",
              "they drag again as soon as the valve is let go", MAIN),
    BadRescue("electrical heads not locked back", leave_out("^lock the electrical head of 226/1 back"), "ends-dressed",
              "the blow pushes live contacts together", BLOW),
    BadRescue("electrical heads mated in a rescue", slip_in(MATES, "^watch the pull"), "wires-apart",
              "wires of a unit with no air, and perhaps no battery, work on the live one", BLOW),
    BadRescue("the adapter pinned on one side only", leave_out("^push the pin of the adapter|^put the pin keeper of the adapter"),
              "adapter-pinned", "the latch takes it and the hook lets it drop", PORT),
    BadRescue("the adapter's keeper left out", leave_out("^put the pin keeper of the adapter"), "adapter-pinned",
              "the pin works out on the way", PORT),
    BadRescue("the adapter not looked at with the pull taken", leave_out("^look at the adapter on 217/1 with the pull"),
              "adapter-pinned", "a pin half home shows only when it is pulled", KNUCKLE),
    BadRescue("the adapter left in its stowage", leave_out("^hang the adapter"), "adapter-pinned",
              "a latch meets a hook", PORT),
    BadRescue("the cock opened before the adapter's hose is joined",
              move("^open the brake pipe cock of 217/1", "^join the brake"),
              "live-hose", "the hose whips", PORT),
    BadRescue("the main reservoir cock opened with nothing on the air inlet",
              move("^open the main reservoir pipe cock", "^join the main reservoir"), "live-hose", "the hose whips", PORT),
    BadRescue("pulled while the dead reservoirs drink the live ones empty", slip_in(MOVES_ON, "^couple 217/2"),
              "main-reservoirs-full", "springs come on under way", BLOW),
)  # fmt: skip
