"""One fault in an order of each further coupler family: rigid knuckle, hook and screw, a loose screw, automatic and alone.

Written from what the trade knows before any of it was checked. ``at`` is the step at which the checker must complain,
``complaint`` is ``kind:about``, both patterns; nothing may be complained of at an earlier step.
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.cases.bad_orders import Edit, leave_out, move, slip_in
from tests.cases.couplings import Pair
from tests.cases.planted_instructions import act

RIGID, HOOKS, WITH_RIGID = Pair("crag", "crag", "2", "2"), Pair("moss", "moss"), Pair("fell", "crag", "2", "2")
LOOSE, ALONE = Pair("fell", "fell", "2", "1", way="screw"), Pair("gale", "gale", by_air=True)


@dataclass(frozen=True)
class PlantedCoupling:
    """One planted fault: the two types, the work, what is done wrong, where and of what the checker complains."""

    name: str
    pair: Pair
    work: str
    edit: Edit
    at: str
    complaint: str
    reason: str


PLANTED_COUPLINGS: tuple[PlantedCoupling, ...] = (
    PlantedCoupling("rigid: both knuckles shut", RIGID, "attach", leave_out(r"^open the knuckle"),
                    r"look at both sides of the joint, ends dressed", r"knowledge:226/2\.coupler\.jaw=open",
                    "two shut knuckles bump and do not couple"),
    PlantedCoupling("rigid: the lock never looked at", RIGID, "attach", leave_out(r"^look at the lock"),
                    r"call for a light pull", r"knowledge:couple=locked", "a knuckle that bumped looks coupled"),
    PlantedCoupling("rigid: not pulled", RIGID, "attach", leave_out(r"call for a light pull|^pull lightly|^watch the pull"),
                    r"go between, coupled", r"knowledge:couple\.pulled=held", "a part-locked couple parts over hands"),
    PlantedCoupling("rigid: jumper not tugged", RIGID, "attach", leave_out(r"^tug the jumper"), r"tell the \w+: jumper",
                    r"knowledge:226/2\.jumper=latched", "it looks latched and drops out in running"),
    PlantedCoupling("rigid: dead side's cock left shut", RIGID, "attach", leave_out(r"^open the brake pipe cock of 226/2"),
                    r"open the brake pipe cock of 217/2 slowly", r"need:226/2\.brake_pipe_cock=open",
                    "air goes into a shut end and stops there"),
    PlantedCoupling("rigid with drop-head: the lock lifted on a stretched couple", WITH_RIGID, "detach",
                    leave_out(r"ease up|^press lightly"), r"lift the lock", r"need:couple\.slack=eased",
                    "it jams, and somebody reaches in to help it"),
    PlantedCoupling("screw: not tightened", HOOKS, "attach", leave_out(r"^turn the screw"), r"look at the screw coupling",
                    r"need:2\d\d/\d\.coupler=tight", "the slack snatches, the buffers lock on a curve"),
    PlantedCoupling("screw: never looked at", HOOKS, "attach", leave_out(r"^look at the screw coupling"),
                    r"join the brake pipe hoses", r"need:couple\.pulled=held", "a link on the nose of the hook drops off"),
    PlantedCoupling("screw: hoses before the couple", HOOKS, "attach", move(r"brake pipe hose", r"^lift the screw"),
                    r"take the brake pipe hose", r"need:couple=locked", "the ends can still part over the hoses"),
    PlantedCoupling("screw: in between as the buffers close", HOOKS, "attach", slip_in(
                        act("stand in at the buffers", "shunter", "joint", goes_to="between"), r"^call to couple"),
                    r"stand in at the buffers", r"constraint:(between-protected|movement-clear)", "crushed at the buffers"),
    PlantedCoupling("screw: slackened on a stretched couple", HOOKS, "detach", leave_out(r"ease up|^press lightly"),
                    r"slacken the screw", r"need:couple\.slack=eased", "the handle strikes back"),
    PlantedCoupling("screw: not lifted off before drawing away", HOOKS, "detach", leave_out(r"^lift the screw coupling off"),
                    r"(call to )?draw away", r"need:2\d\d/\d\.coupler=stowed|constraint:drawn-apart",
                    "hook, link or handle is torn off"),
    PlantedCoupling("loose screw: never fetched", LOOSE, "attach", leave_out(r"^take the screw coupling"),
                    r"hang the screw coupling", r"need:.*=carried", "nothing is at hand when the ends touch"),
    PlantedCoupling("loose screw: head left up", LOOSE, "attach", leave_out(r"^let the head of 217/2 down"),
                    r"look at the end 217/2", r"need:217/2\.coupler\.head=dropped", "a raised head covers the hook"),
    PlantedCoupling("loose screw: left on the ballast", LOOSE, "detach", leave_out(r"back in its stowage"), r"end",
                    r"end state:.*=stowed", "missing at the next emergency, and lying in the road"),
    PlantedCoupling("loose screw: head pinned before it is up", LOOSE, "detach", leave_out(r"^raise the head of 217/2"),
                    r"push the head pin of 217/2", r"need:217/2\.coupler\.head=raised", "it hangs, ready to strike"),
    PlantedCoupling("alone: the cab's sign never read", ALONE, "attach", leave_out(r"^look at the couple of"),
                    r"sound the horn, look ahead, for a light pull", r"knowledge:couple=locked",
                    "touched is not coupled"),
    PlantedCoupling("alone: no horn and no look ahead", ALONE, "attach", leave_out(r"^sound the horn, look ahead, to couple"),
                    r"couple 217/2 and 226/1", r"need:authority=couple", "somebody walks through the closing gap"),
    PlantedCoupling("alone: not pulled", ALONE, "attach", leave_out(r"for a light pull|^pull lightly|^watch the pull"),
                    r"hold the button until the electrical heads", r"need:couple\.pulled=held",
                    "faces pressed together look coupled"),
    PlantedCoupling("alone: heads never put out", ALONE, "attach", leave_out(r"^hold the button until the electrical heads"),
                    r"see in the cab that the electrical heads", r"need:.*electrical_head=mated",
                    "no control and no loops beyond the joint"),
    PlantedCoupling("alone: heads left out at parting", ALONE, "detach",
                    leave_out(r"^hold the button until the electrical heads"), r"see in the cab that the electrical heads",
                    r"need:.*electrical_head=covered", "contacts tear as the faces part"),
    PlantedCoupling("alone: the button on a stretched couple", ALONE, "detach", leave_out(r"ease up|^press lightly"),
                    r"uncouple 217/2 and 226/1 by the button", r"need:couple\.slack=eased", "the latch does not turn"),
)  # fmt: skip
