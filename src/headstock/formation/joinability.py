"""Can two unit ends be joined: every way, at which level, with what, and every reason where the answer is no.

Common practice, except: EN 15020 covers the rescue coupler only for hooks that move and take buffing loads; a like face
says nothing of like contacts (EN 16019 leaves the electrical connection out).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from headstock.formation.brake_across import pipe_joins
from headstock.formation.curve_at_joint import CurveAtJoint
from headstock.formation.join_way import LEVELS, Answer, TypeEnd, Way, WayName
from headstock.formation.joint_geometry import JointGeometry, joint_geometry
from headstock.formation.way_adapter import adapter_way
from headstock.formation.way_direct import direct_way
from headstock.formation.way_screw import screw_way
from headstock.formation.wires import WireMatch, wire_matches
from headstock.local_rules.rules import LocalRules

__all__ = ["LEVELS", "Answer", "JoinResult", "TypeEnd", "Way", "WayName", "can_be_joined", "pipe_joins"]


@dataclass(frozen=True, slots=True)
class JoinResult:
    """The answer for two ends: the best way first, then the others, the impossible ones with all their reasons.

    ``wires`` has each jumper and electrical head pin by pin, ``geometry`` how far apart the ends can stand.
    """

    first: str
    second: str
    answer: Answer
    ways: tuple[Way, ...]
    wires: tuple[WireMatch, ...]
    geometry: JointGeometry

    @property
    def best(self) -> Way:
        """The way to use."""
        return self.ways[0]


def can_be_joined(first: TypeEnd, second: TypeEnd, rules: LocalRules, curve: CurveAtJoint | None = None) -> JoinResult:
    """Every way to join these two ends, best first; on straight track, or on a curve. Either order gives the same ways."""
    one, other = sorted((first, second), key=lambda end: (end.unit_type.type, end.end, end.name))
    geometry = joint_geometry(one, other, curve)
    ways = [way(one, other, rules, geometry) for way in (direct_way, screw_way, adapter_way)]
    rank = {"yes": 0, "only if": 1, "no": 2}
    ways.sort(key=lambda way: (rank[way.answer], -LEVELS.index(way.level)))
    ways = [_each_once(way) for way in ways]
    wires, as_asked = wire_matches(first, second), joint_geometry(first, second, curve)
    return JoinResult(first.name, second.name, ways[0].answer, tuple(ways), wires, as_asked)


def _each_once(way: Way) -> Way:
    """The way with no words said twice, as two ends of one name would have them."""
    return replace(way, changes=_once(way.changes), equipment=_once(way.equipment), conditions=_once(way.conditions),
                   losses=_once(way.losses), restrictions=_once(way.restrictions))  # fmt: skip


def _once(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
