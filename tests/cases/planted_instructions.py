"""A right instruction written by hand in plain text, and instructions with one planted fault each.

Everything here was written from what the trade knows, before any of it was checked, and without a look at how the planner
orders things. Each fault says at which step the checker must complain and of what, and why it hurts. ``complaint`` is
``kind:about`` in full; ``first`` says that nothing may be complained of at an earlier step (a foreign step that somebody
slipped in is a complaint of its own and does not count).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from headstock.reasoning.step import Step
from tests.cases.bad_orders import Edit, leave_out, move, move_after, slip_in

HAND_WRITTEN = Path(__file__).parent / "instructions" / "attach-217-to-226.txt"


@dataclass(frozen=True)
class Planted:
    """One planted fault."""

    name: str
    edit: Edit
    at: str
    complaint: str
    reason: str
    first: bool = True


def act(key: str, role: str, place: str, *effects: tuple[str, str], goes_to: str | None = None) -> Step:
    """Something that somebody does and no order of work asks for."""
    return Step(key, role, place, effects=effects, goes_to=goes_to)


def proves_the_other(order: list[Step]) -> list[Step]:
    """The eyes are on the portion that the driver holds, not on the one that must stand."""
    return [act("watch 217 instead", "shunter", "beside 217") if step.key.startswith("watch 226") else step for step in order]


def late_out(order: list[Step]) -> list[Step]:
    """The first time: out and back only after the call."""
    out = next(n for n, step in enumerate(order) if step.key.startswith("come out"))
    pair, rest = order[out : out + 2], order[:out] + order[out + 2 :]
    call = next(n for n, step in enumerate(rest) if step.key == "call to 2 m") + 1
    return rest[:call] + pair + rest[call:]


def given_back_inside(order: list[Step]) -> list[Step]:
    """The second time: given back, then out."""
    out = max(n for n, step in enumerate(order) if step.key.startswith("come out"))
    return [*order[:out], order[out + 1], order[out], *order[out + 2 :]]


PLANTED: tuple[Planted, ...] = (
    Planted("nobody asked for the road", leave_out(r"ask for the road"), r"assure the shunter", "need:road=given",
            "another movement comes on the same road"),
    Planted("the road given back while somebody is between", slip_in(
            act("let another movement come on the road", "shunter", "between", ("road", "not given")), r"go between, coupled"),
            r"let another movement", "constraint:road-kept", "another movement runs into the portion with somebody between"),
    Planted("nobody agreed the job", leave_out(r"agree the job"), r"ask for the road", "need:agreed=yes",
            "two people work at different ends"),
    Planted("the standing portion's brake taken on trust", leave_out(r"watch 226"), r"tell the guard: 226 stands",
            "knowledge:226.hold=proved", "it rolls when it is touched"),
    Planted("the hold proved before the air brake was off", move_after(r"charge the pipe|226 charged", r"watch 226"),
            r"watch 226", "need:226.brake_pipe=charged", "it was the air brake that held"),
    Planted("the hold proved with an application on", slip_in(
            act("put the air brake on to be sure", "guard", "cab 226/2", ("226.brake_pipe", "drawn")),
            r"tell the shunter: brake pipe of 226 charged"),
            r"watch 226", "need:226.brake_pipe=charged", "the wrong brake was on: the proof says nothing of the parking brake"),
    Planted("the hold proved while it hung on the hauling portion", move_after(r"watch 226|226 stands", r"watch the pull"),
            r"watch 226", "need:gap=apart", "the hauling portion's brake held both", first=False),
    Planted("the wrong portion watched", proves_the_other, r"tell the guard: 226 stands", "knowledge:226.hold=proved",
            "what stood was held by the driver"),
    Planted("two between on one protection", slip_in(act("go between as well", "guard", "joint", goes_to="between"),
            r"go between, coupled"), r"go between as well", "constraint:between-protected",
            "the shunter gives it back over the other's head"),
    Planted("joint cock opened with one pipe charged and one drawn", slip_in(
            act("charge the pipe of 226 again", "guard", "cab 226/2", ("226.brake_pipe", "charged")),
            r"join the main reservoir pipe hoses"), r"open the brake pipe cock of 226/1",
            "constraint:cocks-with-someone-between", "the higher pipe eases the other portion's brake with hands in the joint"),
    Planted("air brake let off with somebody between", slip_in(
            act("let the air brake off", "driver", "cab 217/2", ("217.brake_pipe", "charged")), r"go between, coupled"),
            r"let the air brake off", "constraint:between-held", "the portion moves on a gradient"),
    Planted("driver frees his valve with somebody between", slip_in(
            act("unlock it already", "driver", "cab 217/2", ("217/2.brake_valve", "full")), r"enter the jumper"),
            r"unlock it already", "constraint:between-still", "a hand on the handle moves the train"),
    Planted("charged side opened first", move_after(r"open the brake pipe cock of 226/1", r"open the brake pipe cock of 217/2"),
            r"open the brake pipe cock of 217/2", "need:226/1.brake_pipe_cock=open", "air goes into a shut end at once"),
    Planted("hoses handled before the cocks were looked at", move_after(r"look at the cocks", r"join the main reservoir"),
            r"take the brake pipe hose of 226/1", "knowledge:226/1.brake_pipe_cock=shut", "a hose under pressure whips"),
    Planted("jumper latched and not tugged", leave_out(r"tug the jumper"), r"tell the guard: jumper",
            "knowledge:226/1.jumper=latched", "it looks latched and drops out in running"),
    Planted("supply never switched off", leave_out(r"supply of 217 off"), r"assure .* ends apart", "need:217.supply=off",
            "the jumper is live in the hand"),
    Planted("supply on again too early", slip_in(act("switch it on again", "driver", "cab 217/2", ("217.supply", "on")),
            r"go between, coupled"), r"take the jumper", "constraint:jumper-dead", "burns and shock"),
    Planted("pin keeper forgotten", leave_out(r"pin keeper"), r"look at the end 226/1", "need:226/1.coupler.keeper=in",
            "the pin works out in running and the head drops"),
    Planted("both knuckles shut", leave_out(r"open the knuckle"), r"look at both sides of the joint, ends dressed",
            "knowledge:226/1.coupler.jaw=open", "they bump and do not couple"),
    Planted("no second stop", leave_out(r"0\.6 m"), r"call to couple", "need:gap=stop 2",
            "too fast, nothing looked at from near"),
    Planted("lock never looked at", leave_out(r"look at the lock"), r"tell the driver: couple", "knowledge:couple=locked",
            "a knuckle that bumped looks coupled"),
    Planted("no pull", leave_out(r"call for a light pull|pull lightly|watch the pull"), r"go between, coupled",
            "knowledge:couple.pulled=held", "a part-locked couple parts over somebody's hands"),
    Planted("called while still between", late_out, r"call to 2 m", "constraint:movement-clear",
            "the ends close on a person", first=False),
    Planted("protection given back from between", given_back_inside, r"give the protection back",
            "constraint:between-protected", "the driver may move with the person still in"),
    Planted("standing cab's valve left unlocked", leave_out(r"shut and lock the brake valve from empty"),
            r"go between, ends apart", "constraint:between-still", "a second valve can feed into the joint", first=False),
    Planted("rear gauge never read", leave_out(r"rear charged"), r"test, lapped", "need:brake_test=rear charged",
            "the leading gauge says nothing about the rear"),
    Planted("tested before it was charged", leave_out(r"test, charged|test: charged"), r"test, rear charged",
            "need:brake_test=charged", "empty reservoirs look like a working brake"),
    Planted("tested one way only", leave_out(r"rear applied"), r"test, front fallen", "need:brake_test=rear applied",
            "a leak in the rear passes for a brake"),
    Planted("no rise not watched", leave_out(r"test, no rise"), r"test, restored", "need:brake_test=no rise",
            "a second feed stays hidden"),
    Planted("parking brake left on", leave_out(r"take off the parking brake of 226"), r"read the parking brake indicator of 226",
            "need:226.parking_brake=off", "wheels drag and slide"),
    Planted("the indicator not read", leave_out(r"indicator of 226: off"), r"tell the driver: parking brake of 226",
            "knowledge:226.parking_brake=off", "a brake believed off drags"),
    Planted("hold off before the test", move(r"take off the parking brake of 226", r"test, charged"),
            r"take off the parking brake of 226", "constraint:portion-held", "an untested brake is all that holds"),
    Planted("red lamp lit at the joint", leave_out(r"red lamp of 226/1"), r"end", "end state:226/1.red_lamp=off",
            "a red lamp in mid-train reads as a tail"),
    Planted("no tail lamp", leave_out(r"red lamp of 226/2"), r"look at the outer end 226/2", "need:226/2.red_lamp=lit",
            "the train is not seen to be whole"),
    Planted("main reservoir cocks left shut", leave_out(r"main reservoir pipe cock"), r"test, charged",
            "knowledge:226/1.main_reservoir_pipe_cock=open", "no test of the brake pipe can find it"),
    Planted("driver changes ends with somebody between",
            move(r"lamp of 217/1|outer end 217/1", r"tell the driver: brake pipe cock"),
            r"put out the red lamp of 217/1", "constraint:between-held", "the air that holds the portion leaks away unseen"),
    Planted("no bell", leave_out(r"bell"), r"end", "end state:bell=good", "the driver cannot be called"),
)  # fmt: skip
