"""Mistakes of the trade, in words of our own, and where the model shows each: common practice, no source.

``shown`` rows name the mistakes of a demo job that show it (one, or two together) and what must become of them: the verdict, by
what it is noticed, a rule that is broken. The others wait for a job kind or a device that does not exist yet, or are not
modelled, each with the reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tests.cases.jobs import DEMO, SECOND

WAITS, NOT_MODELLED = "waits", "not modelled"


@dataclass(frozen=True)
class Shown:
    """What becomes of a mistake: job, (kind, step, past, how, further lines) of each, verdict, by what noticed, rule broken."""

    mistakes: tuple[tuple[str, str, str, str, int], ...]
    verdict: str
    means: str = ""
    rule: str = ""
    job: Path = DEMO


def one(kind: str, step: str, past: str = "", how: str = "", more: int = 0) -> tuple[tuple[str, str, str, str, int], ...]:
    """One mistake."""
    return ((kind, step, past, how, more),)


_COCK_A, _COCK_B = r"^open the brake pipe cock of 217/2", r"^open the brake pipe cock of 226/1"
_REAR = r"^test, rear charged"
SHOWN: dict[int, tuple[str, Shown]] = {
    1: ("the job is not agreed", Shown(one("left out", r"^agree the job"), "noticed", "word")),
    3: ("nobody asked for the road", Shown(one("left out", r"^ask for the road"), "unseen", rule="road-and-plan")),
    4: ("the portion is not secured",
        Shown(one("left out", r"^screw on the hand brake of 2312@1"), "noticed", "look", "", SECOND)),
    5: ("the portion stands on its air alone",
        Shown(one("left out", r"^put on the parking brake of 217, cab 217/2$@2"), "noticed", "look")),
    6: ("the hold is never proved", Shown(one("left out", r"^watch 226"), "unseen", rule="hold-proved")),
    7: ("the hold is proved with the air brake still on",
        Shown(one("left out", r"^unlock the brake valve, cab 226/2", more=3), "unseen", rule="hold-proved")),
    8: ("the standing cab is not shut", Shown(one("left out", r"lock the brake valve from empty, cab 226/2"), "noticed", "hand",
                                             "between-still")),
    13: ("the keeper is left out", Shown(one("left out", r"^put the pin keeper"), "noticed", "look")),
    15: ("both knuckles shut", Shown(one("left out", r"^open the knuckle"), "noticed", "look")),
    20: ("the last stop of the approach is left out",
         Shown(one("left out", r"^draw up, stop 0.6 m off"), "noticed", "sight")),
    21: ("nobody looks on both sides", Shown(one("left out", r"^look at both sides of the joint, 2 m off"), "harmless")),
    23: ("touched and not coupled", Shown(one("half done", r"^couple ", how="sign not won"), "noticed", "look")),
    24: ("the pull is left out", Shown(one("left out", r"^pull lightly"), "noticed", "look")),
    26: ("in between without protection",
         Shown(one("too early", r"^go between, coupled", r"^assure .* coupled"), "unseen", rule="between-protected")),
    28: ("protection given back by somebody still between",
         Shown((("left out", r"^come out@1", "", "", 0),), "unseen", rule="movement-clear", job=DEMO)),
    33: ("the brake pipe hoses are not joined",
         Shown(one("left out", r"^join the brake pipe hoses"), "noticed", "noise", "live-hose")),
    37: ("the cock of the moving portion stays shut", Shown(one("left out", _COCK_A), "noticed", "look")),
    38: ("the cock of the standing portion stays shut", Shown(one("left out", _COCK_B), "noticed", "look")),
    39: ("both cocks stay shut: all looks healthy, but for the rear gauge",
         Shown(one("left out", _COCK_A) + one("left out", _COCK_B), "noticed", "look")),
    42: ("a main reservoir cock stays shut",
         Shown(one("left out", r"^open the main reservoir pipe cock of 226/1"), "latent")),
    45: ("the jumper is forgotten", Shown(one("left out", r"^take the jumper", more=3), "noticed", "trial")),
    46: ("the jumper is in and not latched", Shown(one("left out", r"^latch the jumper"), "noticed", "look")),
    49: ("a jumper handled with its supply on",
         Shown(one("left out", r"^switch the electric supply of 217 off"), "noticed", "hand", "jumper-dead")),
    51: ("tested before the pipe is charged", Shown(one("left out", r"^test, charged"), "noticed", "look")),
    52: ("the rear gauge is not read", Shown(one("half done", _REAR, how="not really looked"), "harmless")),
    53: ("another gauge is read, a shut cock behind it: found late",
         Shown(one("left out", _COCK_B) + one("half done", _REAR, how="not really looked"), "noticed", "look")),
    54: ("continuity tried one way only",
         Shown(one("left out", r"^test, rear applied"), "noticed", "look")),
    55: ("a cock opened only when the rear gauge was to be read", Shown(one("too late", _COCK_A, _REAR), "noticed", "look")),
    61: ("a hand brake left on", Shown(one("left out", r"^take off the hand brake of 2312$", more=1), "latent", job=SECOND)),
    62: ("all hand brakes off but one",
         Shown(one("left out", r"^take off the hand brake of 5082", more=1), "latent", job=SECOND)),
    63: ("a tail lamp left lit inside the train", Shown(one("left out", r"^put out the red lamp of 226/1"), "latent")),
    64: ("no tail lamp at the rear", Shown(one("left out", r"^light the red lamp of 226/2"), "noticed", "look")),
}  # fmt: skip

OTHERS: dict[int, tuple[str, str, str]] = {
    2: ("how much is to be joined is not said", WAITS, "couplers with electrical heads are not planned here"),
    9: ("a cover left on the head", WAITS, "couplers with electrical heads are not planned here"),
    10: ("a shore supply or a scotch left in place", WAITS, "no such thing is a device yet"),
    11: ("a scotch taken away too early", WAITS, "scotches are no devices yet"),
    12: ("a support pin not fully home", WAITS, "a job in which a pin is found out; a pin has no half way"),
    14: ("a buffer set on one side only", WAITS, "a job in which buffers are found out; they are one pair in the model"),
    16: ("an adapter's pin not home", WAITS, "joining by an adapter"),
    17: ("the wrong adapter", WAITS, "joining by an adapter"),
    18: ("electrical heads not cut out", WAITS, "couplers with electrical heads"),
    19: ("electrical heads left cut out", WAITS, "couplers with electrical heads"),
    22: ("no horn, no warning", NOT_MODELLED, "nobody who could be warned is in the model"),
    25: ("pulled too hard", NOT_MODELLED, "force is no state: it is worked out elsewhere"),
    27: ("going in on somebody else's protection", WAITS, "a job with two people between"),
    29: ("a stranger walks through the gap", NOT_MODELLED, "only the crew is in the model"),
    30: ("the screw hung on the nose of the hook", WAITS, "joining by a screw"),
    31: ("the screw not tightened", WAITS, "joining by a screw"),
    32: ("a loose screw not stowed", WAITS, "joining by a screw"),
    34: ("hoses of two pipes joined to one another", NOT_MODELLED, "only like half couplings join in the model"),
    35: ("a seal missing", NOT_MODELLED, "a fault of a part, not of the order"),
    36: ("a hose with a kink or ice in it", NOT_MODELLED, "a fault of a part, not of the order"),
    40: ("a cock behind the coupler shut", WAITS, "isolating cocks are no devices yet"),
    41: ("a cock opened with a jerk", NOT_MODELLED, "how fast a hand moves is no state"),
    43: ("the cock of an outer end open", WAITS, "a job in which one is found open"),
    44: ("a loose hose not on its dummy", WAITS, "a job in which one is found hanging"),
    47: ("the jumper in the other socket", NOT_MODELLED, "an end has one socket in the model"),
    48: ("the outer jumper not in its dummy", WAITS, "a job in which one is found hanging"),
    50: ("the loop not ended", WAITS, "loop ends are no devices yet"),
    56: ("no test after parting in the middle", WAITS, "detaching"),
    57: ("a brake that does not work is not counted", WAITS, "a test of each vehicle"),
    58: ("brakes bled instead of the cock found", NOT_MODELLED, "bleeding is no step of this work"),
    59: ("a parking brake released by hand left so", WAITS, "rescue"),
    60: ("a brake released by hand not put back", WAITS, "rescue"),
    65: ("a gangway door left open", WAITS, "a job in which one is opened"),
    66: ("order of units not told to the train", WAITS, "what is entered afterwards is not planned yet"),
    67: ("an isolation not written down", WAITS, "records"),
    68: ("a running test that another brake hides", WAITS, "running tests"),
    69: ("the portion that stays is not secured", WAITS, "detaching"),
    70: ("one cock shut, the other not", WAITS, "detaching"),
    71: ("drawn away on a jumper", WAITS, "detaching"),
    72: ("drawn away without the stop", WAITS, "detaching"),
    73: ("the loop not ended after parting", WAITS, "detaching"),
    74: ("the portion that leaves is not tested", WAITS, "detaching"),
    75: ("the cab left on a leaking brake", WAITS, "leaving a train; within this work, see the driver who leaves early"),
    76: ("figures copied from last time", WAITS, "records"),
    77: ("too few people, tired, in heavy rain", NOT_MODELLED, "a condition, not a mistake: it makes others likelier"),
}  # fmt: skip
