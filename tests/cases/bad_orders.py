"""Orders known to be bad, each as an edit of a right one, with the reason written by hand and who is hurt.

``complaint`` is written as in ``step_reasons``. Edits name steps by a pattern over their sentences.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from headstock.reasoning.step import Step
from tests.cases.jobs import DEMO, SECOND

Order = list[Step]
Edit = Callable[[Order], Order]


def _find(order: Order, pattern: str, after: int = 0) -> int:
    for number in range(after, len(order)):
        if re.search(pattern, order[number].key):
            return number
    raise LookupError(pattern)


def leave_out(pattern: str) -> Edit:
    """All lines that fit are left out."""
    return lambda order: [step for step in order if not re.search(pattern, step.key)]


def move(pattern: str, before: str) -> Edit:
    """All lines that fit are done before the first line of another kind."""

    def edit(order: Order) -> Order:
        moved = [step for step in order if re.search(pattern, step.key)]
        rest = [step for step in order if not re.search(pattern, step.key)]
        at = _find(rest, before)
        return rest[:at] + moved + rest[at:]

    return edit


def move_after(pattern: str, anchor: str) -> Edit:
    """All lines that fit are done after the last line of another kind."""

    def edit(order: Order) -> Order:
        moved = [step for step in order if re.search(pattern, step.key)]
        rest = [step for step in order if not re.search(pattern, step.key)]
        at = max(number for number, step in enumerate(rest) if re.search(anchor, step.key)) + 1
        return rest[:at] + moved + rest[at:]

    return edit


def slip_in(step: Step, after: str) -> Edit:
    """A line is slipped in after the first line of a kind."""

    def edit(order: Order) -> Order:
        at = _find(order, after) + 1
        return [*order[:at], step, *order[at:]]

    return edit


def by_other_hands(pattern: str, role: str) -> Edit:
    """The lines that fit are done by somebody else."""
    return lambda order: [replace(step, role=role) if re.search(pattern, step.key) else step for step in order]


@dataclass(frozen=True)
class BadOrder:
    """One bad order; ``by_air``: an edit of the order that the air engine allows."""

    name: str
    edit: Edit
    complaint: str
    reason: str
    job: Path = DEMO
    by_air: bool = False


_JOINT_COCK = "226/1.brake_pipe_cock"
BAD_ORDERS: tuple[BadOrder, ...] = (
    BadOrder(
        "cocks before hoses",
        move(r"open the .* cock", r"join the brake pipe hoses"),
        "constraint:live-hose",
        "air whips an open hose, the brake of one portion lets go",
    ),
    BadOrder(
        "hoses before the pull",
        move(r"hose|pipe cock", r"call for a light pull"),
        "constraint:couple-proved",
        "the couple parts and tears hoses on somebody's hands",
    ),
    BadOrder("standing portion never proved", leave_out(r"watch 226"), "constraint:hold-proved", "it rolls when touched"),
    BadOrder(
        "moving portion never proved",
        leave_out(r"watch 217"),
        "constraint:cocks-with-someone-between",
        "opening the cocks eases the brake that holds it",
    ),
    BadOrder(
        "parking brake not put on again",
        leave_out(r"put on the parking brake of 217, cab 217/2$"),
        "constraint:cocks-with-someone-between",
        "opening the cocks eases the only brake that holds it",
    ),
    BadOrder(
        "holds off before the test",
        move(r"take off the parking brake of (217|226), cab 2\d\d/\d$", r"test, charged"),
        "constraint:portion-held",
        "an untested brake holds the train",
    ),
    BadOrder(
        "standing hold off for the approach",
        slip_in(
            Step("take off the parking brake of 226 early", "guard", "cab 226/2", effects=(("226.parking_brake", "off"),)),
            r"call to 2 m",
        ),
        "constraint:portion-held",
        "the standing portion is pushed away",
    ),
    BadOrder(
        "in before the assurance",
        move(r"go between, coupled", r"assure .* coupled"),
        "constraint:between-protected",
        "the driver does not know that somebody is between",
    ),
    BadOrder(
        "valve not locked when going in",
        move_after(r"shut and lock the brake valve from full", r"go between, coupled"),
        "constraint:between-still",
        "the train moves with somebody between",
    ),
    BadOrder(
        "called to couple with somebody between",
        move(r"call to couple", r"come out"),
        "constraint:movement-clear",
        "the ends close on a person",
    ),
    BadOrder(
        "protection given back by the driver",
        by_other_hands(r"give the protection back", "driver"),
        "unknown",
        "given back over the head of the one between",
    ),
    BadOrder(
        "protection never given back",
        leave_out(r"give the protection back"),
        "constraint:movement-clear",
        "nobody knows whether the person is out",
    ),
    BadOrder(
        "no stops on the approach",
        leave_out(r"call to [0-9]|draw up"),
        "need:gap",
        "too fast, heads and pins never looked at from near",
    ),
    BadOrder(
        "pull before the lock is seen",
        move_after(r"look at the lock|tell the driver: couple", r"pull lightly"),
        "know:couple",
        "a couple that only bumped is pulled",
    ),
    BadOrder(
        "look at the lock before coupling only",
        move(r"look at the lock", r"call to couple"),
        "know:couple",
        "the sign seen was not the sign made",
    ),
    BadOrder(
        "pull left out",
        leave_out(r"call for a light pull|pull lightly|watch the pull"),
        "constraint:couple-proved",
        "a part-locked couple parts on the line",
    ),
    BadOrder(
        "jumper with the supply on",
        leave_out(r"switch the electric supply of 217 off"),
        "constraint:jumper-dead",
        "burns and shock",
    ),
    BadOrder(
        "leading valve feeds during the rear application",
        leave_out(r"test, lapped"),
        "constraint:one-feed",
        "the drop is filled up again, the test proves nothing",
    ),
    BadOrder(
        "rear valve left unlocked",
        leave_out(r"test, rear shut"),
        "constraint:one-feed",
        "a second valve can feed or apply in service",
    ),
    BadOrder(
        "test before the pipe is charged",
        leave_out(r"test, charged"),
        "need:brake_test",
        "empty reservoirs imitate a working brake",
    ),
    BadOrder(
        "a cock touched after the test",
        slip_in(
            Step("shut and open the cock again", "shunter", "joint", effects=((_JOINT_COCK, "open"),)), r"test, rear restored"
        ),
        "end:brake_test",
        "the passed test says nothing about the pipe as it is now",
    ),
    BadOrder(
        "a cock shut after the test",
        slip_in(Step("shut the cock", "shunter", "joint", effects=((_JOINT_COCK, "shut"),)), r"test, rear restored"),
        "end:_cock",
        "everything behind the joint is without a brake",
    ),
    BadOrder("tail lamp forgotten", leave_out(r"light the red lamp"), "end:red_lamp", "the train is not seen"),
    BadOrder("keeper out", leave_out(r"put the pin keeper"), "constraint:ends-dressed", "the head drops in running"),
    BadOrder(
        "ends dressed while closing up",
        move(r"open the knuckle", r"draw up, stop 0.6"),
        "constraint:between-protected|place",
        "somebody reaches in while the train closes up",
    ),
    BadOrder(
        "standing pipe left charged",
        leave_out(r"let the brake pipe down"),
        "constraint:cocks-with-someone-between",
        "the higher pipe eases the brake of the moving portion",
    ),
    BadOrder(
        "driver leaves on air alone",
        move(r"look at the outer end 217/1|lamp of 217/1", r"assure .* ends apart"),
        "constraint:portion-held|need:air_through",
        "the train runs away from a leak",
    ),
    BadOrder("told what was never seen", leave_out(r"look at the lock"), "know:couple", "hearsay is taken for a look"),
    BadOrder(
        "looked before the last touch",
        slip_in(Step("put the brake on anew", "guard", "cab 226/2", effects=(("226.parking_brake", "on"),)), r"watch 226"),
        "know:",
        "touch, look, touch: the look is worth nothing",
    ),
    BadOrder("no bell", leave_out(r"try the bell"), "end:bell", "the driver cannot be called"),
    BadOrder("no road", leave_out(r"ask for the road"), "constraint:road-and-plan", "another movement arrives"),
    BadOrder(
        "heads looked at too early",
        move(r"look at the end 226/1", r"put the pin keeper"),
        "know:keeper",
        "the keeper was put in after the look",
    ),
    # Written by somebody who had not seen the planner, from the trade's own knowledge.
    BadOrder(
        "second time between on the first protection",
        leave_out(r"assure .* coupled"),
        "constraint:between-protected",
        "given back is gone: each time between has its own",
    ),
    BadOrder(
        "another goes in under the shunter's protection",
        slip_in(Step("go between as well", "guard", "joint", goes_to="between"), r"go between, coupled"),
        "constraint:between-protected",
        "one protection for each person",
    ),
    BadOrder(
        "coupled with somebody between",
        move_after(r"come out|give the protection back", r"^couple "),
        "constraint:movement-clear|constraint:between-still",
        "he stands where the heads meet",
    ),
    BadOrder(
        "comes out only after the call",
        move_after(r"come out|give the protection back", r"call to 2 m"),
        "constraint:movement-clear",
        "the word to move was given from between",
    ),
    BadOrder(
        "driver frees his valve during the hose work",
        slip_in(
            Step("unlock it already", "driver", "cab 217/2", effects=(("217/2.brake_valve", "full"),)),
            r"join the brake pipe hoses",
        ),
        "constraint:between-still",
        "the portion is freed with hands in the joint",
    ),
    BadOrder(
        "hold proved with the air brake on",
        move_after(r"charge the pipe .* cab 226/2", r"watch 226"),
        "need:226.brake_pipe",
        "it was the air brake that held",
    ),
    BadOrder(
        "standing hold proved only after the cocks are open",
        move_after(r"watch 226", r"open the brake pipe cock of 217/2"),
        "constraint:hold-proved",
        "a joined pipe can ease its brakes, nothing else is known to hold it",
    ),
    BadOrder(
        "standing cab's valve locked only after the cocks are open",
        move_after(r"shut and lock the brake valve from empty", r"open the brake pipe cock of 217/2"),
        "constraint:between-still",
        "a second valve may feed into the joint",
    ),
    BadOrder(
        "told of the lock by somebody who did not look",
        by_other_hands(r"look at the lock", "guard"),
        "know:couple",
        "hearsay was passed on as a look",
    ),
    BadOrder(
        "keeper put in while closing up",
        move_after(r"put the pin keeper", r"draw up, stop 2 m"),
        "constraint:between-protected|place",
        "pins are set before the approach, never in a closing gap",
    ),
    BadOrder(
        "keeper touched after the look",
        slip_in(
            Step("take the keeper out and put it in", "shunter", "between", effects=(("226/1.coupler.keeper", "in"),)),
            r"look at the end 226/1",
        ),
        "know:keeper",
        "what was seen is no longer what is there",
    ),
    BadOrder(
        "hose off its dummy after its cock was opened",
        move_after(r"take the brake pipe hose of 217/2", r"open the brake pipe cock of 217/2"),
        "need:_hose",
        "a hose is lifted off its dummy under pressure",
    ),
    BadOrder(
        "one brake pipe cock left shut",
        leave_out(r"open the brake pipe cock of 226/1"),
        "end:226/1.brake_pipe_cock",
        "shut joint, healthy gauges in both cabs",
    ),
    BadOrder(
        "main reservoir cocks left shut",
        leave_out(r"open the main reservoir pipe cock"),
        "end:main_reservoir_pipe_cock",
        "no brake pipe test can see it",
    ),
    BadOrder(
        "main reservoir hoses left apart",
        leave_out(r"join the main reservoir pipe hoses"),
        "constraint:live-hose|end:_hose",
        "the rear unit lives on what it has",
    ),
    BadOrder(
        "rear application left out", leave_out(r"test, rear applied"), "need:brake_test", "a leaking rear passes for a brake"
    ),
    BadOrder("no rise not watched", leave_out(r"test, no rise"), "need:brake_test", "a second feed stays hidden"),
    BadOrder("rear gauge never read", leave_out(r"test, rear charged"), "need:brake_test", "the leading gauge proves nothing"),
    BadOrder(
        "red lamp left lit at the joint",
        leave_out(r"put out the red lamp of 226/1"),
        "end:226/1.red_lamp",
        "red in mid-train reads as a tail",
    ),
    BadOrder("jumper left unlatched", leave_out(r"latch the jumper|tug the jumper"), "end:jumper", "it drops out in running"),
    BadOrder(
        "one hand brake left on",
        leave_out(r"take off the hand brake of 5082"),
        "end:5082.hand_brake",
        "wheels drag and slide",
        SECOND,
    ),
    BadOrder(
        "board taken off by another",
        by_other_hands(r"take off the board", "shunter"),
        "unknown",
        "only who placed it knows why it hangs there",
        SECOND,
    ),
    BadOrder(
        "board left on", leave_out(r"take off the board"), "constraint:road-and-plan", "people at work under the unit", SECOND
    ),
    BadOrder(
        "road asked for only after coupling",
        move_after(r"ask for the road", r"^couple "),
        "constraint:road-and-plan",
        "a second movement can be on its way",
        SECOND,
    ),
    BadOrder(
        "wheels of the holding brakes never looked at",
        leave_out(r"look at the braked wheels of 508"),
        "know:hand_brake",
        "a wheel turned is no block on the tread",
        SECOND,
    ),
    BadOrder(
        "standing hold taken off with somebody between",
        slip_in(
            Step("take off the parking brake of 226 now", "guard", "cab 226/2", effects=(("226.parking_brake", "off"),)),
            r"go between, coupled",
        ),
        "constraint:between-held",
        "the standing portion hangs on the couple with hands in it",
    ),
    BadOrder(
        "a cock touched after the test makes it void",
        slip_in(Step("shut and open the cock", "shunter", "joint", effects=((_JOINT_COCK, "open"),)), r"test, rear restored"),
        "final:brake_test=rear restored",
        "putting it back does not bring the test back",
    ),
    BadOrder(
        "parking brake off before the tested brake holds",
        move(r"take off the parking brake of 217, cab 217/1$", r"hold the train"),
        "need:tested_hold",
        "for a moment nothing holds",
    ),
    BadOrder(
        "cocks opened over a moving portion never proved",
        leave_out(r"watch 217"),
        "need:217.hold",
        "nobody has seen its hand or parking brakes hold it",
    ),
    BadOrder(
        "driver leaves the brake with somebody between",
        move(r"look at the outer end 217/1|lamp of 217/1", r"come out from between, coupled|tell the driver: brake pipe cock"),
        "constraint:between-held",
        "the air that holds the portion leaks, and nobody is there to see it",
        by_air=True,
    ),
    BadOrder(
        "supply on again with somebody at the jumper",
        slip_in(
            Step("switch the supply on again", "driver", "cab 217/2", effects=(("217.supply", "on"),)), r"go between, coupled"
        ),
        "need:217.supply",
        "the plug in the hand is live",
    ),
)
