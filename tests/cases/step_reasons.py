"""Why each step of an attachment stands in the order, written by hand, never taken from a plan's own reasons.

Each row: a pattern for the step's sentence, what the checker must complain of when the step is left out, and the reason
in words. ``constraint:KEY`` is a broken constraint, ``need:VAR`` a later step without what it needs, ``know:VAR`` somebody
acting without knowing, ``end:VAR`` a wrong end state, ``final:VAR=VALUE`` exactly this one, ``place`` somebody working
where nobody stands.
"""

from __future__ import annotations

REASONS: tuple[tuple[str, str, str], ...] = (
    (r"agree the job", "constraint:road-and-plan", "two people work at different ends"),
    (r"ask for the road", "constraint:road-and-plan", "another movement comes on the road"),
    (r"put on the parking brake of \d+, cab \d+/\d$", "need:parking_brake", "nothing but air would hold the portion"),
    (r"read the brake pipe gauge: full application", "know:brake_pipe", "somebody is assured of a brake nobody has seen"),
    (r"read the parking brake indicator of \d+: on", "know:parking_brake", "a brake is believed on that nobody has seen"),
    (r"read the parking brake indicator of \d+: off", "know:parking_brake|end:knows", "a brake believed off drags"),
    (r"screw on the hand brake", "need:hand_brake", "nothing but air would hold the portion"),
    (r"look at the braked wheels", "know:hand_brake", "a wheel turned is not a block on the wheel"),
    (r"see that the electric supply", "know:supply", "a jumper is touched on a supply that nobody saw off"),
    (r"switch the electric supply of \d+ off", "constraint:jumper-dead|need:supply",
     "burns and shock at the jumper, or nobody assured of it"),
    (r"unlock the brake valve, cab", "need:brake_valve", "the valve cannot be moved"),
    (r"charge the pipe to let the air brake off", "need:brake_pipe", "watching with the air brake on proves nothing"),
    (r"watch \d+ for", "need:hold", "the hold was never shown to hold"),
    (r"let the brake pipe down to nothing", "constraint:cocks-with-someone-between|need:brake_pipe",
     "a higher pipe eases the other portion's brake when they are joined"),
    (r"shut and lock the brake valve from empty", "constraint:between-still", "a second valve could feed or move"),
    (r"make a full application", "constraint:between-held|need:brake_valve", "the moving portion is not braked"),
    (r"shut and lock the brake valve from full", "constraint:between-still", "the valve can be moved with somebody between"),
    (r"take off the board", "constraint:road-and-plan", "people at work are run into"),
    (r"assure the .* that the brake is on", "constraint:between-protected", "somebody goes between unprotected"),
    (r"go between", "place", "the work between cannot be done from outside"),
    (r"put the pin keeper", "constraint:ends-dressed", "the pin works out in running, the head drops"),
    (r"open the knuckle", "need:jaw", "two shut knuckles bump and do not couple"),
    (r"look at the end", "know:coupler", "heads and pins are taken on trust"),
    (r"come out from between", "constraint:between-protected", "protection is given back by somebody still between"),
    (r"give the protection back", "constraint:movement-clear|need:protection", "a call comes while somebody is protected"),
    (r"look at both sides of the joint", "know:joint_clear", "somebody walks through the closing gap unseen"),
    (r"call to|call for", "need:authority", "the driver moves on nobody's word"),
    (r"take off the .* for the approach", "need:brake", "the portion is dragged against its brake"),
    (r"draw up, stop", "need:gap", "the approach is made in one go"),
    (r"couple .* with the knuckle", "need:couple", "nothing is coupled"),
    (r"look at the lock", "know:couple", "a knuckle that only bumped looks coupled"),
    (r"pull lightly", "constraint:couple-proved", "hoses are joined over a couple that parts"),
    (r"watch the pull", "know:couple.pulled", "a gap that opened is not seen"),
    (r"look at the cocks", "know:_cock", "a live hose is taken off its dummy"),
    (r"take the .* hose .* off its dummy", "need:_hose", "the hose is not in the hand"),
    (r"join the .* hoses", "constraint:live-hose", "a cock is opened on a loose hose"),
    (r"take the jumper", "need:jumper", "the cable is not in the hand"),
    (r"enter the jumper", "need:jumper", "the plug is not in"),
    (r"latch the jumper", "need:jumper", "a plug that is not latched drops in running"),
    (r"tug the jumper", "know:jumper", "latched is a sign: only a tug tells"),
    (r"open the .* cock of .*", "need:_cock|end:_cock", "the pipe is not through"),
    (r"put out the|light the", "end:_lamp|need:_lamp", "a wrong lamp stops or misleads others"),
    (r"test, ", "need:brake_test", "a stage of the test is missing"),
    (r"try the bell", "end:bell", "the driver cannot be called"),
    (r"look at the outer end", "need:last look", "a hanging hose or an open cock is not seen"),
    (r"switch the electric supply of \d+ on", "end:supply", "the train runs without supply"),
    (r"hold the train on a full application", "constraint:portion-held", "holds come off with nothing holding"),
    (r"take off the (parking|hand) brake", "end:_brake|need:_brake", "the train runs on a dragging brake"),
    (r"look that the wheels", "know:_brake|end:knows", "a brake believed off drags"),
    (r"tell the ", "know:|end:knows", "somebody acts on what nobody told"),
)  # fmt: skip
