"""Constraints judged on states of bits, each asked again only when something that it has ever read has changed."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.reasoning.constraint import Constraint
from headstock.reasoning.fact_bits import FactBits, NamedState


class Judge:
    """Remembers the answers of constraints, which are functions of the variables they read.

    ``reads`` holds for each constraint the bits of all variables that it was ever seen to read; it only grows. An answer is
    kept under the values of those variables: two states alike in them get the same answer, since a constraint looks at
    nothing else.
    """

    def __init__(self, constraints: Sequence[Constraint], bits: FactBits) -> None:
        self.constraints, self.bits = tuple(constraints), bits
        self.reads = [0] * len(self.constraints)
        self._kept: list[dict[int, bool]] = [{} for _ in self.constraints]

    def all(self, state: int) -> int:
        """The constraints broken in a state, one bit each, whatever was broken before."""
        broken = 0
        for number in range(len(self.constraints)):
            if self._is_broken(number, state):
                broken |= 1 << number
        return broken

    def after(self, state: int, changed: int, standing: int) -> int:
        """The constraints broken after a change of some bits; ``standing`` were broken before it."""
        for number, reads in enumerate(self.reads):
            if changed & reads:
                kept = self._kept[number].get(state & reads)
                if kept is None:
                    kept = self._is_broken(number, state)
                standing = standing | 1 << number if kept else standing & ~(1 << number)
        return standing

    def why(self, number: int, state: int) -> str:
        """What is wrong, in the constraint's own words; "" where it is not broken."""
        return self.constraints[number].broken(NamedState(self.bits, state)) or ""

    def _is_broken(self, number: int, state: int) -> bool:
        view = NamedState(self.bits, state)
        broken = self.constraints[number].broken(view) is not None
        self.reads[number] |= view.read
        self._kept[number][state & self.reads[number]] = broken
        return broken
