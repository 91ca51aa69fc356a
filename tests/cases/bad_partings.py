"""Partings known to be bad, each as an edit of a right order, with the rule it breaks and the reason written by hand."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.scene import AUTHORITY
from headstock.reasoning.step import Step
from tests.cases.bad_orders import Edit, leave_out, move, slip_in

WALKS_IN = Step(key="reach in between while it moves", role="shunter", place="joint", goes_to="between")
UNLOCKS = Step(key="unlock the rear valve", role="guard", place="cab 226/2", effects=(("226/2.brake_valve", "full"),))
LETS_OFF = Step(key="let the hold off", role="guard", place="cab 226/2", effects=(("226.parking_brake", "off"),))
CALLS = Step(key="call too early", role="shunter", place="joint", effects=((AUTHORITY, "draw away"),))


@dataclass(frozen=True)
class BadParting:
    """What is done wrong, the rule that must name it (or "need"), and why it is wrong."""

    name: str
    edit: Edit
    breaks: str
    because: str


BAD_PARTINGS = (
    BadParting("a cock shut on a charged pipe",
               move("shut the joined brake pipe cock of 226/1", "make a full application on the"),
               "trapped-air", "what is shut off holds air that leaks away or lets the brake off"),
    BadParting("the pipe not let down before the cocks are shut", leave_out("^let the brake pipe of 217 and 226 down"),
               "trapped-air", "the standing portion keeps trapped air, which holds nothing"),
    BadParting("hoses parted with the cocks open", move("^part the brake pipe hoses", "shut the joined brake pipe cock"),
               "live-hose", "a hose with air behind it whips"),
    BadParting("drawn away on the jumper", leave_out("jumper of 226/1"), "drawn-apart", "the cable tears"),
    BadParting("drawn away with the hoses joined", leave_out("main reservoir pipe hose"), "drawn-apart",
               "the hoses tear"),
    BadParting("drawn away without lifting the lock", leave_out("^lift the lock"), "drawn-apart", "the couple is still made"),
    BadParting("the standing portion's brake never put on", leave_out("^put on the parking brake of 226|hand brake of 226"),
               "portion-held", "nothing holds what stays once the driver has gone"),
    BadParting("the hold never proved", leave_out("^watch the whole train"), "hold-proved",
               "a brake that only looks on holds nothing"),
    BadParting("proved with the leaving portion's brake on", move("^put on the parking brake of 217", "watch the whole train"),
               "need", "the leaving portion holds the train, the other's brakes show nothing"),
    BadParting("between without protection", leave_out("^assure the shunter"), "between-protected",
               "nobody has promised not to move"),
    BadParting("between with the valve unlocked", leave_out("^shut and lock the brake valve from empty"), "between-still",
               "the brake can be let off over the person"),
    BadParting("called to draw away with somebody between", slip_in(CALLS, "^unlatch the jumper"), "movement-clear",
               "the train moves over the person"),
    BadParting("somebody reaches in while it eases up", slip_in(WALKS_IN, "^call to ease up"), "between-protected",
               "the heads close on an arm"),
    BadParting("jumper drawn with the supply on", leave_out("^switch the electric supply of 226 off"), "jumper-dead",
               "an arc at the plug"),
    BadParting("a second valve unlocked while the pipe is one", slip_in(UNLOCKS, "^charge the whole train"), "one-feed",
               "two valves work one pipe"),
    BadParting("the couple not eased before the lock is lifted", leave_out("^call to ease up|^press lightly"), "need",
               "stretched, the lock jams: somebody reaches in to help it"),
    BadParting("between before the road is given", leave_out("^ask for the road"), "road-kept",
               "another movement may come onto the road"),
    BadParting("called before the road is given", leave_out("^ask for the road"), "road-and-plan",
               "another movement may be on the road"),
    BadParting("no look along the train before it eases up", leave_out("^look at both sides of the joint"), "knowledge",
               "somebody may be reaching in"),
    BadParting("the leaving portion not tested", leave_out("^test, "), "end state",
               "its pipe was parted: any passed test is void"),
    BadParting("no red lamp on what stays", leave_out("^light the red lamp of 226/1"), "end state",
               "the next movement does not see it"),
    BadParting("the hold let off with somebody between", slip_in(LETS_OFF, "^unlatch the jumper"), "between-held",
               "what stays is held by nothing but the couple that is being parted"),
    BadParting("the leaving portion charged with nothing holding it",
               move("^lift the lock", "charge the pipe to let the air brake off"), "portion-held",
               "once the lock is up nothing holds it while its brake is off"),
)  # fmt: skip
