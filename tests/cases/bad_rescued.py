"""Partings after a rescue known to be bad: an edit of a right order, the rule it breaks, the reason written by hand."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.scene import COUPLE
from headstock.reasoning.step import Step
from tests.cases.bad_orders import Edit, leave_out, move, slip_in
from tests.cases.rescued import BY_HAND, HUNG_ON_THE_DEAD, KNUCKLE, PORT, Rescued

SETS = "^set the springs|^tell .*springs"
OPENS = Step(key="lift the lock at once", role="shunter", place="joint", effects=((COUPLE, "apart"),))


@dataclass(frozen=True)
class BadRescued:
    """What is done wrong, the rule that must name it (or "need", "end state"), why it is wrong, in which parting."""

    name: str
    edit: Edit
    breaks: str
    because: str
    job: Rescued = BY_HAND


BAD_RESCUED = (
    BadRescued("springs never set again", leave_out(SETS), "portion-held",
               "its cab shows the parking brake on, and nothing holds it"),
    BadRescued("one vehicle's springs forgotten", leave_out("^set the springs of 2264"), "springs-set",
               "half the force that was reckoned is not there"),
    BadRescued("the couple opened before anything is secured", slip_in(OPENS, "^take the scotches"), "portion-held",
               "it runs off as it is uncoupled, unscotched"),
    BadRescued("no scotches laid", leave_out("scotches"), "dead-secured",
               "nothing catches it when its springs turn out not to act"),
    BadRescued("springs set again before it is scotched", move("^set the springs of 2264", "^lay scotches"), "dead-secured",
               "somebody works at the wheels of a unit that only air holds"),
    BadRescued("the hold never proved", leave_out("^watch the whole train"), "hold-proved", "a spring set again may be worn out"),
    BadRescued("scotches that nobody laid under springs nobody can set", leave_out("scotches"), "dead-secured",
               "a hand brake alone, never tried without air before", HUNG_ON_THE_DEAD),
    BadRescued("the adapter's pin drawn with the ends together", move("^draw the pin of the adapter", "^come out"),
               "adapter-pinned", "it falls on the feet of whoever stands there", KNUCKLE),
    BadRescued("the adapter left on", leave_out("^take the adapter off|^put the adapter"), "end state",
               "the next end that meets it does not fit, or it drops on the way", KNUCKLE),
    BadRescued("the adapter left lying", leave_out("^put the adapter"), "end state", "it is missed when needed", KNUCKLE),
    BadRescued("taken off without protection", leave_out("ends apart"), "need", "the driver may move", KNUCKLE),
    BadRescued("the emergency hose left on", leave_out("off the air inlet|main reservoir pipe hose of 217/1 on"),
               "hoses-off", "the hose tears as the ends part", PORT),
    BadRescued("the emergency hose taken off live", leave_out("^shut the main reservoir pipe cock"), "live-hose",
               "a hose under full main reservoir pressure whips", PORT),
    BadRescued("the inlet's air cut before the springs are on",
               move("^shut the main reservoir pipe cock", "^put on the parking brake of 226"), "need",
               "nobody is protected, and nothing was proved", PORT),
    BadRescued("the handle pulled on a stretched couple", leave_out("^press lightly|ease up"), "no-hand-under-tension",
               "a hand is caught in the latch", PORT),
)  # fmt: skip
