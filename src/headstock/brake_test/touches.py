"""What is touched after a test makes it void, whatever it stands at afterwards: touches are counted, device by device.

Common practice, no source: a brake test is good only while nothing in its path has been touched.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from headstock.local_rules.test_method import ExemptTouch


@dataclass(frozen=True, slots=True)
class Touch:
    """A device touched at a moment [s]; ``part_of`` names the touch of the method that it is said to be ("" for none)."""

    when_s: float
    device: str
    who: str
    part_of: str = ""
    line: int = 0


@dataclass(frozen=True, slots=True)
class TestPath:
    """What a test rests on: devices by key, and which of them the method's own touches are about, by the method's words."""

    __test__ = False

    devices: frozenset[str]
    named: Mapping[str, str]
    exempt: tuple[ExemptTouch, ...]

    def exempt_in(self, touches: Iterable[Touch]) -> tuple[Touch, ...]:
        """Touches that are part of the method: of the right device, each name once."""
        used: set[str] = set()
        found = []
        for touch in touches:
            entry = next((entry for entry in self.exempt if entry.name == touch.part_of), None)
            if entry is None or entry.name in used or self.named.get(entry.device) != touch.device:
                continue
            used.add(entry.name)
            found.append(touch)
        return tuple(found)


def touched_since(touches: Sequence[Touch], path: TestPath, begun_s: float, ended_s: float = inf) -> tuple[Touch, ...]:
    """Touches that make a test void: of its path, since it began, not part of the method; its first and last moment [s].

    A touch of the method belongs into the test: after its last line it is a touch like any other.
    """
    since = tuple(touch for touch in touches if touch.when_s >= begun_s and touch.device in path.devices)
    exempt = path.exempt_in(touch for touch in since if touch.when_s <= ended_s)
    return tuple(touch for touch in since if touch not in exempt)
