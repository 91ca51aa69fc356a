"""Can two unit ends be joined: every way, at which level, with what, and every reason where the answer is no.

Common practice, except: EN 15020 covers the rescue coupler only for hooks that move and take buffing loads; a like face
says nothing of like contacts (EN 16019 leaves the electrical connection out).
"""

from __future__ import annotations

from headstock.formation.brake_across import pipe_joins
from headstock.formation.join_way import LEVELS, Answer, JoinResult, TypeEnd, Way, WayName
from headstock.formation.way_adapter import adapter_way
from headstock.formation.way_direct import direct_way
from headstock.formation.way_screw import screw_way
from headstock.local_rules.rules import LocalRules

__all__ = ["LEVELS", "Answer", "JoinResult", "TypeEnd", "Way", "WayName", "can_be_joined", "pipe_joins"]


def can_be_joined(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> JoinResult:
    """Every way to join these two ends, best first."""
    ways = [direct_way(first, second, rules), screw_way(first, second, rules), adapter_way(first, second, rules)]
    rank = {"yes": 0, "only if": 1, "no": 2}
    ways.sort(key=lambda way: (rank[way.answer], -LEVELS.index(way.level)))
    return JoinResult(first.name, second.name, ways[0].answer, tuple(ways))
