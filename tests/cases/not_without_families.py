# ruff: noqa: E501 (a table: one row, one line)
"""What no step is taken without, by hand, for a hook and screw and for automatic couplers made by a driver alone.

What both share with the drop-heads of ``not_without`` is taken from there under other names; rows of things that the family has
not are left out by name. Its own devices, and what a driver alone must see to, are rows of their own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from tests.cases.not_without import ATTACH, KNOWN_ATTACH, Row

_OFF_NEEDS = "agreed=yes, brake_test=rear restored, air_through=yes, tested_hold=yes"
_MOVING = "the driver moves off with a brake that is not in his hand, over somebody, or into what rolls"
_LEFT = "a driver leaves a cab only with its valve locked"


@dataclass(frozen=True)
class FamilyRows:
    """Rows of one family; ``names``: what things are called there; ``without``: (pattern, fact) that it has not."""

    names: tuple[tuple[str, str], ...]
    without: tuple[tuple[str, str], ...]
    needs: tuple[Row, ...]
    known: tuple[Row, ...]

    def of(self, kind: str, order: Sequence[Step], domain: Domain) -> Iterator[Row]:
        """All rows of a kind: those of the drop-heads as they are said here, then its own."""
        shared, own = (ATTACH, self.needs) if kind == "need" else (KNOWN_ATTACH, self.known)
        for pattern, facts, reason in shared:
            here = self._said(pattern)
            if any(re.search(here, step.key) for step in order):
                kept = [fact for fact in self._said(facts).split(", ") if self._has(here, fact, domain)]
                if kept:
                    yield here, ", ".join(kept), reason
        yield from own

    def _said(self, words: str) -> str:
        for name, here in self.names:
            words = re.sub(name, here, words)
        return words

    def _has(self, pattern: str, fact: str, domain: Domain) -> bool:
        key, _, value = fact.partition("=")
        known = value in domain.variables[key].domain if key in domain.variables else key.startswith("at/")
        return known and not any(re.search(where, pattern) and re.search(what, fact) for where, what in self.without)


_WHEELS = ("2172", "2262")
HOOK_AND_SCREW = FamilyRows(
    names=((r"226\.parking_brake", "2262.hand_brake"), (r"217\.parking_brake", "2172.hand_brake"), (r"217/2\.brake_valve", "217/1.brake_valve"),
           ("cab 217/2", "cab 217/1")),
    without=((r"unlock the brake valve, cab 217", "air_through|hand_brake"), (r"look at the end|ends dressed", "buffers=in"),
             (r"^\^test, ", r"^217/1\.brake_valve=locked"), ("go between, coupled", "couple.pulled")),
    needs=(
        *((rf"^screw on the hand brake of {at}", f"{at}.hand_brake=off, agreed=yes", "nothing to put on, or before it is agreed") for at in _WHEELS),
        *((rf"^look at the braked wheels of {at}", f"{at}.hand_brake=on, agreed=yes", "one sees what is so") for at in _WHEELS),
        *((rf"^look at the end {end}", f"{end}.coupler=stowed", "one sees what is so") for end in ("217/2", "226/1")),
        (r"^assure|^open the brake pipe cock|^test, ", "217/2.brake_valve=locked", "a second cab could let the brake off"),
        (r"^call to couple", "gap=stop 1", "the call is for another distance"),
        (r"^close up", "217/2.coupler=stowed, 226/1.coupler=stowed, 217/1.brake_valve=full, 217.brake_pipe=drawn, 2172.hand_brake=off, "
         "protection/shunter=none, 2262.hand_brake=on, authority=couple, gap=stop 1", _MOVING),
        (r"^lift the screw", "217/2.coupler=stowed, gap=touching", "it is not in the hand, or does not reach"),
        (r"^turn the screw", "217/2.coupler=over the hook, gap=touching", "a screw that hangs on nothing"),
        (r"^look at the screw", "217/2.coupler=tight, couple=locked", "one sees what is so"),
        *((rf"^look at the outer end {end}", f"{end}.coupler=stowed", "one sees what is so") for end in ("217/1", "226/2")),
        (r"^take off the hand brake|^look that the wheels", _OFF_NEEDS + ", 217/1.brake_valve=full, 217.brake_pipe=drawn, 226.brake_pipe=drawn, "
         "at/driver=cab 217/1", "the hold comes off with nothing holding instead"),
        *((rf"^take off the hand brake of {at}", f"{at}.hand_brake=on", "nothing to take off") for at in _WHEELS),
        *((rf"^look that the wheels of {at}", f"{at}.hand_brake=off", "one sees what is so") for at in _WHEELS),
    ),
    known=(
        (r"^look at both sides of the joint, ends dressed|^call", "217/2.coupler=stowed, 226/1.coupler=stowed", "called on an old look"),
        (r"^close up", "authority=couple", "what was called is no longer what is called"),
        (r"^take off the hand brake|^look that the wheels", "brake_test=rear restored", "the passed test was touched since"),
        *((rf"^tell the driver: hand brake of {at}", f"{at}.hand_brake=off", "tells what was touched since") for at in _WHEELS),
    ),
)  # fmt: skip

_READY = ", ".join(f"{end}.coupler.{what}" for end in ("611/2", "604/1") for what in ("cover=removed", "latch=ready"))
_MATED = "611/2.electrical_head=mated, 604/1.electrical_head=mated"
_AT_611 = (r"cab 611/2$|^watch 611|^look at the (face|end)|^come out|^give the|^take protection|^sound|^draw up|^look at both|^couple 611|"
           r"^look at the couple|^pull|^watch the pull|^hold the button|^see in the cab|^put out the white lamp of 611/2|for the approach$")  # fmt: skip
_AT_604 = r"cab 604/2$|^watch 604|supply of 604|^look at the (face|end)|^come out|^give the|^go between|^put out the white lamp of 611/2"
_LET_OFF = r"^take off the parking brake of 6\d\d, cab 611/1$|^read the parking brake indicator of 6\d\d: off"
DRIVER_ALONE = FamilyRows(
    names=(("217", "611"), ("226", "604"), ("shunter", "driver"), (r"\^assure", "^take protection"), (r"\^call to 0.6", "^never so"),
           (r"\^call for a light pull", "^sound the horn, look ahead, for a light pull"), (r"\^call to", "^sound the horn, look ahead, to"),
           (r"\^call ", "^sound the horn"), ("2 m", "1 m"), (r"lock\|", "couple of|")),
    without=(("read the parking brake indicator of 604$", "parking_brake=on"), ("unlock the brake valve, cab 611|supply of 611 on", "protection/driver=none"),
             ("read the brake pipe gauge$", "air_through=no")),  # the blow makes one pipe of both, and it is read again after it
    needs=(
        (_AT_611, "604/2.brake_valve=locked", _LEFT),
        (_AT_604, "611/2.brake_valve=locked", _LEFT),
        (r"^unlock the brake valve", "protection/driver=none, agreed=yes", "freed with oneself between, or before it is agreed"),
        *((rf"^read the parking brake indicator of {unit}: on", f"{unit}.parking_brake=on", "one sees what is so") for unit in ("611", "604")),
        (r"^charge the pipe .* 611/2", "611/2.brake_valve=full, air_through=no, 611.parking_brake=on", "let off with nothing holding"),
        (r"^watch 611", "611.parking_brake=on, 611.brake_pipe=charged, gap=apart, air_through=no", "another brake or portion holds it"),
        (r"^make a full application", "611/2.brake_valve=running, air_through=no", "the handle stands elsewhere"),
        (r"^take protection", "611.hold=proved, 611.parking_brake=on", "he leaves a portion that only air holds"),
        *((rf"^look at the face of {end}", f"{end}.coupler.latch=ready, {end}.coupler.cover=removed, gap=apart", "one sees what is so")
          for end in ("611/2", "604/1")),
        *((rf"^look at the end {end}", f"{end}.coupler.latch=ready, {end}.coupler.cover=removed", "one sees what is so") for end in ("611/2", "604/1")),
        (r"for the approach$", "agreed=yes, 611/2.brake_valve=full, 611.brake_pipe=drawn, air_through=no, couple=apart, at/driver=cab 611/2",
         "the hold comes off with nothing in hand instead"),
        (r"to couple$", "gap=stop 1", "from too far"),
        (r"^couple 611", _READY + ", 604.brake_pipe=empty, 604.hold=proved, air_through=no, 611/1.brake_valve=locked, 604/1.brake_valve=locked, gap=stop 1",
         "a cover is crushed, a latch does not take, or the blow joins pipes that ease a brake"),
        (r"^look at the couple", "couple=locked", "one sees what is so"),
        (r"^hold the button", "611/2.electrical_head=covered, 604/1.electrical_head=covered, couple.pulled=held", "heads meet over a couple that parts"),
        (r"^see in the cab", _MATED, "one sees what is so"),
        *((rf"^fit the coupler cover of {end}", f"{end}.coupler.cover=removed, 611.parking_brake=on, 604.parking_brake=on, air_through=yes",
           "the driver is away with nothing holding") for end in ("611/1", "604/2")),
        *((rf"^look at the outer end {end}", f"{end}.coupler.cover=fitted", "one sees what is so") for end in ("611/1", "604/2")),
        (_LET_OFF, _OFF_NEEDS + ", 611/1.brake_valve=full, 611.brake_pipe=drawn, 604.brake_pipe=drawn, at/driver=cab 611/1, " + _MATED,
         "the hold comes off with nothing holding instead"),
        *((rf"^read the parking brake indicator of {unit}: off", f"{unit}.parking_brake=off", "one sees what is so") for unit in ("611", "604")),
    ),
    known=(
        (r"^watch 611", "611.parking_brake=on, 611.brake_pipe=charged", "watches what he has not seen on"),
        (r"^make a full application", "611.hold=proved", "before he has seen it stand"),
        (r"^look at both sides of the joint, ends dressed|^sound the horn, look ahead, to", _READY, "closes up on an old look"),
        (_LET_OFF, "brake_test=rear restored", "the passed test was touched since"),
    ),
)  # fmt: skip
