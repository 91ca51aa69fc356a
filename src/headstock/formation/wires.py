"""Wires at a joint, pin by pin: what a jumper or an electrical head of one end finds on the other.

Common practice: a like face or a like plug says nothing of like contacts. The same pin with another function on either side
is refused: entering the plug would give one function for another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any, Literal

from headstock.formation.join_way import TypeEnd

PinState = Literal["joined", "crossed", "one side only"]
WireVerdict = Literal["alike", "one side has more", "crossed", "patterns differ", "nothing to join"]
WIRED_KINDS = ("jumper", "electrical head")
BOTH_SIDES = (
    "Pins are compared by the words in the unit data. Left and right, forward and reverse change with the way a unit "
    "stands: prove doors on both sides."
)


@dataclass(frozen=True, slots=True)
class PinLine:
    """One pin: what it carries on either side ("" where there is no such pin), and what that makes."""

    pin: str
    first: str
    second: str
    state: PinState


@dataclass(frozen=True, slots=True)
class WireMatch:
    """A jumper or head of one end against that of the other; a pattern is "" where an end has none to meet it."""

    device: str
    patterns: tuple[str, str]
    lines: tuple[PinLine, ...]
    verdict: WireVerdict
    joined: tuple[str, ...]
    at_other_pins: tuple[str, ...]
    first_only: tuple[str, ...]
    second_only: tuple[str, ...]

    @property
    def crossed(self) -> tuple[PinLine, ...]:
        """Pins with one function here and another there."""
        return tuple(line for line in self.lines if line.state == "crossed")

    @property
    def can_be_entered(self) -> bool:
        """Whether the plug goes in, or the heads mate, and gives no function for another."""
        return self.verdict in ("alike", "one side has more")


def wire_matches(first: TypeEnd, second: TypeEnd) -> tuple[WireMatch, ...]:
    """Each jumper and head of two ends with its fellow: of the same pattern first, then what is left over."""
    return tuple(match for kind in WIRED_KINDS for match in _of_kind(_specs(first, kind), _specs(second, kind), kind))


def wires_meet(matches: tuple[WireMatch, ...]) -> bool:
    """Whether some jumper or head can be entered, and none that would be is crossed."""
    return any(match.can_be_entered for match in matches) and not any(match.verdict == "crossed" for match in matches)


def wires_alike(matches: tuple[WireMatch, ...]) -> bool:
    """Whether some are alike pin by pin, and no others that would be entered differ."""
    like = [match.verdict for match in matches if match.patterns[0] == match.patterns[1]]
    return bool(like) and all(verdict == "alike" for verdict in like)


def wire_words(match: WireMatch, first: str, second: str) -> str:
    """The verdict in one sentence."""
    if match.verdict == "nothing to join":
        here, there = (first, second) if match.patterns[0] else (second, first)
        return f"{match.device} {max(match.patterns)} of {here}: {there} has no {match.device} to join it to"
    patterns = f"{match.device} {match.patterns[0]} of {first} and {match.patterns[1]} of {second}"
    said = {
        "alike": f"{patterns}: alike, pin by pin",
        "one side has more": f"{patterns}: the pins that both have are alike, one side has more",
        "crossed": f"{patterns}: refused, {crossed_words(match, first, second)}",
        "patterns differ": f"{patterns}: the patterns differ, nothing is joined",
    }
    return said[match.verdict]


def crossed_words(match: WireMatch, first: str, second: str) -> str:
    """Every pin that would give one function for another."""
    pins = [f"pin {line.pin} is {line.first} on {first} and {line.second} on {second}" for line in match.crossed]
    return "; ".join(pins)


def function_lines(match: WireMatch, first: str, second: str, is_electric: bool) -> tuple[str, ...]:
    """Functions joined, at other pins, and on one side only, in words; ``is_electric``: the way they are joined uses wires."""
    entered = "joined" if is_electric else "at like pins, joined only where that is declared"
    groups = (
        (entered if match.can_be_entered else "at like pins, not joined", match.joined),
        ("on both, at other pins", match.at_other_pins),
        (f"on {first} only", match.first_only),
        (f"on {second} only", match.second_only),
    )
    return tuple(f"{name}: {', '.join(functions)}" for name, functions in groups if functions)


def pin_words(match: WireMatch, line: PinLine, is_electric: bool) -> str:
    """What becomes of a pin; where wires are not joined, how its two sides compare."""
    if match.verdict == "crossed" and line.state == "crossed":
        return "crossed: refused"
    if match.can_be_entered and is_electric:
        return line.state
    return {"joined": "same on both", "crossed": "differs", "one side only": "one side only"}[line.state]


def _specs(end: TypeEnd, kind: str) -> list[Any]:
    return [spec for spec in end.devices.values() if spec.kind == kind]


def _of_kind(first: list[Any], second: list[Any], kind: str) -> Iterator[WireMatch]:
    left = list(second)
    alone = []
    for spec in first:
        fellow = next((other for other in left if other.pattern == spec.pattern), None)
        if fellow is None:
            alone.append(spec)
        else:
            left.remove(fellow)
            yield _match(kind, spec, fellow)
    for spec, other in zip_longest(alone, left):
        yield _match(kind, spec, other)


def _match(kind: str, one: Any | None, other: Any | None) -> WireMatch:
    here, there = (spec.pins if spec is not None else {} for spec in (one, other))
    lines = tuple(_line(pin, here.get(pin, ""), there.get(pin, "")) for pin in sorted({*here, *there}, key=_pin_order))
    patterns = (one.pattern if one is not None else "", other.pattern if other is not None else "")
    joined = tuple(dict.fromkeys(line.first for line in lines if line.state == "joined"))
    both = set(here.values()) & set(there.values())
    moved = tuple(word for word in dict.fromkeys(here.values()) if word in both and word not in joined)
    only = [tuple(word for word in dict.fromkeys(pins.values()) if word not in both) for pins in (here, there)]
    return WireMatch(kind, patterns, lines, _verdict(patterns, lines), joined, moved, only[0], only[1])


def _line(pin: str, one: str, other: str) -> PinLine:
    if one == other:
        return PinLine(pin, one, other, "joined")
    return PinLine(pin, one, other, "crossed" if one and other else "one side only")


def _verdict(patterns: tuple[str, str], lines: tuple[PinLine, ...]) -> WireVerdict:
    if not all(patterns):
        return "nothing to join"
    if patterns[0] != patterns[1]:
        return "patterns differ"
    states = {line.state for line in lines}
    if "crossed" in states:
        return "crossed"
    return "alike" if states == {"joined"} else "one side has more"


def _pin_order(pin: str) -> tuple[int, str]:
    return (int(pin), "") if pin.isdecimal() else (10**9, pin)
