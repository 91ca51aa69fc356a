# ruff: noqa: E501 (a table: one row, one line)
"""What no step is taken without, written by hand from the trade's own knowledge, for attaching and for parting.

A row: the steps (a pattern over their sentences), what must be so before each of them, and why. A row is tried by spoiling one
thing just before the step: the checker must complain of that thing at that step. In ``KNOWN`` whoever acts must know it, and
somebody touches the thing just before and puts it back: what was seen or told is then worth nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact
from tests.cases.deletions import Case

Row = tuple[str, str, str]


@dataclass(frozen=True)
class Spoilt:
    """One thing spoilt before one line (0 is the first) of a good order."""

    line: int
    fact: Fact
    kind: str
    reason: str

    def case(self, order: Sequence[Step], domain: Domain) -> Case:
        """The order with somebody's touch slipped in, and the complaint that must come of it."""
        key, value = self.fact
        if self.kind == "need":
            value = _otherwise(self.fact, domain)
        name = f"touch {key} before line {self.line + 1}"
        if key in domain.variables:
            touch = Step(name, "visitor", None, effects=((key, value),))
        else:
            touch = Step(name, key.removeprefix("at/"), value)
        spoilt = (*order[: self.line], touch, *order[self.line :])
        wanted = (order[self.line].key, self.kind, "=".join(self.fact))
        return Case(f"{touch.key}: {wanted}", spoilt, lambda c: (c.step, c.kind, c.about) == wanted)


def _otherwise(fact: Fact, domain: Domain) -> str:
    key, value = fact
    values = (
        domain.variables[key].domain if key in domain.variables else [at for at in domain.places if not domain.places[at].closed]
    )
    return next(other for other in values if other != value)


def spoilt(rows: Sequence[Row], order: Sequence[Step], kind: str) -> Iterator[Spoilt]:
    """Every line and thing of some rows. Raises LookupError for a row that fits no line."""
    for pattern, facts, reason in rows:
        lines = [number for number, step in enumerate(order) if re.search(pattern, step.key)]
        if not lines:
            raise LookupError(pattern)
        for line in lines:
            for fact in facts.split(", "):
                key, _, value = fact.partition("=")
                yield Spoilt(line, (key, value), kind, reason)


_CALL, _MOVE, _COCK = r"^call ", r"^draw up|^couple |^pull lightly", r"^open the (brake|main)"
_ASSURE, _GO, _TEST, _OFF = r"^assure", r"^go between", r"^test, ", r"^take off the parking brake of 2\d\d, cab"
_SEEN_OFF = r"^read the parking brake indicator of 2\d\d: off"
_ENDS = r"lamp of 217/1$|lamp of 226/2$|outer end"
_PLUG = r"^take the jumper|^enter the jumper|^latch the jumper"
ATTACH: tuple[Row, ...] = (
    (r"^agree the job", "agreed=no", "it is agreed once"),
    (r"^ask for the road", "agreed=yes, road=not given", "one asks for the road of a job that is agreed, once"),
    (r"^read the parking brake indicator|^unlock|^put on|" + _ASSURE + "|" + _CALL + "|" + _OFF, "agreed=yes",
     "nobody touches a brake or calls before it is agreed who does what"),
    (_ASSURE + "|" + _CALL, "road=given", "another movement comes on the road"),
    (_CALL, "217.board=off, 226.board=off", "people at work under a unit are run into"),
    (_CALL + "|" + _ASSURE + "|^look at both sides", "authority=none", "two calls stand at once, or one stands while somebody goes in"),
    (_CALL + "|" + _MOVE + "|^unlock|^look at both sides|^switch the electric supply|" + _TEST, "protection/shunter=none",
     "somebody is still between"),
    (_GO + "|^give the protection back", "protection/shunter=given", "nobody goes in on no promise, or gives back what he has not"),
    (_ASSURE, "protection/shunter=none, 217/2.brake_valve=locked, 217.brake_pipe=drawn, 217.supply=off, 217/1.brake_valve=locked, "
     "226/1.brake_valve=locked", "assured of a brake that is not on, or that any of these cabs can let off"),
    (_GO, "226/2.brake_valve=locked, 226.hold=proved, 226.parking_brake=on", "the other portion can move over the person"),
    (_CALL, "226.hold=proved, 226.parking_brake=on", "what is touched rolls away"),
    (_MOVE, "226.parking_brake=on", "what is touched rolls away"),
    (_MOVE, "217/2.brake_valve=full, 217.brake_pipe=drawn", "the driver moves off with a brake that is not in his hand"),
    (_MOVE, "217.parking_brake=off", "dragged against its own brake"),
    (r"^draw up, stop 2 m", "authority=stop 1, gap=apart", "moved on nobody's word"),
    (r"^draw up, stop 0", "authority=stop 2, gap=stop 1", "moved on nobody's word, or from farther off than was said"),
    (r"^couple ", "authority=couple, gap=stop 2", "coupled on nobody's word, or from too far"),
    (r"^pull lightly", "authority=pull, gap=touching, couple=locked", "pulled on nobody's word, or over nothing"),
    (r"^call to 2 m|^look at both sides of the joint, ends dressed", "gap=apart", "the call is for another distance"),
    (r"^call to 0.6|^look at both sides of the joint, 2 m", "gap=stop 1", "the call is for another distance"),
    (r"^call to couple|^look at both sides of the joint, 0", "gap=stop 2", "the call is for another distance"),
    (r"^call for a light pull|^look at both sides of the joint, coupled|^look at the lock|^watch the pull", "gap=touching",
     "there is nothing to pull or to look at"),
    (r"^call for a light pull|^look at the lock", "couple=locked", "there is nothing to pull or to see"),
    (r"^assure .* apart|^go between, ends apart|pin keeper|^open the knuckle|^look at the end", "gap=apart",
     "ends are dressed while they stand apart"),
    (r"^assure .* coupled|^go between, coupled", "gap=touching", "told of one gap, found in another"),
    (r"^watch the pull|^join the .* hoses|" + _PLUG + "|" + _COCK, "couple.pulled=held",
     "the couple parts over somebody's hands"),
    (r"^take the .* hose|lamp of 217/2$|lamp of 226/1$", "couple=locked", "the joint is not made"),
    (r"^read the brake pipe gauge|^shut and lock the brake valve from full", "217.brake_pipe=drawn", "a brake that is not on is locked off"),
    (r"^read the brake pipe gauge|^shut and lock the brake valve from full", "217/2.brake_valve=full", "the handle stands elsewhere"),
    (r"^read the brake pipe gauge", "air_through=no", "the gauge shows the other portion's pipe too"),
    (r"^unlock the brake valve, cab 217/2", "217/2.brake_valve=locked, air_through=no", "the moving cab's valve works one pipe only"),
    (r"^unlock the brake valve, cab 226/2", "226/2.brake_valve=locked, air_through=no", "the standing cab's valve works one pipe only"),
    (r"^unlock the brake valve, cab 217/1", "217/1.brake_valve=locked, air_through=yes, 217.parking_brake=on, 226.parking_brake=on",
     "the leading valve is freed when the train is one and stands without air"),
    (r"^charge the pipe .* 226/2", "226/2.brake_valve=full, 226.parking_brake=on, 226/1.brake_pipe_cock=shut, "
     "226/2.brake_pipe_cock=shut, air_through=no", "the air brake is let off with nothing holding, or the pipe is open"),
    (r"^watch 226", "226.parking_brake=on, 226.brake_pipe=charged, gap=apart, air_through=no", "another brake or portion holds it"),
    (r"^let the brake pipe down", "226/2.brake_valve=running, air_through=no", "the other portion's pipe goes down with it"),
    (r"^shut and lock the brake valve from empty", "226/2.brake_valve=empty", "the handle stands elsewhere"),
    (r"^see that the electric supply of 226", "226.supply=off", "one sees what is so"),
    (r"^switch .* supply of 217 off", "217.supply=on, air_through=no", "nothing to switch"),
    (r"^read the parking brake indicator of 226: on", "226.parking_brake=on", "one sees what is so"),
    *((rf"^read the parking brake indicator of {unit}: off", f"{unit}.parking_brake=off", "one sees what is so") for unit in ("217", "226")),
    (r"^put on the parking brake of 217", "217.parking_brake=off", "nothing to put on"),
    (r"pin keeper", "226/1.coupler.keeper=out, 226/1.coupler.pin=home", "a keeper without its pin keeps nothing"),
    (r"^open the knuckle", "226/1.coupler.head=raised, 226/1.coupler.jaw=shut", "a hanging head has no knuckle to open"),
    (r"^look at the end 217/2", "217/2.coupler.head=raised, 217/2.coupler.pin=home, 217/2.coupler.keeper=in, 217/2.buffers=in, "
     "217/2.gangway=shut", "one sees what is so"),
    (r"^look at the end 226/1", "226/1.coupler.head=raised, 226/1.coupler.pin=home, 226/1.coupler.keeper=in, 226/1.buffers=in, "
     "226/1.gangway=shut", "one sees what is so"),
    (r"^couple ", "217/2.coupler.head=raised, 217/2.coupler.pin=home, 217/2.coupler.keeper=in, 226/1.coupler.head=raised, "
     "226/1.coupler.pin=home, 226/1.coupler.keeper=in", "the head drops when it is struck"),
    (r"^put out the white lamp of 217/2", "217/2.white_lamp=lit", "nothing to put out"),
    (r"^put out the red lamp of 226/1", "226/1.red_lamp=lit", "nothing to put out"),
    (_PLUG, "217.supply=off, 226.supply=off", "burns and shock"),
    (r"^take the jumper", "226/1.jumper=in its dummy", "it hangs elsewhere"),
    (r"^enter the jumper", "226/1.jumper=hanging", "it is not in the hand"),
    (r"^latch the jumper", "226/1.jumper=entered", "nothing to latch"),
    (r"^tug the jumper|^try the bell|supply of 217 on", "226/1.jumper=latched", "a plug not latched is handled under supply, or drops out"),
    *((rf"^look at the cocks of {end}", f"{end}.brake_pipe_cock=shut, {end}.main_reservoir_pipe_cock=shut", "one sees what is so")
      for end in ("217/2", "226/1")),
    *((rf"^take the {pipe} hose of {end}", f"{end}.{pipe.replace(' ', '_')}_hose=on its dummy, {end}.{pipe.replace(' ', '_')}_cock=shut",
       "a hose is lifted off with air behind it") for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^join the {pipe} hoses", f"217/2.{pipe.replace(' ', '_')}_cock=shut, 226/1.{pipe.replace(' ', '_')}_cock=shut, "
       f"217/2.{pipe.replace(' ', '_')}_hose=hanging, 226/1.{pipe.replace(' ', '_')}_hose=hanging", "a live hose whips in the hand")
      for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^open the {pipe} cock of {end}", f"217/2.{pipe.replace(' ', '_')}_hose=joined, 226/1.{pipe.replace(' ', '_')}_hose=joined, "
       f"{end}.{pipe.replace(' ', '_')}_cock=shut", "air goes into an open hose")
      for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    (r"^open the brake pipe cock of 226/1", "217/2.brake_pipe_cock=shut", "the dead side is opened first"),
    (r"^open the brake pipe cock of 217/2", "226/1.brake_pipe_cock=open", "the dead side is opened first"),
    (r"^open the main reservoir pipe cock of 226/1", "217/2.main_reservoir_pipe_cock=shut", "the dead side is opened first"),
    (r"^open the main reservoir pipe cock of 217/2", "226/1.main_reservoir_pipe_cock=open", "the dead side is opened first"),
    (r"^open the main reservoir", "air_through=yes", "the brake pipe comes first here"),
    (r"^open the brake", "217.brake_pipe=drawn, 226.brake_pipe=empty", "the higher pipe eases the other portion's brake"),
    (_COCK, "226.hold=proved, 226.parking_brake=on, 217/1.brake_valve=locked, 217/2.brake_valve=locked, 226/1.brake_valve=locked, "
     "226/2.brake_valve=locked", "a hold weakens with somebody between"),
    (_ENDS + "|" + _TEST, "air_through=yes", "the train is not one yet"),
    (_ENDS + "|" + _TEST, "217.parking_brake=on, 226.parking_brake=on", "the driver leaves, or charges, with nothing holding"),
    (r"lamp of 217/1$|lamp of 226/2$", "couple=locked", "the joint is not made"),
    (r"^put out the red lamp of 217/1", "217/1.red_lamp=lit", "nothing to put out"),
    (r"^light the white lamp of 217/1", "217/1.white_lamp=off", "nothing to light"),
    (r"^light the red lamp of 226/2", "226/2.red_lamp=off", "nothing to light"),
    *((rf"^look at the outer end {end}", f"{end}.brake_pipe_cock=shut, {end}.main_reservoir_pipe_cock=shut, {end}.gangway=shut, "
       f"{end}.brake_pipe_hose=on its dummy, {end}.main_reservoir_pipe_hose=on its dummy, {end}.jumper=in its dummy", "one sees what is so")
      for end in ("217/1", "226/2")),
    (r"^look at the outer end 217/1", "217/1.red_lamp=off, 217/1.white_lamp=lit", "one sees what is so"),
    (r"^look at the outer end 226/2", "226/2.red_lamp=lit, 226/2.white_lamp=off", "one sees what is so"),
    (_TEST, "226.hold=proved, 217/2.brake_valve=locked, 226/1.brake_valve=locked, 217/1.brake_pipe_cock=shut, "
     "217/1.main_reservoir_pipe_cock=shut, 226/2.brake_pipe_cock=shut, 226/2.main_reservoir_pipe_cock=shut",
     "another valve feeds, or an end stands open"),
    (r"^test, charged", "brake_test=none, 217/1.brake_valve=full", "a test begins at its beginning"),
    (r"^test, rear charged", "brake_test=charged", "each stage after the one before"),
    (r"^test, lapped", "brake_test=rear charged, 217/1.brake_valve=running", "each stage after the one before"),
    (r"^test, rear applied", "brake_test=lapped, 217/1.brake_valve=lap, 226/2.brake_valve=locked", "two valves work one pipe"),
    (r"^test, front fallen", "brake_test=rear applied", "each stage after the one before"),
    (r"^test, rear shut", "brake_test=front fallen, 226/2.brake_valve=full", "each stage after the one before"),
    (r"^test, no rise", "brake_test=rear shut", "each stage after the one before"),
    (r"^test, restored", "brake_test=no rise, 217/1.brake_valve=lap", "each stage after the one before"),
    (r"^test, rear restored", "brake_test=restored", "each stage after the one before"),
    (r"^try the bell", "bell=not tried, brake_test=rear restored", "it is tried once, after the test"),
    (r"supply of 217 on", "217.supply=off, couple.pulled=held, air_through=yes", "nothing to switch, or over a joint not made"),
    (r"^hold the train", "brake_test=rear restored, 217/1.brake_valve=running, air_through=yes, last look/217/1=yes, "
     "last look/226/2=yes, 217.parking_brake=on, 226.parking_brake=on", "an untested brake holds the train"),
    (_OFF + "|" + _SEEN_OFF, "agreed=yes, brake_test=rear restored, 217/1.brake_valve=full, air_through=yes, 217.brake_pipe=drawn, 226.brake_pipe=drawn, "
     "tested_hold=yes, at/driver=cab 217/1", "the hold comes off with nothing holding instead"),
    (r"^take off the parking brake of 217, cab", "217.parking_brake=on", "nothing to take off"),
    (r"^take off the parking brake of 226, cab", "226.parking_brake=on", "nothing to take off"),
)  # fmt: skip
_DRESSED = ", ".join(f"{end}.{what}" for end in ("217/2", "226/1")
                     for what in ("coupler.head=raised", "coupler.pin=home", "coupler.keeper=in", "buffers=in", "gangway=shut"))  # fmt: skip
KNOWN_ATTACH: tuple[Row, ...] = (
    (_ASSURE + "|" + _GO, "217/2.brake_valve=locked, 217.brake_pipe=drawn, 217.supply=off", "promised on an old look"),
    (_GO, "protection/shunter=given, 226/2.brake_valve=locked, 226.hold=proved, 226.parking_brake=on", "goes in on nobody's word"),
    (_CALL, "joint_clear=seen, 226.hold=proved", "called on an old look"),
    (r"^call to|^look at both sides of the joint, ends dressed", _DRESSED + ", 226/1.coupler.jaw=open", "called on an old look"),
    (r"^call for a light pull|^pull lightly", "couple=locked", "a couple that only bumped is pulled"),
    (r"^draw up, stop 2 m", "authority=stop 1", "what was called is no longer what is called"),
    (r"^draw up, stop 0", "authority=stop 2", "what was called is no longer what is called"),
    (r"^couple ", "authority=couple", "what was called is no longer what is called"),
    (r"^pull lightly", "authority=pull", "what was called is no longer what is called"),
    (r"^go between, coupled", "couple.pulled=held", "goes in over a couple that nobody knows to hold"),
    (r"^watch 226", "226.parking_brake=on, 226.brake_pipe=charged", "watches what nobody told him is the right brake"),
    (r"^let the brake pipe down", "226.hold=proved", "lets the pipe down before the word that it stands"),
    (r"^open the brake pipe cock", "226.brake_pipe=empty", "opens on a pipe nobody has told of"),
    (_PLUG, "217.supply=off, 226.supply=off", "takes the cable on an old word"),
    *((rf"^take the {pipe} hose of {end}|^join the {pipe} hoses", f"{end}.{pipe.replace(' ', '_')}_cock=shut", "the cock was touched since the look")
      for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^tell the driver: {pipe} cock of {end}|^test, charged", f"{end}.{pipe.replace(' ', '_')}_cock=open", "told of a cock touched since")
      for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    (r"^unlock the brake valve, cab 217|^test, charged|supply of 217 on", "protection/shunter=none", "frees the brake before the word"),
    (r"^tell the shunter: parking brake of 226 on", "226.parking_brake=on", "tells what was touched since"),
    (r"^tell the shunter: brake pipe of 226 charged", "226.brake_pipe=charged", "tells what was touched since"),
    (r"^tell the guard: 226 stands", "226.hold=proved", "tells what was touched since"),
    (r"^tell the shunter: brake pipe of 226 empty", "226.brake_pipe=empty", "tells what was touched since"),
    (r"^tell the shunter: brake valve of 226/2", "226/2.brake_valve=locked", "tells what was touched since"),
    (r"^tell the shunter: electric supply of 226", "226.supply=off", "tells what was touched since"),
    (r"^tell the driver: couple of", "couple=locked", "tells what was touched since"),
    (r"^tell the guard: jumper|^try the bell", "226/1.jumper=latched", "tells what was touched since"),
    (r"^tell the driver: parking brake of 226", "226.parking_brake=off", "tells what was touched since"),
    (r"^test, rear charged|^tell the guard: test: charged", "brake_test=charged", "acts on no word from the other end"),
    (r"^test, lapped|^tell the driver: test: rear charged", "brake_test=rear charged", "acts on no word from the other end"),
    (r"^test, rear applied|^tell the guard: test: lapped", "brake_test=lapped", "acts on no word from the other end"),
    (r"^test, front fallen|^tell the driver: test: rear applied", "brake_test=rear applied", "acts on no word from the other end"),
    (r"^test, rear shut|^tell the guard: test: front fallen", "brake_test=front fallen", "acts on no word from the other end"),
    (r"^test, no rise|^tell the driver: test: rear shut", "brake_test=rear shut", "acts on no word from the other end"),
    (r"^test, restored", "brake_test=no rise", "acts on no look of his own"),
    (r"^test, rear restored|^tell the guard: test: restored", "brake_test=restored", "acts on no word from the other end"),
    (r"^tell the (driver|shunter): test: rear restored|^hold the train|" + _OFF + "|" + _SEEN_OFF, "brake_test=rear restored",
     "the passed test was touched since"),
)  # fmt: skip

_LOOSE = (
    "217/2.brake_pipe_hose=on its dummy, 217/2.main_reservoir_pipe_hose=on its dummy, 226/1.brake_pipe_hose=on its dummy, "
    "226/1.main_reservoir_pipe_hose=on its dummy, 226/1.jumper=in its dummy"
)
_STOOD = "226.hold=proved, 226.parking_brake=on, 2263.hand_brake=on"
_SHUT, _APART = r"^shut the joined", r"^part the .* hoses"
_LOCKED = "217/1.brake_valve=locked, 217/2.brake_valve=locked, 226/1.brake_valve=locked, 226/2.brake_valve=locked"
_PRESS, _AWAY, _LIFT = r"^press lightly", r"^draw away", r"^lift the lock"
_WHOLE = r"^charge the whole train|^make a full application on the whole|^let the brake pipe of 217 and 226"
PART_ROWS: tuple[Row, ...] = (
    (r"^agree the job", "agreed=no", "it is agreed once"),
    (r"^ask for the road", "agreed=yes, road=not given", "one asks for the road of a job that is agreed, once"),
    (r"^put on|^screw on|^look at the braked|^see that|^switch .* off|^unlock|" + _ASSURE + "|" + _CALL + "|" + _OFF + "|" + _WHOLE,
     "agreed=yes", "nobody touches a brake or calls before it is agreed who does what"),
    (_ASSURE + "|" + _CALL, "road=given", "another movement comes on the road"),
    (_CALL, "217.board=off, 226.board=off", "people at work under a unit are run into"),
    (_CALL + "|" + _ASSURE + "|^look at both sides|" + _LIFT, "authority=none", "two calls stand at once, or one while hands are in"),
    (_CALL + "|" + _PRESS + "|" + _AWAY + "|^unlock|^look at both sides|^switch .* on|" + _LIFT + "|" + _TEST + "|" + _WHOLE + "|" + _ASSURE,
     "protection/shunter=none", "somebody is still between"),
    (_GO + "|^give the protection back", "protection/shunter=given", "nobody goes in on no promise, or gives back what he has not"),
    (_ASSURE, "217/1.brake_valve=locked, 217.brake_pipe=empty, 217.supply=off", "assured of a pipe that is not let down"),
    (_GO, "226/2.brake_valve=locked, gap=touching, " + _STOOD, "the train can move over the person"),
    (_ASSURE + "|^look at both sides|" + _CALL + "|" + _PRESS + "|" + _AWAY + "|" + _LIFT, "gap=touching", "ends stand apart already"),
    (_CALL + "|" + _PRESS + "|" + _AWAY + "|" + _LIFT + "|" + _SHUT + "|" + _APART + "|^unlatch|^let the brake pipe of 217 and 226", _STOOD,
     "what stays is not held"),
    (_PRESS + "|" + _AWAY, "217/1.brake_valve=full, 217.brake_pipe=drawn, 217.parking_brake=off", "the brake is not in the driver's hand"),
    (_PRESS, "authority=ease up", "moved on nobody's word"),
    (_AWAY, "authority=draw away", "moved on nobody's word"),
    (_PRESS + "|^call to ease up", "couple=locked, couple.slack=stretched", "nothing to ease"),
    (_LIFT, "couple=locked, couple.slack=eased", "stretched, the lock jams"),
    (r"^call to draw away|" + _AWAY, "couple=apart, air_through=no, " + _LOOSE, "hoses and cables tear"),
    (_LIFT, _LOOSE, "hoses and cables tear"),
    (r"^look from the side", "couple=apart, gap=touching", "one sees what is so"),
    (_WHOLE, "air_through=yes, couple=locked", "the pipe is not one"),
    (r"^charge the whole train", "217/1.brake_valve=full, 226.parking_brake=on, 2263.hand_brake=on", "let off with nothing holding"),
    (r"^make a full application on the whole", "217/1.brake_valve=running", "the handle stands elsewhere"),
    (r"^let the brake pipe of 217 and 226", "217/1.brake_valve=full", "the handle stands elsewhere"),
    (r"^shut and lock the brake valve from empty", "217/1.brake_valve=empty", "the handle stands elsewhere"),
    (r"^watch the whole train", "226.parking_brake=on, 2263.hand_brake=on, 217.parking_brake=off, 217.brake_pipe=charged, "
     "226.brake_pipe=charged, air_through=yes, couple=locked", "another brake holds it"),
    (r"^put on the parking brake of 217", "217.parking_brake=off", "nothing to put on"),
    (r"^put on the parking brake of 226", "226.parking_brake=off", "nothing to put on"),
    (r"^screw on the hand brake of 2263", "2263.hand_brake=off", "nothing to put on"),
    (r"^look at the braked wheels of 2263", "2263.hand_brake=on", "one sees what is so"),
    (r"^see that the brake valve", "226/2.brake_valve=locked", "one sees what is so"),
    (r"^switch .* supply of 217 off", "217.supply=on", "nothing to switch"),
    (r"^switch .* supply of 226 off", "226.supply=on", "nothing to switch"),
    (r"supply of 217 on", "217.supply=off, gap=apart, air_through=no, couple=apart", "nothing to switch, or over ends that touch"),
    (_SHUT + "|" + _APART, "217.brake_pipe=empty, 226.brake_pipe=empty, " + _LOCKED, "air is trapped, a brake lets go"),
    *((rf"^shut the joined {pipe} cock of {end}", f"{end}.{pipe.replace(' ', '_')}_cock=open, "
       f"217/2.{pipe.replace(' ', '_')}_hose=joined, 226/1.{pipe.replace(' ', '_')}_hose=joined", "nothing to shut")
      for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^shut the joined {pipe} cock of {end}", f"{other}.{pipe.replace(' ', '_')}_cock={stands}", "what stays is shut off first")
      for end, other, stands in (("226/1", "217/2", "open"), ("217/2", "226/1", "shut")) for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^part the {pipe} hoses", f"217/2.{pipe.replace(' ', '_')}_cock=shut, 226/1.{pipe.replace(' ', '_')}_cock=shut, "
       f"217/2.{pipe.replace(' ', '_')}_hose=joined, 226/1.{pipe.replace(' ', '_')}_hose=joined", "a live hose whips in the hand")
      for pipe in ("brake pipe", "main reservoir pipe")),
    *((rf"^put the {pipe} hose of {end}", f"{end}.{pipe.replace(' ', '_')}_cock=shut, {end}.{pipe.replace(' ', '_')}_hose=hanging",
       "a live hose whips in the hand") for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    (r"^unlatch the jumper", "217.supply=off, 226.supply=off, 226/1.jumper=latched", "an arc at the plug"),
    (r"^put the jumper of 226/1", "226/1.jumper=hanging", "it is not in the hand"),
    (r"^unlock the brake valve, cab 217/1", "217/1.brake_valve=locked", "nothing to unlock"),
    (r"^charge the pipe to let the air brake off", "217/1.brake_valve=full, 217/1.brake_pipe_cock=shut, 217/2.brake_pipe_cock=shut, "
     "air_through=no, couple=locked, gap=touching, " + _STOOD, "the leaving portion's brake is let off with nothing holding it"),
    (r"^make a full application, wait", "217/1.brake_valve=running, air_through=no", "the handle stands elsewhere"),
    (r"lamp of|outer end|" + _TEST + "|^hold the train|" + _OFF, "gap=apart, air_through=no", "the portions still stand together"),
    (r"lamp of|outer end|" + _TEST + "|^hold the train", "217.parking_brake=on", "nothing holds what leaves while the driver is away"),
    (r"lamp of|outer end|" + _TEST + "|^hold the train", "226.parking_brake=on, 2263.hand_brake=on", "nothing holds what stays"),
    (_TEST, "226.hold=proved, 226/1.brake_valve=locked, 226/2.brake_valve=locked, 217/1.brake_pipe_cock=shut, "
     "217/1.main_reservoir_pipe_cock=shut, 217/2.brake_pipe_cock=shut, 217/2.main_reservoir_pipe_cock=shut",
     "another valve feeds, or an end stands open"),
    (r"^light the red lamp of 226/1", "226/1.red_lamp=off", "nothing to light"),
    (r"^light the red lamp of 217/2", "217/2.red_lamp=off", "nothing to light"),
    *((rf"^look at the outer end {end}", f"{end}.brake_pipe_cock=shut, {end}.main_reservoir_pipe_cock=shut, {end}.gangway=shut, "
       f"{end}.brake_pipe_hose=on its dummy, {end}.main_reservoir_pipe_hose=on its dummy, {end}.jumper=in its dummy", "one sees what is so")
      for end in ("217/1", "217/2")),
    (r"^look at the outer end 217/1", "217/1.red_lamp=off, 217/1.white_lamp=lit", "one sees what is so"),
    (r"^look at the outer end 217/2", "217/2.red_lamp=lit, 217/2.white_lamp=off", "one sees what is so"),
    (r"^test, charged", "brake_test=none, 217/1.brake_valve=full", "a test begins at its beginning"),
    (r"^test, rear charged", "brake_test=charged", "each stage after the one before"),
    (r"^test, lapped", "brake_test=rear charged, 217/1.brake_valve=running", "each stage after the one before"),
    (r"^test, rear applied", "brake_test=lapped, 217/1.brake_valve=lap, 217/2.brake_valve=locked", "two valves work one pipe"),
    (r"^test, front fallen", "brake_test=rear applied", "each stage after the one before"),
    (r"^test, rear shut", "brake_test=front fallen, 217/2.brake_valve=full", "each stage after the one before"),
    (r"^test, no rise", "brake_test=rear shut", "each stage after the one before"),
    (r"^test, restored", "brake_test=no rise, 217/1.brake_valve=lap", "each stage after the one before"),
    (r"^test, rear restored", "brake_test=restored", "each stage after the one before"),
    (r"^hold the train", "brake_test=rear restored, 217/1.brake_valve=running, last look/217/1=yes, last look/217/2=yes",
     "an untested brake holds the train"),
    (_OFF + "|" + _SEEN_OFF, "agreed=yes, brake_test=rear restored, 217/1.brake_valve=full, 217.brake_pipe=drawn, tested_hold=yes, "
     "at/driver=cab 217/1, air_through=no, gap=apart", "the hold comes off with nothing holding instead"),
    (_OFF, "217.parking_brake=on", "nothing to take off"),
    (_SEEN_OFF, "217.parking_brake=off", "one sees what is so"),
    (r"^read the parking brake indicator of 226: on", "226.parking_brake=on, agreed=yes", "one sees what is so"),
)  # fmt: skip
KNOWN_PART: tuple[Row, ...] = (
    (_ASSURE + "|" + _GO, "217/1.brake_valve=locked, 217.brake_pipe=empty, 217.supply=off", "promised on an old look"),
    (_GO, "protection/shunter=given, 226/2.brake_valve=locked, " + _STOOD, "goes in on nobody's word"),
    (_CALL, "joint_clear=seen, 226.hold=proved", "called on an old look"),
    (r"^call to draw away", "couple=apart", "called away on a couple that nobody saw lifted"),
    (_PRESS, "authority=ease up", "what was called is no longer what is called"),
    (_AWAY, "authority=draw away", "what was called is no longer what is called"),
    (r"^watch the whole train", "217.brake_pipe=charged, 226.brake_pipe=charged, 226.parking_brake=on, 2263.hand_brake=on",
     "watches what nobody told him is the right brake"),
    (r"^charge the whole train", "226.parking_brake=on, 2263.hand_brake=on", "lets the air brake off on nobody's word"),
    (r"^let the brake pipe of|^make a full application, wait", "226.hold=proved", "lets the pipe down before the word that it stands"),
    (r"^unlatch the jumper", "217.supply=off, 226.supply=off", "takes the cable on an old word"),
    *((rf"^part the {pipe} hoses", f"{end}.{pipe.replace(' ', '_')}_cock=shut", "the cock was touched since")
      for end in ("217/2", "226/1") for pipe in ("brake pipe", "main reservoir pipe")),
    (r"^unlock the brake valve, cab 217|^test, charged|supply of 217 on", "protection/shunter=none", "frees the brake before the word"),
    (r"^tell the shunter: brake pipe of 217", "217.brake_pipe=charged", "tells what was touched since"),
    (r"^tell the shunter: brake pipe of 226", "226.brake_pipe=charged", "tells what was touched since"),
    (r"^tell the driver: 226 stands", "226.hold=proved", "tells what was touched since"),
    (r"^tell the (shunter|driver): parking brake of 226 on", "226.parking_brake=on", "tells what was touched since"),
    (r"^tell the driver: hand brake of 2263 on", "2263.hand_brake=on", "tells what was touched since"),
    (r"^tell the shunter: electric supply of 226", "226.supply=off", "tells what was touched since"),
    (r"^tell the shunter: brake valve of 226/2", "226/2.brake_valve=locked", "tells what was touched since"),
    *(row for row in KNOWN_ATTACH if row[0].startswith("^test, ") and "cock" not in row[1]),
    (r"^tell the (driver|shunter): test: rear restored|^hold the train|" + _OFF + "|" + _SEEN_OFF, "brake_test=rear restored",
     "the passed test was touched since"),
)  # fmt: skip
